#pragma once

#include <memory>
#include <span>

#include "calendar/answer.h"
#include "plan/device_plan.h"
#include "plan/facts.h"
#include "plan/sureness.h"
#include "plan/trial.h"

namespace lastreach {

// Measures settings on one reach, planned and present alike, so that the two can be set side by side.
class Measurer {
 public:
  // `corner`: the model in which the season is searched for its worst moment.
  Measurer(const PlanOptions& options, const PlanningNumbers& numbers, const ReachModel& corner,
           const Deviates& slopes, std::shared_ptr<ReadyReach::Workspace> workspace);

  // What `settings` do on a timer of this form whose clock is off by any of `clocks_min`. The season is
  // searched for its worst moment at the corner; around it the draws give sureness and the residual at the
  // asked-for sureness. `answer`: the calendar of the same settings over the season. What is less sure than
  // `at_least_sure` is not followed up: the draws left then count as failing.
  Outcome OutcomeOf(const ControllerForm& form, const TimerSettings& settings,
                    std::span<const int> clocks_min, const CalendarAnswer& answer, double at_least_sure = 0);

  // The residual at one place over the fortnight around `when`, middle values, every quarter of an hour.
  ResidualSeries SeriesOf(const ControllerForm& form, const TimerSettings& settings, int clock_fast_min,
                          const TapName& place, MinuteInstant when, const std::vector<int>& phases) const;

  TapName NameOf(size_t judged) const;

 private:
  DateWindow Around(MinuteInstant when, int days_before, int days) const;
  // The windows of the season in which its worst moment is looked for: all of it unless every day is alike.
  std::vector<DateWindow> WindowsToSearch(const TimerSettings& settings, bool alike) const;

  const PlanOptions& options_;
  const PlanningNumbers& numbers_;
  const ReachModel& corner_;
  std::shared_ptr<ReadyReach::Workspace> workspace_;
  Trial trial_;
  ReadyReach ready_corner_, ready_middle_;
  SurenessJudge judge_;
};

// Phases that count from one day, as they count from `days` later: one for each programme whose every-N has
// no first day.
std::vector<int> PhasesFrom(const TimerSettings& settings, const std::vector<int>& phases, int days);

// The same settings as if keyed long before: an every-N programme keeps its days and starts ten weeks of
// cycles earlier, so that a warm-up finds it running.
TimerSettings KeyedLongAgo(TimerSettings settings);

}  // namespace lastreach
