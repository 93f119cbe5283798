#pragma once

#include <optional>
#include <vector>

#include "month/dial.h"
#include "month/known_runs.h"

namespace lastreach {

// One line of the flush log: a run, so far as it falls into the month.
struct MonthFlush {
  Instant begin{};
  Instant end{};
  double volume_m3 = 0;
  bool metered = false;              // its part of what a meter showed
  bool unexplained = false;          // a meter's water that no run known of explains
  double odds = 1;                   // below 1 where nobody knows whether the settings stood there then
  const FlushRun* logged = nullptr;  // where somebody logged it
};

// What one point let out in a month, and how that is known.
//
// Where two reads enclose a moment it is metered: the interval's volume is shared over its time as the known
// runs are, or evenly where there are none. Where they do not, it is the known runs' own volumes. Deviations
// are one standard deviation:
//
//   metered    (2 % of the volume)^2 + sum over intervals of (s times what the dial can show)^2 and s (1 - s)
//   D^2, D the difference between what the
//              meter showed and the runs make, s the share of the interval that counts: all of D may have
//              come at one moment; and, where a read that bounds the stretch has no time of day, the water of
//              the hours in which it may have been taken, over sqrt(12)
//   estimated  (sum of the flow's part of every run)^2 + sum of (each run's own part)^2
struct PointWater {
  double metered_m3 = 0;
  double metered_sd_m3 = 0;
  double estimated_m3 = 0;
  double estimated_sd_m3 = 0;
  double open_s = 0;          // of the known runs within the month, by their odds
  double runs = 0;            // likewise
  double metered_s = 0;       // time of the month between two reads
  double unknown_s = 0;       // of the rest: time for which nothing is known, which is not in the volumes
  bool flow_missing = false;  // the rest cannot be estimated either: nobody knows the flow
  std::vector<MonthFlush> flushes;  // in order of begin; their volumes add up to both kinds

  double total_m3() const { return metered_m3 + estimated_m3; }
  double sd_m3() const;
};

// How a dial interval stands to the runs known of.
struct IntervalCheck {
  DialInterval interval;
  double expected_m3 = 0;
  double expected_sd_m3 = 0;
  bool is_known = false;  // whether anything is expected at all: settings and flow are known throughout
  bool Differs() const;   // by more than two deviations of the two together and a tenth of what is expected
};

// Over [begin, end). The records must outlive the answer.
PointWater WaterOfPoint(const PointRecords& records, Instant begin, Instant end);

// Every dial interval that ends after `begin`, in order.
std::vector<IntervalCheck> CheckIntervals(const PointRecords& records, Instant begin);

}  // namespace lastreach
