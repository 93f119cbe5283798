#include "year/hand_trial.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lastreach {
namespace {

constexpr int kLongestWarmUp_days = 64;  // as in planning

}  // namespace

HandTrial::HandTrial(const PlanningNumbers& numbers, const Zone& zone, Date day,
                     const std::vector<Deviates>& draws, int most_taps)
    : target_mg_per_l_(numbers.target_mg_per_l), zone_(zone), day_(day) {
  for (const Deviates& draw : draws) models_.push_back(ModelReach(numbers, draw, most_taps));
}

std::vector<double> HandTrial::Lows(FlushTimes times, int days) {
  std::vector<double> lows;
  const MinuteInstant next = At(AddDays(day_, days), times.latest_min);
  for (const ReachModel& model : models_) {
    const Date begin = AddDays(day_, -WarmUp_days(model));
    std::vector<Run> runs;
    for (Date day = day_; day >= begin; day = AddDays(day, -days))
      runs.push_back({At(day, times.earliest_min), times.minutes, 1});
    std::reverse(runs.begin(), runs.end());
    const MinuteInstant from = runs.back().end();
    lows.push_back(Low(model, runs, begin, from, next));
  }
  std::sort(lows.begin(), lows.end());
  return lows;
}

std::vector<double> HandTrial::LowsWithoutFlush() {
  std::vector<double> lows;
  for (const ReachModel& model : models_) {
    const Date begin = AddDays(day_, -WarmUp_days(model));
    lows.push_back(Low(model, {}, begin, At(day_, 0), At(AddDays(day_, 1), 0)));
  }
  std::sort(lows.begin(), lows.end());
  return lows;
}

int HandTrial::LongestGapThatMatters_days() const {
  int longest = 1;
  for (const ReachModel& model : models_) longest = std::max(longest, WarmUp_days(model));
  return longest;
}

double HandTrial::Low(const ReachModel& model, const std::vector<Run>& runs, Date begin, MinuteInstant from,
                      MinuteInstant to) {
  const MinuteInstant begins = At(begin, 0);
  const BranchDrive drive = DriveOf(model, runs, zone_, begins, to);
  const auto seconds = [&](MinuteInstant t) {
    return static_cast<double>((t - begins).count()) * kSecondsPerMinute;
  };
  lows_.resize(model.branch.segments.size());
  LowestResiduals(model.branch, drive, seconds(from), seconds(to), model.kinetics, workspace_, lows_);
  double low = std::numeric_limits<double>::infinity();
  for (const size_t judged : model.judged) low = std::min(low, lows_[judged].lowest_mg_per_l);
  return low;
}

int HandTrial::WarmUp_days(const ReachModel& model) const {
  const double budget_s = std::log(model.upstream_mg_per_l / target_mg_per_l_) / model.slowest_loss_per_s;
  // An hour more, for the day that a clock change makes shorter.
  const double days = std::ceil((budget_s + kSecondsPerHour) / kSecondsPerDay);
  return static_cast<int>(std::clamp(days, 1.0, double{kLongestWarmUp_days}));
}

MinuteInstant HandTrial::At(Date day, int minute) const {
  return std::chrono::floor<std::chrono::minutes>(
      zone_.FirstInstant(Midnight(day) + std::chrono::minutes(minute)));
}

}  // namespace lastreach
