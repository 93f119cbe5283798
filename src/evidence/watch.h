#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "evidence/point_records.h"
#include "ledger/limits.h"
#include "ledger/reach.h"

namespace lastreach {

// What wants looking at before it becomes trouble. The words are printed: never change them.
enum class WatchKind {
  kLowAfterRun,     // below target just after a full run: flushing is not the answer there
  kLowBeforeRun,    // below target late in the gap before a run
  kFalling,         // a trend that reaches the target soon
  kNitrification,   // signs of it, in a zone of chloramine
  kTemporary,       // settings with a day on which they are to be put back
  kOffUnexplained,  // off, without a reason or a day on which it ends
  kBattery,
  kRefill,    // of what takes the residual out at the outlet
  kFlowTest,  // its flow was never or long not measured
};
std::string_view ToText(WatchKind kind);  // "low after a full run", "low before the next run", ...

struct WatchItem {
  WatchKind kind = WatchKind::kLowAfterRun;
  PointCode point;
  std::string sentence;     // what was seen, with its numbers and days
  std::string what_to_do;   // one line
  std::optional<Date> due;  // of what has a day
  bool overdue = false;     // that day is past, or there is nothing to wait for
};

// Days without a source are common practice; thresholds of nitrification are the user's own and are not used
// where none is given.
struct WatchOptions {
  Date today{};
  int battery_days = 365;
  int refill_days = 30;
  int flow_test_days = 365;
  int soon_days = 14;         // what falls due within these days is told
  int falling_days = 60;      // a trend is told that reaches the target within these days
  int recent_days = 92;       // samples older than that say nothing about now
  double full_run_hours = 2;  // a sample so soon after a run shows what the run brought
  std::optional<double> nitrite_mg_n_per_l{}, free_ammonia_mg_n_per_l{};
};

struct WatchFacts {
  PointRecords records;
  SupplyZone supply;
  std::vector<Limit> limits;  // those that bind the point
};

// Of one point, in the order of WatchKind.
//   Trend: least squares of the residuals of recent_days over time, at least five; told where the slope is
//   below 0 by two of its standard errors.
//   Nitrification, in its order: total chlorine falls (trend), then free ammonia is above its threshold or
//   has fallen to none, then nitrite above its threshold. One sign is told, more are told as more; a fall of
//   the total alone is none where the other two were sampled within a fortnight and are within thresholds.
// ERROR: none. REQUIRES: lists in order of time.
std::vector<WatchItem> Watch(const WatchFacts& facts, const WatchOptions& options);

}  // namespace lastreach
