#pragma once

#include <optional>
#include <vector>

#include "evidence/point_records.h"

namespace lastreach {

// One opening that is known of: by the settings in the ground, or because somebody logged it.
struct KnownRun {
  Instant begin{};
  Instant end{};
  double volume_m3 = 0;  // by the flow, times its odds, or as logged; see KnownRuns::flow_known
  double odds = 1;
  double shared_sd_m3 = 0;           // of the flow, and so in step with that of the point's other runs
  double own_sd_m3 = 0;              // of a logged volume; the timer's runs scatter by ExpectedBetween
  const FlushRun* logged = nullptr;  // none: by the timer
};

struct KnownRuns {
  std::vector<KnownRun> runs;  // in order of begin
  // Whether the point's flow is known. Without it volumes count a flow of 1 m3/s: good for shares only.
  bool flow_known = false;
  double unknown_s = 0;  // time for which nobody wrote down the settings; hand-flushed points have none
};

// Those that touch [from, to). A logged run that overlaps one of the timer is that run, as it was seen.
// The records must outlive the answer.
KnownRuns KnownRunsBetween(const PointRecords& records, Instant from, Instant to);

// The water of `runs` that falls into [from, to), each run's evenly over its time.
double WaterBetween(const std::vector<KnownRun>& runs, Instant from, Instant to);
double ShareWithin(const KnownRun& run, Instant from, Instant to);  // 0 to 1

}  // namespace lastreach
