#include "plan/trial.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lastreach {
namespace {

// Below half of what a kit can tell apart.
constexpr double kNextToNothing_mg_per_l = 0.05;
constexpr int kFirstWarmUp_days = 2;
constexpr int kLongestWarmUp_days = 64;

// A single moment is worked out in another order of sums than the whole; this settles ties for the whole.
constexpr double kRounding = 1e-9;

}  // namespace

bool Trial::HoldsIn(const Timeline& line, ReadyReach& reach, std::optional<ReachFailure>& last) {
  const double target = numbers_.target_mg_per_l;
  const double judge_from_s = line.time_s[line.first_judged];
  if (last && judge_from_s + last->since_s <= line.time_s.back() &&
      reach.AtMostBefore(line, {last->judged, judge_from_s + last->since_s}) < target * (1 - kRounding)) {
    return false;
  }
  const ReachLow low = reach.Lowest(line, *workspace_, target);
  if (low.mg_per_l >= target) return true;
  last = ReachFailure{low.judged, low.when_s - judge_from_s};
  return false;
}

bool Trial::Holds(LaidOut& laid, ReadyReach& reach) {
  const double budget_s =
      std::log(reach.upstream_mg_per_l() / numbers_.target_mg_per_l) / reach.slowest_loss_per_s();
  if (!(budget_s > 0)) return false;
  // An hour more, for the day that a clock change makes shorter.
  const int longest = static_cast<int>(
      std::ceil(std::min((budget_s + kSecondsPerHour) / kSecondsPerDay, double{kLongestWarmUp_days})));
  const size_t pairs = laid.windows() * laid.clocks();
  auto& failures = workspace_->failures;
  if (failures.size() < pairs) failures.resize(pairs);
  for (size_t i = 0; i < pairs; ++i) {
    const size_t pair = (workspace_->failed_last + i) % pairs;
    const size_t window = pair / laid.clocks();
    const size_t clock = pair % laid.clocks();
    const Timeline* line = &laid.At(window, clock, std::min(kFirstWarmUp_days, longest));
    bool holds = true;
    while (holds && !reach.IsCovered(*line)) {
      const int tried = laid.warm_up_days(window, clock);
      holds = tried < longest;
      if (holds) line = &laid.At(window, clock, std::min(2 * tried, longest));
    }
    if (holds && HoldsIn(*line, reach, failures[pair])) continue;
    workspace_->failed_last = pair;
    return false;
  }
  return true;
}

bool Trial::Holds(const TimerSettings& settings, const ReachModel& model,
                  const std::vector<DateWindow>& windows, const std::vector<int>& phases) {
  LaidOut laid = Lay(settings, windows, kClockErrors_min, phases);
  ReadyReach reach(model);
  return Holds(laid, reach);
}

Low Trial::Lowest(LaidOut& laid, ReadyReach& reach) {
  Low lowest;
  lowest.mg_per_l = std::numeric_limits<double>::infinity();
  for (size_t window = 0; window < laid.windows(); ++window) {
    for (size_t clock = 0; clock < laid.clocks(); ++clock) {
      const Timeline* line = &laid.At(window, clock, kFirstWarmUp_days);
      while (!reach.IsCovered(*line)) {
        const int tried = laid.warm_up_days(window, clock);
        const bool nothing_left =
            reach.upstream_mg_per_l() * std::exp(-reach.slowest_loss_per_s() * tried * kSecondsPerDay) <
            kNextToNothing_mg_per_l;
        if (nothing_left || tried >= kLongestWarmUp_days) break;
        line = &laid.At(window, clock, std::min(2 * tried, kLongestWarmUp_days));
      }
      const ReachLow low = reach.Lowest(*line, *workspace_);
      if (low.mg_per_l >= lowest.mg_per_l) continue;
      lowest = {low.mg_per_l, low.judged,
                line->begin + std::chrono::minutes(static_cast<int64_t>(low.when_s / kSecondsPerMinute))};
    }
  }
  return lowest;
}

Low Trial::Lowest(const TimerSettings& settings, const ReachModel& model, DateWindow window,
                  std::span<const int> clock_errors_min, const std::vector<int>& phases) {
  LaidOut laid = Lay(settings, {&window, 1}, clock_errors_min, phases);
  ReadyReach reach(model);
  return Lowest(laid, reach);
}

}  // namespace lastreach
