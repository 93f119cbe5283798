#pragma once

#include <vector>

#include "calendar/runs.h"
#include "core/zone.h"
#include "plan/facts.h"
#include "plan/numbers.h"
#include "plan/reach_model.h"
#include "quality/transport.h"

namespace lastreach {

// Whether the present settings of a device ever open its valve.
bool MakesRuns(const DeviceFacts& facts);

// The seven days a spread is drawn for, and what the reach does in them when every household draws its
// average by the hour: middle values, the device by its present settings with its clock as last found.
//
// The days: round the worst moment of the season; its first seven where nothing is flushed, as all are alike.
// The warm-up before them: until no water judged was there at the start, and half as long again and a day, as
// chance may make water older; six weeks at most.
class SpreadWeek {
 public:
  // REQUIRES: facts.present. `facts` and `zone` stay where they are.
  SpreadWeek(const DeviceFacts& facts, const Zone& zone, const PlanningNumbers& numbers, DateWindow season);

  const ReachModel& model() const { return model_; }
  const BranchDrive& drive() const { return drive_; }            // warm-up and week
  const std::vector<size_t>& places() const { return places_; }  // segments told of, from the main on
  const TapLow& smooth(size_t segment) const { return smooth_[segment]; }
  bool SawInitialWater() const;
  DateWindow days() const { return days_; }
  int warm_up_days() const { return warm_up_days_; }
  double judge_from_s() const { return judge_from_s_; }
  double standing_m() const { return standing_m_; }  // past the last service, where nothing is flushed
  size_t RunsInTheWeek() const;

 private:
  MinuteInstant Moment(Date date) const;
  void ChooseDays(const PlanningNumbers& numbers);
  void LeaveOutWhatStands();
  void WarmUp(int days);
  void WarmUpLongEnough();

  const DeviceFacts& facts_;
  const Zone& zone_;
  TimerSettings settings_;
  DateWindow season_;
  ReachModel model_;
  std::vector<int> phases_;
  DateWindow days_;
  std::vector<size_t> places_;
  int warm_up_days_ = 0;
  std::vector<Run> runs_;
  BranchDrive drive_;
  double judge_from_s_ = 0;
  std::vector<TapLow> smooth_;
  double standing_m_ = 0;
};

}  // namespace lastreach
