#include <algorithm>
#include <cmath>
#include <limits>

#include "plan/search.h"

// How a search goes through starts and minutes of one day pattern.
namespace lastreach {
namespace {

constexpr int kMinutesPerDay = 1440;
// Whole minutes make the asked-for sureness cost up to a step more, so near misses at the corner stay in the
// race.
constexpr double kLookFurther = 0.3;

// Every set of `count` out of `positions`, in order, as long as `use` returns true.
template <typename Use>
void ForEachSet(int positions, int count, Use use) {
  std::vector<int> set(static_cast<size_t>(count));
  for (int i = 0; i < count; ++i) set[static_cast<size_t>(i)] = i;
  while (true) {
    use(set);
    int i = count - 1;
    while (i >= 0 && set[static_cast<size_t>(i)] == positions - count + i) --i;
    if (i < 0) return;
    ++set[static_cast<size_t>(i)];
    for (int k = i + 1; k < count; ++k) set[static_cast<size_t>(k)] = set[static_cast<size_t>(k - 1)] + 1;
  }
}

double SetsOf(int positions, int count) {
  double sets = 1;
  for (int i = 0; i < count; ++i) sets *= static_cast<double>(positions - i) / (i + 1);
  return sets;
}

}  // namespace

bool Search::FullestHolds(const DayPattern& days) {
  bool any_fits = false;
  // Many starts crowd where hours are forbidden and leave room for short runs only, so fewer are tried too.
  for (int starts = rules_.most_starts(); starts >= 1; --starts) {
    std::vector<int> wished;
    for (int i = 0; i < starts; ++i) wished.push_back(kMinutesPerDay * i / starts);
    for (int minutes = rules_.MostMinutes(starts); minutes >= rules_.least_minutes();
         minutes = minutes / 2 / rules_.minutes_step() * rules_.minutes_step()) {
      const std::vector<int> snapped = Snapped(wished, minutes);
      if (snapped.empty()) continue;
      any_fits = true;
      if (Holds(Uniform(days, snapped, minutes))) return true;
      break;
    }
  }
  return !any_fits;  // where nothing fits evenly, let the sets be tried
}

void Search::TryPattern(const DayPattern& days) {
  constexpr double kFewSets = 64;
  const int positions = kMinutesPerDay / rules_.start_step();
  for (int starts = 1; starts <= std::min(rules_.most_starts(), positions); ++starts) {
    if (SetsOf(positions, starts) <= kFewSets) {
      TryEverySet(days, starts);
    } else {
      TrySpread(days, starts);
    }
  }
}

void Search::TryEverySet(const DayPattern& days, int starts) {
  ForEachSet(kMinutesPerDay / rules_.start_step(), starts, [&](const std::vector<int>& set) {
    std::vector<int> wished;
    for (const int position : set) wished.push_back(position * rules_.start_step());
    TryStarts(days, wished);
  });
}

void Search::TrySpread(const DayPattern& days, int starts) {
  const int stride = std::max(60, rules_.start_step());
  for (int offset = 0; offset < kMinutesPerDay / starts; offset += stride) {
    std::vector<int> wished;
    for (int i = 0; i < starts; ++i) wished.push_back(offset + kMinutesPerDay * i / starts);
    TryStarts(days, wished);
  }
}

void Search::TryStarts(const DayPattern& days, const std::vector<int>& wished) {
  const int starts = static_cast<int>(wished.size());
  // What would cost more than could still win, or more than something found with as few runs, need not be
  // tried.
  const double a_minute_m3_per_day =
      starts * DayShare(days) * trial_.numbers().flow_m3_per_s * kSecondsPerMinute;
  int most = rules_.MostMinutes(starts);
  double worth_m3_per_day = best_water_ * (1 + kLookFurther);
  for (const Candidate& other : found_) {
    if (std::abs(other.runs_per_day - starts * DayShare(days)) < 1e-9) {
      worth_m3_per_day = std::min(worth_m3_per_day, other.water_m3_per_day);
    }
  }
  if (std::isfinite(worth_m3_per_day)) {
    const double cap = std::floor(worth_m3_per_day / a_minute_m3_per_day + 1e-9);
    most = std::min<int>(
        most, static_cast<int>(std::min(cap, 1e6)) / rules_.minutes_step() * rules_.minutes_step());
  }
  std::vector<int> snapped = Snapped(wished, most);
  // Shorter runs may fit between forbidden hours where the longest does not.
  while (snapped.empty() && most / 2 >= rules_.least_minutes()) {
    most = most / 2 / rules_.minutes_step() * rules_.minutes_step();
    snapped = Snapped(wished, most);
  }
  if (snapped.empty() || most < rules_.least_minutes()) return;
  Candidate candidate = Uniform(days, snapped, most);
  if (!Holds(candidate)) return;
  int holds = most / rules_.minutes_step();
  int fails = rules_.least_minutes() / rules_.minutes_step() - 1;
  while (holds - fails > 1) {
    const int middle = fails + (holds - fails) / 2;
    (Holds(Uniform(days, snapped, middle * rules_.minutes_step())) ? holds : fails) = middle;
  }
  candidate = Uniform(days, snapped, holds * rules_.minutes_step());
  best_water_ = std::min(best_water_, candidate.water_m3_per_day);
  found_.push_back(std::move(candidate));
}

std::vector<int> Search::Snapped(const std::vector<int>& wished, int minutes) const {
  std::vector<int> starts;
  for (const int start : wished) {
    const std::optional<int> nearest = rules_.Nearest(start, minutes);
    if (!nearest) return {};
    starts.push_back(*nearest);
  }
  std::sort(starts.begin(), starts.end());
  for (size_t i = 1; i < starts.size(); ++i) {
    if (starts[i] - starts[i - 1] < std::max(1, rules_.LeastSpacing(minutes))) return {};
  }
  return starts;
}

}  // namespace lastreach
