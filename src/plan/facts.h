#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "calendar/controller_form.h"
#include "calendar/settings.h"
#include "core/origin.h"
#include "core/zone.h"
#include "ledger/flush_point.h"
#include "ledger/limits.h"
#include "ledger/reach.h"

namespace lastreach {

// Another device that draws from this reach on its way, as it is set: at the downstream end of
// reach.pipes[pipe], so that pipes 0 to `pipe` carry its water too.
//
// What it freshens is counted on, so it is counted cautiously: as keyed, with its clock right; by its flow as
// badly known as `flow_known` says, and low in the same draws as this device's own; starts that overlap count
// as dropped where nobody knows better, and programmes whose first day nobody knows not at all. That it is
// on, and runs as keyed, is taken for granted: a device that dies takes its neighbours' margin with it.
struct BesideFlow {
  size_t pipe = 0;
  ControllerForm form;
  TimerSettings settings;
  double flow_m3_per_s = 0;
  OriginKind flow_known = OriginKind::kAssumed;
};

// Settings planned for nearly the same water, as a beginning. Where the same days and starts, with the
// minutes that are sure now, are as near to the bound as they were then, nothing else is looked for.
struct PlannedBefore {
  TimerSettings settings;
  double water_m3_per_day = 0;
  double bound_m3_per_day = 0;
  bool together = false;  // with the devices it shares mains with
};

// All that is known of one device when its settings are planned.
struct DeviceFacts {
  FlushPoint point;
  ControllerForm form;
  Reach reach;
  SupplyZone supply;
  std::vector<Limit> limits;             // those that cover this point
  std::optional<TimerSettings> present;  // latest as-left or as-found
  int present_clock_fast_minutes = 0;    // how far its clock was last found off

  // Of each pipe of the reach, the same in every reach that has it; empty where it is not known whether pipes
  // are shared.
  std::vector<std::string> pipe_ids;
  std::vector<BesideFlow> beside;
  // The lowest residual in the well-fed main in each local hour of the worst week, from the network [mg/L].
  // Stands for the one number's middle; its spread stays.
  std::optional<std::array<double, 24>> root_mg_per_l_by_hour;
  std::optional<PlannedBefore> planned_before;
};

struct PlanOptions {
  // Changes the answer.
  Zone zone = Zone::Utc();
  Date from;                              // the season, local dates
  Date to;                                // left out
  std::string season;                     // its name on sheets
  std::optional<double> target_mg_per_l;  // for every device; else each zone's own
  double sureness = 0.9;                  // share of draws in which every service holds the target
  std::optional<double> temperature_c;    // for every reach; else each zone's worst week
  // A change of settings costs a visit: below this saving in water, settings that hold are left as they are.
  double worth_a_visit = 0.10;
  // Up to this share more water is spent to open the valve fewer times a day: less to key, less battery and
  // wear. 0 for the least water whatever it takes.
  double simpler_within = 0.10;
  // Shorter runs are not planned while longer ones will do: a valve takes up to half a minute to open and to
  // close (common practice, no source), so what a shorter run delivers is not known.
  int least_run_minutes = 3;
  uint64_t seed = 20260701;  // of the draws; the same seed gives the same plan

  // Changes the speed, and how finely sureness is told.
  int search_taps = 8;          // services told apart while searching; every one is when confirming
  int draws = 300;              // in the search; +-3 points of sureness at 0.9
  int confirming_draws = 1000;  // fresh ones, for the sureness reported

  // Whether DevicePlan::binds says what could be let go: a search for each such thing.
  bool what_binds = true;

  // Asked now and then, from any thread: once it says so, planning ends with what is sure by then. What was
  // not planned to the end is marked (DevicePlan::stopped_early).
  std::function<bool()> stop{};
  bool ShouldStop() const { return stop && stop(); }
};

}  // namespace lastreach
