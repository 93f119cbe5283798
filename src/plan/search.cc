#include "plan/search.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lastreach {
namespace {

constexpr int kMinutesPerDay = 1440;
constexpr int kLongestEveryN = 14;
// Whole minutes make the asked-for sureness cost up to a step more, so near misses at the corner stay in the
// race.
constexpr double kLookFurther = 0.3;

bool Has(const ControllerForm& form, DayPatternKind kind) {
  return std::find(form.day_patterns->begin(), form.day_patterns->end(), kind) != form.day_patterns->end();
}

// The longest stretches of days, round the week, that hold one gap between set days, two gaps, and so on.
std::vector<int> LongestGapsDays(unsigned bits) {
  std::vector<int> days;
  for (int day = 0; day < 14; ++day) {
    if ((bits >> (day % 7) & 1U) != 0) days.push_back(day);
  }
  const size_t count = days.size() / 2;
  std::vector<int> longest(count, 0);
  for (size_t first = 0; first < count; ++first) {
    for (size_t gaps = 1; gaps <= count; ++gaps) {
      longest[gaps - 1] = std::max(longest[gaps - 1], days[first + gaps] - days[first]);
    }
  }
  return longest;
}

// Of all sets of `count` weekdays the most even, whose stretches of so many gaps are no longer than need be;
// Monday among them.
Weekdays BestWeekdays(int count) {
  Weekdays best;
  std::vector<int> best_gaps;
  for (unsigned bits = 1; bits < 128; bits += 2) {
    if (Weekdays{bits}.count() != count) continue;
    std::vector<int> gaps = LongestGapsDays(bits);
    if (best.bits != 0 && gaps >= best_gaps) continue;
    best = Weekdays{bits};
    best_gaps = std::move(gaps);
  }
  return best;
}

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

bool NeedsLessWater(const Candidate& a, const Candidate& b) {
  return a.water_m3_per_day < b.water_m3_per_day;
}

std::vector<int> AllStarts(const Candidate& candidate) {
  std::vector<int> starts;
  for (const auto& block : candidate.programmes) {
    starts.insert(starts.end(), block.starts_min.begin(), block.starts_min.end());
  }
  std::sort(starts.begin(), starts.end());
  return starts;
}

}  // namespace

int Candidate::starts() const { return static_cast<int>(AllStarts(*this).size()); }

std::vector<DayPattern> DayPatternsToTry(const ControllerForm& form, Date first_day, bool every_kind) {
  std::vector<DayPattern> patterns;
  const bool weekdays = every_kind || Has(form, DayPatternKind::kWeekdays);
  const bool every_n = every_kind || Has(form, DayPatternKind::kEveryN);
  if (weekdays) patterns.emplace_back(kEveryWeekday);
  if (!weekdays && every_n) patterns.emplace_back(EveryNDays{1, first_day});
  if (every_n) {
    const int most = every_kind ? kLongestEveryN : std::min(kLongestEveryN, *form.every_n_max);
    for (int n = 2; n <= most; ++n) patterns.emplace_back(EveryNDays{n, first_day});
  }
  if (weekdays) {
    for (int count = 6; count >= 1; --count) patterns.emplace_back(BestWeekdays(count));
  }
  if (every_kind || Has(form, DayPatternKind::kOdd)) patterns.emplace_back(OddDates{});
  if (every_kind || Has(form, DayPatternKind::kEven)) patterns.emplace_back(EvenDates{});
  return patterns;
}

std::vector<DateWindow> WindowsToJudge(const DayPattern& days, const Zone& zone, DateWindow season) {
  int length = 2;
  if (const auto* every = std::get_if<EveryNDays>(&days)) length = every->n + 1;
  // Where every day is alike, any one of them holds the worst.
  if (const auto* weekdays = std::get_if<Weekdays>(&days)) length = *weekdays == kEveryWeekday ? 1 : 8;
  std::vector<DateWindow> windows;
  const auto add = [&](Date from, int count) {
    const Date to = std::min(AddDays(from, count), season.to);
    if (from >= season.from && from < to) windows.push_back({from, to});
  };
  if (std::holds_alternative<OddDates>(days) || std::holds_alternative<EvenDates>(days)) {
    // The odd gaps are at the ends of months with an odd number of days.
    add(season.from, 4);
    for (Date day = season.from; day < season.to && windows.size() < 2; day = AddDays(day, 1)) {
      const bool odd_end =
          AddDays(day, 1).month() != day.month() && static_cast<unsigned>(day.day()) % 2 == 1;
      if (odd_end) add(std::max(season.from, AddDays(day, -2)), 7);
    }
  } else {
    add(season.from, length);
  }
  const Instant begin = zone.FirstInstant(Midnight(season.from));
  for (const OffsetPiece& piece : zone.Offsets(begin, zone.FirstInstant(Midnight(season.to)))) {
    if (piece.from > begin) add(DateOf(piece.from), length + 2);
  }
  return windows;
}

Search::Search(Trial& trial, const ReachModel& model, const StartRules& rules, const ControllerForm& form,
               DateWindow season, bool every_day_pattern, double simpler_within, std::function<bool()> stop)
    : trial_(trial),
      model_(model),
      rules_(rules),
      form_(form),
      season_(season),
      every_day_pattern_(every_day_pattern),
      simpler_within_(std::max(simpler_within, kSameWater)),
      stop_(std::move(stop)),
      best_water_(std::numeric_limits<double>::infinity()) {}

std::vector<Candidate> Search::Best(size_t most) {
  int hopeless_from = std::numeric_limits<int>::max();
  for (const DayPattern& days : DayPatternsToTry(form_, season_.from, every_day_pattern_)) {
    const auto* every = std::get_if<EveryNDays>(&days);
    if (stop_ && stop_()) break;
    if (every != nullptr && every->n >= hopeless_from) continue;
    if (FullestHolds(days)) {
      TryPattern(days);
    } else if (every != nullptr) {
      hopeless_from = every->n;  // longer gaps will not do what shorter ones could not
    }
  }
  std::stable_sort(found_.begin(), found_.end(), NeedsLessWater);
  std::vector<std::vector<Candidate>> groups;
  for (const Candidate& candidate : found_) {
    const auto alike = std::find_if(groups.begin(), groups.end(), [&](const std::vector<Candidate>& group) {
      return group.front().days == candidate.days && group.front().starts() == candidate.starts();
    });
    if (alike == groups.end()) {
      if (groups.size() < most) groups.push_back({candidate});
    } else if (candidate.water_m3_per_day <= alike->front().water_m3_per_day * (1 + kSameWater)) {
      alike->push_back(candidate);
    }
  }
  std::vector<Candidate> best;
  for (std::vector<Candidate>& group : groups) {
    KeepTheNearestToLess(group);
    if (!stop_ || !stop_()) Improve(group.front());
    best.insert(best.end(), group.begin(), group.end());
  }
  std::stable_sort(best.begin(), best.end(), NeedsLessWater);
  return best;
}

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

Candidate Search::Uniform(const DayPattern& days, const std::vector<int>& starts, int minutes) const {
  Candidate candidate;
  candidate.days = days;
  for (size_t i = 0; i < starts.size(); ++i) {
    if (i % static_cast<size_t>(rules_.starts_per_programme()) == 0)
      candidate.programmes.push_back({{}, minutes});
    candidate.programmes.back().starts_min.push_back(starts[i]);
  }
  Measure(candidate);
  return candidate;
}

Candidate Search::SpreadOverProgrammes(const Candidate& candidate) const {
  const std::vector<int> starts = AllStarts(candidate);
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
          std::vector<int> starts = AllStarts(candidate);
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

void Search::Measure(Candidate& candidate) const {
  double minutes = 0;
  int starts = 0;
  for (const auto& block : candidate.programmes) {
    minutes += static_cast<double>(block.minutes) * static_cast<double>(block.starts_min.size());
    starts += static_cast<int>(block.starts_min.size());
  }
  const double share = DayShare(candidate.days);
  candidate.runs_per_day = starts * share;
  candidate.water_m3_per_day = minutes * share * trial_.numbers().flow_m3_per_s * kSecondsPerMinute;
}

double Search::DayShare(const DayPattern& days) const {
  for (const auto& [known, share] : day_shares_) {
    if (known == days) return share;
  }
  return day_shares_.emplace_back(days, CountDayShare(days)).second;
}

double Search::CountDayShare(const DayPattern& days) const {
  TimerSettings once;
  once.programmes.push_back({{0}, 1, days, {}});
  ControllerForm plain;
  plain.odd_skips_31st = form_.odd_skips_31st;
  const auto runs = ExpandRuns(plain, once, Zone::Utc(), season_, {});
  return static_cast<double>(runs.size()) / (DayNumber(season_.to) - DayNumber(season_.from));
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

bool Search::Holds(const Candidate& candidate) {
  return trial_.Holds(SteadySettingsOf(candidate), model_,
                      WindowsToJudge(candidate.days, trial_.zone(), season_));
}

TimerSettings Search::SettingsOf(const Candidate& candidate) const {
  TimerSettings settings;
  for (const auto& block : candidate.programmes) {
    settings.programmes.push_back({block.starts_min, block.minutes, candidate.days, {}});
  }
  return settings;
}

TimerSettings Search::SteadySettingsOf(const Candidate& candidate) const {
  TimerSettings settings = SettingsOf(candidate);
  for (Programme& programme : settings.programmes) {
    if (auto* every = std::get_if<EveryNDays>(&programme.days))
      every->from = AddDays(season_.from, -70 * every->n);
  }
  return settings;
}

}  // namespace lastreach
