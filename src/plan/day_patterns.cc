#include "plan/day_patterns.h"

#include <algorithm>

namespace lastreach {
namespace {

constexpr int kLongestEveryN = 14;

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

}  // namespace

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

}  // namespace lastreach
