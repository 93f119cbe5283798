#pragma once

#include <optional>
#include <vector>

#include "together/choice_programme.h"
#include "together/pressure_limits.h"
#include "together/stagger.h"

namespace lastreach {

// All that the devices of one system share while their ways are chosen.
struct StaggerSystem {
  const std::vector<TogetherDevice>* devices = nullptr;
  const StaggerOptions* options = nullptr;
  PressureJudge* judge = nullptr;
  bool judged = false;         // whether pressure can bind at all, and is judged
  std::vector<size_t> states;  // of the network in which pressure can bind
  TimeTable table;
  std::vector<SharedLimit> limits;
  std::optional<PressureLimits> pressure;
};

// How choosing for some devices ended, at one care.
struct GroupAnswer {
  std::vector<uint32_t> way;  // in the order of `who`; empty if none was found
  double cost = 0;            // water and moves
  double bound = 0;
  bool impossible = false;  // proven
  size_t rows = 0;
  int rounds = 0;
};

// Chooses for the devices of `who` as if they were alone. Limits learnt on the way are added to the system's.
GroupAnswer ChooseForGroup(StaggerSystem& system, const std::vector<size_t>& who, ClockCare care);

// Learns from the sets this choice brings together that break a limit on pressure; how many were found, 0
// for a choice that keeps them all.
size_t JudgeAndLearn(StaggerSystem& system, const std::vector<size_t>& who, const std::vector<uint32_t>& way,
                     ClockCare care);

// The row of an integer programme over `who` that this overuse breaks.
ChoiceProgramme::Row RowOf(const StaggerSystem& system, const std::vector<size_t>& who, ClockCare care,
                           const OverUse& use, WhichRoom which);

// Whether it is proven that those devices cannot all run under those of the limits.
bool CannotAllRun(const StaggerSystem& system, const std::vector<size_t>& who,
                  const std::vector<uint32_t>& limits, ClockCare care);

// Cost of each way: water, and what a move costs.
std::vector<std::vector<double>> CostsOf(const StaggerSystem& system, const std::vector<size_t>& who);
// Each device of `who` wholly on its way.
Shares SharesOf(size_t devices, const std::vector<size_t>& who, const std::vector<uint32_t>& way);

}  // namespace lastreach
