#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/result.h"
#include "network/network.h"
#include "together/pressure_judge.h"
#include "together/together_devices.h"

namespace lastreach {

// The least level a tank must keep.
struct TankReserve {
  std::string tank;  // id of its node
  double least_level_m = 0;
  std::string source;  // the source box
};

struct ConfirmOptions {
  bool standard_time = true;  // as StaggerOptions
  bool summer_time = false;
  int clock_off_min = 60;
  ClockCare care = ClockCare::kAllRight;  // how wrong the worst clocks may be
};

// One week, simulated through time with every run in it.
struct ConfirmedWeek {
  bool summer_time = false;
  std::vector<int> late_min;  // by device: how far its clock is behind; all 0 where clocks are right
  std::string clocks;         // "clocks right", "T3 40 minutes slow, T7 10 minutes fast"

  struct LowestPressure {
    NodeIndex node{};
    double pressure_m = 0;
    double least_m = 0;  // its limit
    std::string source;
    double hour = 0;  // of the week, from Monday at 0:00
  };
  // Where the pressure is nearest to its limit, or most below it; none where nothing is judged. Places short
  // with no device open are left out in those hours.
  std::optional<LowestPressure> lowest;

  struct LowestLevel {
    NodeIndex tank{};
    double level_m = 0;
    std::optional<double> least_m;  // its reserve
    std::string source;
    double hour = 0;
  };
  std::vector<LowestLevel> tanks;

  double unsettled_hours = 0;
  std::vector<NotTogether> breaks;  // what broke a limit, the worst of each hour: for Stagger
  std::vector<std::string> words;   // the same and reserves not kept, as sentences
};

// The plan through a whole week of FlowSimulation: demands by the hour, tanks that rise and fall with what
// the devices take, pumps by their rules, every run at its minute. Once with clocks right and, where `care`
// allows wrong ones, once with those clocks for which the most pressed meeting of devices comes to be; for
// standard and summer time apart. With tanks a week goes before, so that levels are those of a week among
// others.
//
// The network's own runs are left out. `way`: of each device; none for one that is not to run.
// ERROR: kNotFound for a reserve of a tank that is not there; kBadInput as FlowSimulation.
// COST: a week of flows, or two; docs/performance.md.
Result<std::vector<ConfirmedWeek>> ConfirmPressure(const Network& network, PressureJudge& judge,
                                                   const std::vector<DrawingPoint>& points,
                                                   const std::vector<TogetherDevice>& devices,
                                                   const std::vector<std::optional<uint32_t>>& way,
                                                   const std::vector<TankReserve>& reserves,
                                                   const ConfirmOptions& options = {});

}  // namespace lastreach
