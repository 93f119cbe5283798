#pragma once

#include <cstdint>
#include <vector>

#include "together/pressure_judge.h"
#include "together/shared_limit.h"

namespace lastreach {

// Devices that are open together at some minute: all of `together`, and with them any one of `one_of`.
struct Meeting {
  size_t state = 0;  // of the network, PressureJudge
  int minute = 0;    // the first such, of the week or day
  OpenSet together;
  OpenSet one_of;
};

// Every set that the chosen ways bring together, so much care taken of clocks; each once a state.
std::vector<Meeting> MeetingsOf(const TimeTable& table, const PressureMoments& moments, const Shares& chosen,
                                ClockCare care);

// A set that breaks a limit on pressure.
struct BrokenSet {
  size_t state = 0;
  int minute = 0;
  OpenSet open;
  JudgedSet judged;
};

// Meetings that break it: some `enough` of them, or all there are if fewer. Devices of which one at a time
// joins are judged many at once, and told apart only where that does not hold.
std::vector<BrokenSet> FindBroken(PressureJudge& judge, const std::vector<Meeting>& meetings,
                                  size_t enough = SIZE_MAX);

// A part of a set that breaks the limit and holds without the last of those drops at the place are ordered
// by: it still breaks it, and nearly every device in it is needed for that. COST: some ten solves.
BrokenSet SmallestBreaking(PressureJudge& judge, const BrokenSet& broken);

}  // namespace lastreach
