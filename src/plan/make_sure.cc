#include "plan/make_sure.h"

#include <algorithm>
#include <cmath>
#include <limits>

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
  FamilyRecord nothing_known(judge.draws());
  return MakeSure(candidate, rules, search, judge, windows, sureness, nothing_known,
                  std::numeric_limits<double>::infinity());
}

std::optional<Candidate> MakeSure(const Candidate& candidate, const StartRules& rules, const Search& search,
                                  SurenessJudge& judge, const std::vector<DateWindow>& windows,
                                  double sureness, FamilyRecord& record, double most_m3_per_day) {
  if (!Lengthened(candidate, 0, rules, search)) return {};
  // The range of steps the rules allow: lengthening only ever runs into more of them.
  int lowest = 0;
  while (Lengthened(candidate, lowest - 1, rules, search)) --lowest;
  const int room = candidate.programmes.size() > 1 ? 1 : 0;
  const auto is_worth_it = [&](int steps) {
    const auto longer = Lengthened(candidate, std::max(lowest, steps - room), rules, search);
    return longer && longer->water_m3_per_day <= most_m3_per_day;
  };
  int highest = 0;
  while (Lengthened(candidate, highest + 1, rules, search) && is_worth_it(highest + 1)) ++highest;
  while (highest >= lowest && !is_worth_it(highest)) --highest;
  if (highest < lowest) return {};
  const auto is_sure = [&](const Candidate& tried) {
    return judge.Holds(search.SteadySettingsOf(tried), windows, sureness, record);
  };
  const auto holds = [&](int steps) { return is_sure(*Lengthened(candidate, steps, rules, search)); };

  // Bracket outward from where the search stopped, which is near.
  const int first = std::min(0, highest);
  int holding = first;
  int failing = first;
  if (holds(first)) {
    int stride = 1;
    failing = std::max(lowest - 1, first - 1);
    while (failing >= lowest && holds(failing)) {
      holding = failing;
      stride *= 2;
      failing = std::max(lowest - 1, failing - stride);
    }
  } else {
    if (highest == first) return {};
    // What is only just worth it is asked for first: most cannot win, and a few draws show it.
    int stride = std::isfinite(most_m3_per_day) ? highest - first : 1;
    holding = std::min(highest, first + stride);
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
  Candidate sure = ShortenedOneByOne(*Lengthened(candidate, holding, rules, search), rules, search, is_sure);
  if (sure.water_m3_per_day > most_m3_per_day) return {};
  return sure;
}

}  // namespace lastreach
