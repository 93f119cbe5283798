#include "plan/make_sure.h"

#include <algorithm>

namespace lastreach {

std::optional<Candidate> Lengthened(const Candidate& candidate, int steps, const StartRules& rules,
                                    const Search& search) {
  Candidate longer = candidate;
  std::vector<std::pair<int, int>> runs;
  for (auto& block : longer.programmes) {
    block.minutes += steps * rules.minutes_step();
    if (block.minutes < rules.least_minutes() || block.minutes > rules.MostMinutes(candidate.starts()))
      return {};
    for (const int start : block.starts_min) {
      if (!rules.Allows(start, block.minutes)) return {};
      runs.emplace_back(start, block.minutes);
    }
  }
  std::sort(runs.begin(), runs.end());
  for (size_t i = 1; i < runs.size(); ++i) {
    if (runs[i].first - runs[i - 1].first < rules.LeastSpacing(runs[i - 1].second)) return {};
  }
  search.Measure(longer);
  return longer;
}

std::optional<Candidate> MakeSure(const Candidate& candidate, const StartRules& rules, const Search& search,
                                  SurenessJudge& judge, const std::vector<DateWindow>& windows,
                                  double sureness) {
  // The range of steps the rules allow: lengthening only ever runs into more of them.
  int lowest = 0;
  while (Lengthened(candidate, lowest - 1, rules, search)) --lowest;
  int highest = 0;
  while (Lengthened(candidate, highest + 1, rules, search)) ++highest;
  const auto holds = [&](int steps) {
    return judge.Holds(search.SteadySettingsOf(*Lengthened(candidate, steps, rules, search)), windows,
                       sureness);
  };
  if (!Lengthened(candidate, 0, rules, search)) return {};

  // Bracket outward from where the search stopped, which is near.
  int holding = 0;
  int failing = 0;
  if (holds(0)) {
    int stride = 1;
    failing = std::max(lowest - 1, -1);
    while (failing >= lowest && holds(failing)) {
      holding = failing;
      stride *= 2;
      failing = std::max(lowest - 1, failing - stride);
    }
  } else {
    int stride = 1;
    holding = std::min(highest, 1);
    if (highest == 0) return {};
    while (!holds(holding)) {
      if (holding == highest) return {};
      failing = holding;
      stride *= 2;
      holding = std::min(highest, holding + stride);
    }
  }
  while (holding - failing > 1) {
    const int middle = failing + (holding - failing) / 2;
    (holds(middle) ? holding : failing) = middle;
  }
  return Lengthened(candidate, holding, rules, search);
}

}  // namespace lastreach
