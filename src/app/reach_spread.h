#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "calendar/runs.h"
#include "core/result.h"
#include "core/zone.h"
#include "plan/facts.h"
#include "plan/reach_model.h"
#include "quality/ensemble.h"

namespace lastreach {

struct SpreadAsk {
  // Changes the answer.
  DateWindow season;           // looked through for the worst moment
  size_t weeks = 64;           // how many are drawn
  std::string name;            // of the draws
  bool along_the_pipe = true;  // whether water spreads along the pipe
  unsigned threads = 0;        // changes the speed alone; 0: one a core
};

// One service, or the end.
struct SpreadPlace {
  int service = 0;    // 1 is nearest the main; 0 is the end
  std::string words;  // "service 3 of 7", "the end"
  TapSpread weeks;    // each list in ascending order, one value a week
  // The same days with every household drawing its average by the hour, in plug flow, as planning has it.
  double smooth_lowest_mg_per_l = 0;
  double smooth_greatest_age_s = 0;

  size_t WeeksBelow(double mg_per_l) const;
};

struct ReachSpread {
  std::vector<SpreadPlace> places;  // from the main on; the end, past the last service, where a device runs
  DateWindow week;                  // seven days round the worst moment of the season
  int warm_up_days = 0;             // simulated before them
  bool older_than_warm_up = false;  // some water told of was in the reach before that: it counts as empty
  size_t runs = 0;                  // in the week
  double standing_m = 0;            // past the last service, where no device runs: not told of
  std::optional<double> target_mg_per_l;
  double upstream_mg_per_l = 0;
  double temperature_c = 0;
  double demand_m3_per_s = 0;
  int services = 0;
  PulseLaw law;
  std::vector<std::string> assumed;  // numbers nobody measured, in words

  // The place that comes lowest in the middle of the weeks, the furthest of several.
  const SpreadPlace& Worst() const;
};

// The branch of a model with the loss at its walls put to that in the bulk, at the mean rate of a drive with
// steady taps. A wall's laws begin anew whenever water comes to rest or moves (still_water.h), as if each use
// in the street mixed the water over the width; at hundreds of uses a day the walls would take many times
// what they do. ERROR: with steady taps the lows of the two branches differ by less than a kit can read (in
// the test).
Branch WithMeanWallLoss(const ReachModel& model, const BranchDrive& drive);

// A reach through the same week many times over, households drawing at random (household_pulses.h): arrivals
// as many as each service's average use by the hour takes. Loss, widths and flows at their middle values,
// walls at their mean rate; the device by its present settings with the clock as last found, off where there
// are none. What was in the reach at the start carries nothing; the warm-up is half as long again as the
// oldest water of the smooth case, at most six weeks.
//
// DETERMINISM: the same facts and ask give the same spread, whatever the number of threads.
// ERROR: kBadInput as GatherNumbers, and where nobody draws on the reach. Cells are a fiftieth of the reach
// long, a metre at least: off by less than 0.01 mg/L and 1.5 % of an age (observed on three reaches, beside
// cells of a quarter). COST: see SpreadUnderPulses.
Result<ReachSpread> SpreadOnReach(const DeviceFacts& facts, const Zone& zone, const SpreadAsk& ask,
                                  const std::function<void(size_t done)>& progress = {});

}  // namespace lastreach
