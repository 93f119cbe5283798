#pragma once

#include <functional>
#include <optional>
#include <utility>
#include <vector>

#include "plan/day_patterns.h"
#include "plan/start_rules.h"
#include "plan/trial.h"

namespace lastreach {

// Within this share, two amounts of water count as equal.
inline constexpr double kSameWater = 0.02;

// One way of keying a device: days, and the programmes' starts and minutes.
struct Candidate {
  struct Block {
    std::vector<int> starts_min;  // rising
    int minutes = 0;
  };
  DayPattern days = kEveryWeekday;
  std::vector<Block> programmes;
  double water_m3_per_day = 0;  // at the middle flow, over the season's days
  double runs_per_day = 0;
  int starts() const;                  // a day
  std::vector<int> AllStarts() const;  // of all programmes, rising
};

// What such settings are as a candidate, not measured; none where programmes have days of their own, a share
// is cut off all runs, or nothing runs.
std::optional<Candidate> CandidateOf(const TimerSettings& settings);

// Looks for the settings that hold the target in one model with the least water.
//
// For every pattern and number of starts a day, starts are spread evenly over the day at every offset (or,
// where the form allows few enough, every set of starts is tried), moved off forbidden hours, and the whole
// minutes are found by bisection: more minutes never let the water get older, so what holds at m holds at m
// + 1. A structure whose best case cannot beat the best so far is dropped after one trial. The winners'
// starts are then shifted and their programmes' minutes trimmed one at a time for as long as that saves
// water.
//
// DETERMINISM: no randomness. COST: a few thousand trials.
class Search {
 public:
  Search(Trial& trial, const ReachModel& model, const StartRules& rules, const ControllerForm& form,
         DateWindow season, bool every_day_pattern = false, double simpler_within = 0.10,
         std::function<bool()> stop = {});

  // The best few kinds, a kind being days and a number of starts: of each the one with the least water, and
  // up to seven more with as little. Least water first; empty if nothing holds. Other draws than this model's
  // decide between those of a kind: what holds with equal minutes here need not elsewhere. Once `stop` says
  // so, the best of what was found by then.
  std::vector<Candidate> Best(size_t most);

  // The settings a candidate stands for. Every-N starts on the season's first day.
  TimerSettings SettingsOf(const Candidate& candidate) const;
  // The same as if they had been keyed long before the season, so that a warm-up finds them running.
  TimerSettings SteadySettingsOf(const Candidate& candidate) const;

  // Shifts starts and trims programmes one at a time for as long as that saves water.
  void Improve(Candidate& candidate);

  bool Holds(const Candidate& candidate);

  // Fills in the candidate's water and runs a day.
  void Measure(Candidate& candidate) const;

 private:
  // Whether about the most water this pattern can give holds, for any number of starts spread evenly; if not,
  // the pattern is not worth a search.
  bool FullestHolds(const DayPattern& days);
  void TryPattern(const DayPattern& days);
  void TryEverySet(const DayPattern& days, int starts);
  void TrySpread(const DayPattern& days, int starts);
  void TryStarts(const DayPattern& days, const std::vector<int>& wished);
  // The wished starts moved to allowed ones; empty where they cannot be told apart or spaced.
  std::vector<int> Snapped(const std::vector<int>& wished, int minutes) const;
  // Programmes filled in order, all with the same minutes.
  Candidate Uniform(const DayPattern& days, const std::vector<int>& starts, int minutes) const;
  // The same starts dealt over as many programmes as there are.
  Candidate SpreadOverProgrammes(const Candidate& candidate) const;
  // Those of equal water that come nearest to holding with a step less, nearest first.
  void KeepTheNearestToLess(std::vector<Candidate>& group);
  // The lowest residual in the windows to judge with every programme a step shorter, if it can be.
  double LowestWithLess(Candidate candidate);
  // Lowers each programme's minutes as far as holds.
  void Trim(Candidate& candidate);
  // Moves starts one at a time while that lets minutes fall.
  void ShiftStarts(Candidate& candidate);
  // The least minutes for all programmes alike, from some that hold.
  int LeastMinutes(Candidate candidate, int holds);
  double DayShare(const DayPattern& days) const;
  double CountDayShare(const DayPattern& days) const;

  Trial& trial_;
  const ReachModel& model_;
  const StartRules& rules_;
  ControllerForm form_;
  DateWindow season_;
  bool every_day_pattern_;
  double simpler_within_;  // what one more programme must save
  std::function<bool()> stop_;
  double best_water_;
  std::vector<Candidate> found_;
  mutable std::vector<std::pair<DayPattern, double>> day_shares_;  // those asked for so far
};

}  // namespace lastreach
