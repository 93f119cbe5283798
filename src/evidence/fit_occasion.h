#pragma once

#include <string>
#include <vector>

#include "calendar/runs.h"
#include "evidence/fit_facts.h"
#include "evidence/share_curve.h"
#include "plan/numbers.h"
#include "plan/reach_model.h"

namespace lastreach {

// Water that was let out by hand, or with readings, at a flow of its own.
struct OwnRun {
  MinuteInstant start, end;
  double flow_m3_per_s = 0;
  bool told_flow = false;  // its readings told the flow; else it is the point's
};

// One reading of an occasion, ready to be predicted.
struct OccasionReading {
  Instant when{};
  std::vector<ShareQuery> queries;  // from the occasion's begin; several where the time of day is not known
  bool in_main = false;
  std::optional<double> hours_since_run;
  double mg_per_l = 0;
  bool below_detection = false;
  double sd_mg_per_l = 0;  // of the reading and of what the model leaves out
};

// The readings of one point on one day, with all that moved its water before.
struct FitOccasion {
  std::size_t point = 0;    // index into FitFacts::points
  PlanningNumbers numbers;  // middle values in the water of that day
  std::vector<Run> runs;    // every time the valve was open, in order, without overlap
  std::vector<OwnRun> own;
  MinuteInstant begin, end;
  std::vector<OccasionReading> readings;
  bool own_main = false;        // two readings and more: what the main had that day is fitted too
  double told_flow_log_sd = 0;  // of own runs that told their flow
};

// What GatherNumbers says of a point in the water of a month, at a temperature where one was read.
Result<PlanningNumbers> NumbersOn(const FitPoint& point, const FitFacts& facts, const FitOptions& options,
                                  Date day, std::optional<double> temperature_c);

// The runs of a point between two moments: by the settings that stood in its timer, and by hand.
void RunsOf(const FitPoint& point, const FitOptions& options, MinuteInstant begin, MinuteInstant end,
            FitOccasion& occasion);

// Sorts the residuals of a point into occasions. Readings of another analyte than the zone is held by, in the
// future, and of points of which too little is known go to `left_out`, a sentence for each reason.
//
// A reading without a time of day counts as taken at any hour from 8 to 16. The warm-up reaches back until
// the water read entered after its begin, or until nothing would be left of it, to at most 32 days.
std::vector<FitOccasion> OccasionsOf(const FitFacts& facts, std::size_t point, const FitOptions& options,
                                     std::vector<std::string>& left_out, std::vector<std::string>& assumed);

// The flows of an occasion under given numbers: DriveOf with own runs at their own flow, and instants where
// readings are. `own_flow_factor` multiplies flows that readings told, `flow_factor` those of hand flushes.
BranchDrive DriveOfOccasion(const FitOccasion& occasion, const ReachModel& model, const Zone& zone,
                            double own_flow_factor, double flow_factor);

}  // namespace lastreach
