#include <algorithm>
#include <cmath>
#include <limits>

#include "plan/search.h"

// How a search makes the most of the kinds it has found.
namespace lastreach {

void Search::KeepTheNearestToLess(std::vector<Candidate>& group) {
  constexpr size_t kKept = 8;
  if (group.size() < 2) return;
  std::vector<std::pair<double, size_t>> spare;
  for (size_t i = 0; i < group.size(); ++i) spare.emplace_back(-LowestWithLess(group[i]), i);
  std::sort(spare.begin(), spare.end());
  std::vector<Candidate> kept;
  for (size_t k = 0; k < std::min(kKept, spare.size()); ++k) kept.push_back(group[spare[k].second]);
  group = std::move(kept);
}

double Search::LowestWithLess(Candidate candidate) {
  for (auto& block : candidate.programmes) {
    block.minutes = std::max(rules_.least_minutes(), block.minutes - rules_.minutes_step());
  }
  const TimerSettings settings = SteadySettingsOf(candidate);
  double lowest = std::numeric_limits<double>::infinity();
  for (const DateWindow& window : WindowsToJudge(candidate.days, trial_.zone(), season_)) {
    const Low low = trial_.Lowest(settings, model_, window, kClockErrors_min);
    lowest = std::min(lowest, low.mg_per_l);
  }
  return lowest;
}

Candidate Search::SpreadOverProgrammes(const Candidate& candidate) const {
  const std::vector<int> starts = candidate.AllStarts();
  const size_t parts = std::min(starts.size(), static_cast<size_t>(rules_.programmes()));
  Candidate spread;
  spread.days = candidate.days;
  for (size_t p = 0; p < parts; ++p) {
    spread.programmes.push_back({{}, candidate.programmes.front().minutes});
    for (size_t i = starts.size() * p / parts; i < starts.size() * (p + 1) / parts; ++i) {
      spread.programmes.back().starts_min.push_back(starts[i]);
    }
  }
  Measure(spread);
  return spread;
}

void Search::Improve(Candidate& candidate) {
  ShiftStarts(candidate);
  Trim(candidate);
  if (static_cast<int>(candidate.programmes.size()) >= std::min(rules_.programmes(), candidate.starts()))
    return;
  Candidate spread = SpreadOverProgrammes(candidate);
  for (const auto& block : spread.programmes) {
    if (static_cast<int>(block.starts_min.size()) > rules_.starts_per_programme()) return;
  }
  Trim(spread);
  if (spread.water_m3_per_day < candidate.water_m3_per_day * (1 - simpler_within_)) candidate = spread;
}

void Search::Trim(Candidate& candidate) {
  if (candidate.programmes.size() < 2) return;
  // The run that ends the longest quiet stretch works hardest, so give every programme its turn to shrink.
  for (bool saved = true; saved;) {
    saved = false;
    for (size_t p = 0; p < candidate.programmes.size(); ++p) {
      Candidate shorter = candidate;
      shorter.programmes[p].minutes -= rules_.minutes_step();
      if (shorter.programmes[p].minutes < rules_.least_minutes() || !Holds(shorter)) continue;
      Measure(shorter);
      candidate = shorter;
      saved = true;
    }
  }
}

void Search::ShiftStarts(Candidate& candidate) {
  for (int stride = 60; stride >= rules_.start_step(); stride /= 2) {
    const int step = std::max(rules_.start_step(), stride / rules_.start_step() * rules_.start_step());
    for (size_t p = 0; p < candidate.programmes.size(); ++p) {
      for (size_t i = 0; i < candidate.programmes[p].starts_min.size(); ++i) {
        for (const int by : {-step, step}) {
          std::vector<int> starts = candidate.AllStarts();
          const int old_start = candidate.programmes[p].starts_min[i];
          std::replace(starts.begin(), starts.end(), old_start, old_start + by);
          const int minutes = candidate.programmes.front().minutes - rules_.minutes_step();
          if (minutes < rules_.least_minutes() || Snapped(starts, minutes) != starts) continue;
          Candidate moved = Uniform(candidate.days, starts, minutes);
          if (!Holds(moved)) continue;
          candidate = Uniform(candidate.days, starts, LeastMinutes(moved, minutes));
        }
      }
    }
    if (stride == rules_.start_step()) break;
  }
}

int Search::LeastMinutes(Candidate candidate, int holds) {
  for (int minutes = holds - rules_.minutes_step(); minutes >= rules_.least_minutes();
       minutes -= rules_.minutes_step()) {
    for (auto& block : candidate.programmes) block.minutes = minutes;
    if (!Holds(candidate)) break;
    holds = minutes;
  }
  return holds;
}

}  // namespace lastreach
