#pragma once

#include <vector>

#include "together/stagger_system.h"

namespace lastreach {

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

}  // namespace lastreach
