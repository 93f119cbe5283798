#include "plan/trial.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lastreach {
namespace {

// Below half of what a kit can tell apart.
constexpr double kNextToNothing_mg_per_l = 0.05;
constexpr int kLongestWarmUp_days = 64;

MinuteInstant LocalMidnight(const Zone& zone, Date date) {
  return std::chrono::floor<std::chrono::minutes>(zone.FirstInstant(Midnight(date)));
}

}  // namespace

Trial::Judged Trial::Judge(const TimerSettings& settings, const ReachModel& model, DateWindow window,
                           int fast_minutes, int warm_up_days, const std::vector<int>& phases) {
  ++trials_;
  const DateWindow whole{AddDays(window.from, -warm_up_days), window.to};
  // Unknown phases count from the window's own first day, so shift them to stay the same days.
  std::vector<int> shifted = phases;
  for (size_t i = 0, unknown = 0; i < settings.programmes.size() && unknown < shifted.size(); ++i) {
    const auto* every = std::get_if<EveryNDays>(&settings.programmes[i].days);
    if (every == nullptr || every->from) continue;
    shifted[unknown] = (shifted[unknown] + warm_up_days) % every->n;
    ++unknown;
  }
  const std::vector<Run> runs = ExpandRuns(form_, settings, zone_, whole, Clock(fast_minutes), shifted);
  const MinuteInstant begin = LocalMidnight(zone_, whole.from);
  const MinuteInstant judge_from = LocalMidnight(zone_, window.from);
  const MinuteInstant end = LocalMidnight(zone_, window.to);
  const BranchDrive drive = DriveOf(model, runs, zone_, begin, end);
  lows_.resize(model.branch.segments.size());
  const auto seconds = [begin](MinuteInstant t) {
    return static_cast<double>((t - begin).count()) * kSecondsPerMinute;
  };
  LowestResiduals(model.branch, drive, seconds(judge_from), seconds(end), model.kinetics, *workspace_, lows_);

  Judged judged;
  judged.low.mg_per_l = std::numeric_limits<double>::infinity();
  for (size_t i = 0; i < model.judged.size(); ++i) {
    const TapLow& tap = lows_[model.judged[i]];
    judged.saw_initial |= tap.saw_initial_water;
    judged.greatest_age_s = std::max(judged.greatest_age_s, tap.greatest_age_s);
    if (tap.lowest_mg_per_l < judged.low.mg_per_l) {
      judged.low = {tap.lowest_mg_per_l, i,
                    begin + std::chrono::minutes(static_cast<int64_t>(tap.when_s / kSecondsPerMinute))};
    }
  }
  return judged;
}

bool Trial::Holds(const TimerSettings& settings, const ReachModel& model,
                  const std::vector<DateWindow>& windows, const std::vector<int>& phases) {
  const double budget_s =
      std::log(model.upstream_mg_per_l / numbers_.target_mg_per_l) / model.slowest_loss_per_s;
  if (!(budget_s > 0)) return false;
  // An hour more, for the day that a clock change makes shorter.
  const int warm_up = static_cast<int>(
      std::ceil(std::min((budget_s + kSecondsPerHour) / kSecondsPerDay, double{kLongestWarmUp_days})));
  for (const DateWindow& window : windows) {
    for (const int fast : kClockErrors_min) {
      const Judged judged = Judge(settings, model, window, fast, warm_up, phases);
      if (judged.low.mg_per_l < numbers_.target_mg_per_l) return false;
    }
  }
  return true;
}

Low Trial::Lowest(const TimerSettings& settings, const ReachModel& model, DateWindow window,
                  std::span<const int> clock_errors_min, const std::vector<int>& phases, int* warm_up_days) {
  Low lowest;
  lowest.mg_per_l = std::numeric_limits<double>::infinity();
  int warm_up = warm_up_days != nullptr ? std::clamp(*warm_up_days, 1, kLongestWarmUp_days) : 2;
  double greatest_age_s = 0;
  for (const int fast : clock_errors_min) {
    while (true) {
      const Judged judged = Judge(settings, model, window, fast, warm_up, phases);
      const double warm_up_s = warm_up * kSecondsPerDay;
      const bool nothing_left =
          model.upstream_mg_per_l * std::exp(-model.slowest_loss_per_s * warm_up_s) < kNextToNothing_mg_per_l;
      if (judged.saw_initial && !nothing_left && warm_up < kLongestWarmUp_days) {
        warm_up = std::min(2 * warm_up, kLongestWarmUp_days);
        continue;
      }
      greatest_age_s = std::max(greatest_age_s, judged.saw_initial ? warm_up_s : judged.greatest_age_s);
      if (judged.low.mg_per_l < lowest.mg_per_l) lowest = judged.low;
      break;
    }
  }
  if (warm_up_days != nullptr) *warm_up_days = static_cast<int>(std::ceil(greatest_age_s / kSecondsPerDay));
  return lowest;
}

}  // namespace lastreach
