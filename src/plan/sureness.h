#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "plan/numbers.h"
#include "plan/trial.h"

namespace lastreach {

// `count` draws of the uncertain numbers, standard normal, the same for the same seed on every machine.
// Stratified (Latin hypercube): in each number, one draw falls in each of `count` equally likely slices,
// which halves the noise of a share against plain draws where one number dominates. SOURCE: McKay, Beckman &
// Conover, Technometrics 21(2), 239-245, 1979 (from memory).
std::vector<Deviates> StratifiedDraws(size_t count, uint64_t seed);
// Independent draws, for confirming with numbers the search has not seen.
std::vector<Deviates> PlainDraws(size_t count, uint64_t seed);

// The deviates that settings must survive if they are to hold with probability `sureness`, to first order:
// along the direction in which the residual falls fastest, as far as the normal quantile of `sureness`.
// `slopes` are -d ln(residual) / d(deviate); negative ones count as 0.
Deviates CornerOf(const Deviates& slopes, double sureness);

// A first guess of the slopes where no settings are known yet: with all the loss allowed, Lambda = ln(C0 /
// target), d ln C = -Lambda d ln(k V / Q) + d ln C0, half of it felt through demand and a third through
// walls.
Deviates GuessSlopes(const PlanningNumbers& numbers);

// Slopes measured at some settings, by one deviate each.
Deviates MeasureSlopes(Trial& trial, const TimerSettings& settings, DateWindow window, const Deviates& at);

// Judges settings over a fixed set of draws.
class SurenessJudge {
 public:
  // Draws are sorted so that the hardest come first, by the slopes.
  SurenessJudge(Trial& trial, std::vector<Deviates> draws, const Deviates& slopes, int most_taps = kEveryTap);

  // Whether the settings hold in at least `sureness` of the draws. Stops as soon as that cannot be any more.
  bool Holds(const TimerSettings& settings, const std::vector<DateWindow>& windows, double sureness,
             const std::vector<int>& phases = {});

  // The lowest residual in each draw over one window [mg/L], sorted, rising. Once fewer than `at_least_sure`
  // of the draws can hold the target, those not yet tried count as having nothing left.
  std::vector<double> Lows(const TimerSettings& settings, DateWindow window,
                           std::span<const int> clock_errors_min, const std::vector<int>& phases = {},
                           double at_least_sure = 0);

 private:
  size_t MayFail(double sureness) const;

  Trial& trial_;
  std::vector<ReadyReach> reaches_;
};

}  // namespace lastreach
