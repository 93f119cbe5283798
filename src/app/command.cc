#include "app/subcommands.h"

#include <exception>
#include <iostream>

namespace lastreach {
namespace {

constexpr const char* kFooter = R"(
A first hour:
  lastreach new town.gpkg --zone America/Chicago
  lastreach import town.gpkg timers.csv  --as controllers
  lastreach import town.gpkg zones.csv   --as zones
  lastreach import town.gpkg devices.csv --as devices --preview     (look first)
  lastreach import town.gpkg devices.csv --as devices
  lastreach plan   town.gpkg --target 0.4
  lastreach sheets town.gpkg --out sheets

Lastreach advises; the licensed operator in charge decides, and local rules come first.
Exit codes: 0 done; 1 the answer is "no"; 2 the input is wrong (one line says where); 3 a fault of ours.)";

int Report(const Error& error, Surroundings& around) {
  around.err << "lastreach: " << error.ToString() << "\n";
  return ExitCodeOf(error.code);
}

std::string Commands(const CLI::App& app) {
  std::string names;
  for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; })) {
    names += (names.empty() ? "" : ", ") + command->get_name();
  }
  return names;
}

}  // namespace

int RunCommandLine(int argc, const char* const* argv, Surroundings& around) {
  CLI::App app(
      "Keeps the far ends of a drinking-water network fresh: what each flushing device really runs,\n"
      "what it should run, and the sheet to key it in from.",
      "lastreach");
  app.footer(kFooter);
  app.require_subcommand(1);
  app.set_version_flag("--version", "lastreach 0.1.0");
  Action action;
  AddNewCommand(app, around, action);
  AddImportCommand(app, around, action);
  AddCheckCommand(app, around, action);
  AddEndsCommand(app, around, action);
  AddMapCommand(app, around, action);
  AddNetworkCommand(app, around, action);
  AddSolveCommand(app, around, action);
  AddSimulateCommand(app, around, action);
  AddPlanCommand(app, around, action);
  AddYearCommand(app, around, action);
  AddSpreadCommand(app, around, action);
  AddWhatElseCommand(app, around, action);
  AddSheetsCommand(app, around, action);
  AddReconcileCommand(app, around, action);
  AddRunningCommand(app, around, action);
  AddWatchCommand(app, around, action);
  AddMonthCommand(app, around, action);
  AddFlowTestCommand(app, around, action);
  AddTestFlushCommand(app, around, action);
  AddFitCommand(app, around, action);
  AddCalendarCommand(app, around, action);
  AddDemoCommand(app, around, action);
  AddCompletionCommand(app, around, action);
  try {
    app.parse(argc, argv);
  } catch (const CLI::Success& asked) {
    return app.exit(asked, around.out, around.err);  // --help, --version
  } catch (const CLI::ParseError& wrong) {
    // The library only says that a command is wanted, even to one who gave a mistyped one.
    if (app.get_subcommands().empty() && argc > 1) {
      return Report(
          BadRequest("there is no command '" + std::string(argv[1]) + "'; there are " + Commands(app)),
          around);
    }
    around.err << "lastreach: " << wrong.what() << " (see lastreach --help)\n";
    return 2;
  }
  try {
    const Result<int> done = action();
    return done.ok() ? *done : Report(done.error(), around);
  } catch (const std::exception& fault) {
    return Report(Internal(std::string("something went wrong that should not: ") + fault.what()), around);
  }
}

}  // namespace lastreach
