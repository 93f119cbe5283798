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

// Which draws settings of one family (the same days and starts, other minutes) were found to hold or fail in:
// what holds holds with more minutes in any programme, and what fails fails with fewer.
class FamilyRecord {
 public:
  explicit FamilyRecord(size_t draws = 0) : held_(draws, 0), failed_(draws, 0) {}

  // Ready to be asked about settings with these minutes, and to be told.
  void TurnTo(const TimerSettings& settings);
  bool IsKnownToHold(size_t draw) const { return (held_[draw] & no_longer_) != 0; }
  bool IsKnownToFail(size_t draw) const { return (failed_[draw] & no_shorter_) != 0; }
  void Note(size_t draw, bool holds) { (holds ? held_ : failed_)[draw] |= now_; }

 private:
  std::vector<std::vector<int>> tried_;  // minutes by programme; no more than 64, later ones are forgotten
  std::vector<uint64_t> held_, failed_;  // by draw, a bit for each of `tried_`
  uint64_t no_longer_ = 0, no_shorter_ = 0, now_ = 0;
};

// Judges settings over a fixed set of draws.
class SurenessJudge {
 public:
  // Draws are sorted so that the hardest come first, by the slopes.
  SurenessJudge(Trial& trial, std::vector<Deviates> draws, const Deviates& slopes, int most_taps = kEveryTap);

  size_t draws() const { return reaches_.size(); }

  // Whether the settings hold in at least `sureness` of the draws. Stops as soon as that cannot be any more.
  // Draws in which settings failed last are tried first, and one that is no worse in any number than another
  // that holds is taken to hold: no water gets older with less volume or more flow, and the walls' grip on
  // faster water is the one place where that is physics and not proof. What is reported comes from Lows,
  // which tries every draw.
  bool Holds(const TimerSettings& settings, const std::vector<DateWindow>& windows, double sureness,
             const std::vector<int>& phases = {});
  // The same, leaving out what is known of the family. REQUIRES: `family` was told of these draws only, and
  // of settings that differ from these in minutes only.
  bool Holds(const TimerSettings& settings, const std::vector<DateWindow>& windows, double sureness,
             FamilyRecord& family, const std::vector<int>& phases = {});

  // The lowest residual in each draw over one window [mg/L], sorted, rising. Once fewer than `at_least_sure`
  // of the draws can hold the target, those not yet tried count as having nothing left.
  std::vector<double> Lows(const TimerSettings& settings, DateWindow window,
                           std::span<const int> clock_errors_min, const std::vector<int>& phases = {},
                           double at_least_sure = 0);
  // The same of settings laid out, on whatever timer.
  std::vector<double> Lows(LaidOut& laid, double at_least_sure = 0);

 private:
  size_t MayFail(double sureness) const;

  Trial& trial_;
  std::vector<ReadyReach> reaches_;
  std::vector<size_t> order_;                  // in which draws are tried
  std::vector<std::vector<uint32_t>> harder_;  // of each draw, some that are worse than it in every number
  std::vector<char> failed_now_, held_now_;
};

}  // namespace lastreach
