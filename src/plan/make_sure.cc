#include "plan/make_sure.h"

#include <algorithm>

namespace lastreach {
namespace {

// Every programme in turn gives up a step for as long as `is_sure` of what is left.
template <typename IsSure>
Candidate ShortenedOneByOne(Candidate candidate, const StartRules& rules, const Search& search,
                            IsSure is_sure) {
  if (candidate.programmes.size() < 2) return candidate;
  std::vector<char> may_shrink(candidate.programmes.size(), 1);
  while (std::find(may_shrink.begin(), may_shrink.end(), 1) != may_shrink.end()) {
    for (size_t p = 0; p < candidate.programmes.size(); ++p) {
      if (may_shrink[p] == 0) continue;
      Candidate shorter = candidate;
      shorter.programmes[p].minutes -= rules.minutes_step();
      // What one programme cannot give up now it cannot give up when others have given more.
      may_shrink[p] = shorter.programmes[p].minutes >= rules.least_minutes() && is_sure(shorter) ? 1 : 0;
      if (may_shrink[p] != 0) candidate = std::move(shorter);
    }
  }
  search.Measure(candidate);
  return candidate;
}

}  // namespace

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
  const auto is_sure = [&](const Candidate& tried) {
    return judge.Holds(search.SteadySettingsOf(tried), windows, sureness);
  };
  const auto holds = [&](int steps) { return is_sure(*Lengthened(candidate, steps, rules, search)); };
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
  return ShortenedOneByOne(*Lengthened(candidate, holding, rules, search), rules, search, is_sure);
}

}  // namespace lastreach
