#pragma once

#include <vector>

#include "plan/reach_model.h"
#include "plan/sureness.h"
#include "quality/transport.h"

namespace lastreach {

// One reach flushed by hand over a fixed set of draws of its uncertain numbers.
// THREADS: one object, one thread.
class HandTrial {
 public:
  // Of a flush: how long it is, and the earliest and latest minute of the local day at which it begins.
  struct FlushTimes {
    int minutes = 0;
    int earliest_min = 0;
    int latest_min = 0;
  };

  HandTrial(const PlanningNumbers& numbers, const Zone& zone, Date day, const std::vector<Deviates>& draws,
            int most_taps);

  // The lowest residual in each draw [mg/L], sorted, rising, from the end of a flush at the earliest minute
  // of a day to the beginning of one at the latest minute `days` later, flushes before them being as far
  // apart. What is older than ln(C0 / target) / k counts as nothing left: it is below the target.
  std::vector<double> Lows(FlushTimes times, int days);
  // The same without any flush.
  std::vector<double> LowsWithoutFlush();

  // No water older than this holds the target in any draw [days]; a longer gap is as good as no flush.
  int LongestGapThatMatters_days() const;

 private:
  double Low(const ReachModel& model, const std::vector<Run>& runs, Date begin, MinuteInstant from,
             MinuteInstant to);
  int WarmUp_days(const ReachModel& model) const;
  MinuteInstant At(Date day, int minute) const;

  double target_mg_per_l_;
  Zone zone_;
  Date day_;
  std::vector<ReachModel> models_;
  TransportWorkspace workspace_;
  std::vector<TapLow> lows_;
};

}  // namespace lastreach
