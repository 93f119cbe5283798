#pragma once

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>

#include "app/command.h"

namespace lastreach {

// Each adds one subcommand and sets `action` when it is the one asked for.
void AddCalendarCommand(CLI::App& app, Surroundings& around, Action& action);
void AddDemoCommand(CLI::App& app, Surroundings& around, Action& action);
void AddNewCommand(CLI::App& app, Surroundings& around, Action& action);
void AddImportCommand(CLI::App& app, Surroundings& around, Action& action);
void AddPlanCommand(CLI::App& app, Surroundings& around, Action& action);
void AddYearCommand(CLI::App& app, Surroundings& around, Action& action);
void AddEndsCommand(CLI::App& app, Surroundings& around, Action& action);
void AddCheckCommand(CLI::App& app, Surroundings& around, Action& action);
void AddSheetsCommand(CLI::App& app, Surroundings& around, Action& action);
void AddMapCommand(CLI::App& app, Surroundings& around, Action& action);
void AddMonthCommand(CLI::App& app, Surroundings& around, Action& action);
void AddNetworkCommand(CLI::App& app, Surroundings& around, Action& action);
void AddSolveCommand(CLI::App& app, Surroundings& around, Action& action);
void AddSimulateCommand(CLI::App& app, Surroundings& around, Action& action);
void AddReconcileCommand(CLI::App& app, Surroundings& around, Action& action);
void AddRunningCommand(CLI::App& app, Surroundings& around, Action& action);
void AddWatchCommand(CLI::App& app, Surroundings& around, Action& action);
void AddSpreadCommand(CLI::App& app, Surroundings& around, Action& action);
void AddWhatElseCommand(CLI::App& app, Surroundings& around, Action& action);
void AddFlowTestCommand(CLI::App& app, Surroundings& around, Action& action);
void AddTestFlushCommand(CLI::App& app, Surroundings& around, Action& action);
void AddFitCommand(CLI::App& app, Surroundings& around, Action& action);
void AddCompletionCommand(CLI::App& app, Surroundings& around, Action& action);

}  // namespace lastreach
