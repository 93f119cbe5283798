#include "report/speech.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/civil_time.h"
#include "report/words.h"

namespace lastreach {
namespace {

constexpr int kMinutesPerHour = 60;
constexpr int kMinutesPerDay = 24 * kMinutesPerHour;
constexpr int kNoon_min = 12 * kMinutesPerHour;
constexpr int kEvening_min = 18 * kMinutesPerHour;

std::string CountedInSpeech(int number, const std::string& thing) {
  return NumberInSpeech(number) + " " + thing + (number == 1 ? "" : "s");
}

// "" for midnight and noon, which are said without.
std::string PartOfDay(int minute_of_day) {
  if (minute_of_day == 0 || minute_of_day == kNoon_min) return "";
  if (minute_of_day < kNoon_min) return " in the morning";
  return minute_of_day < kEvening_min ? " in the afternoon" : " in the evening";
}

std::string ClockFace(int minute_of_day, bool full_hours) {
  if (minute_of_day == 0) return full_hours ? "midnight" : "12 midnight";
  if (minute_of_day == kNoon_min) return full_hours ? "noon" : "12 noon";
  const int hour = (minute_of_day / kMinutesPerHour + 11) % 12 + 1;
  if (full_hours) return NumberInSpeech(hour);
  const int minute = minute_of_day % kMinutesPerHour;
  return std::to_string(hour) + (minute < 10 ? ":0" : ":") + std::to_string(minute);
}

struct Said {
  std::string words;
  std::string part;
};

// The part of the day is said once for neighbours that share it.
std::vector<std::string> Grouped(const std::vector<Said>& items) {
  std::vector<std::string> groups;
  for (size_t i = 0; i < items.size();) {
    std::vector<std::string> words;
    size_t j = i;
    do {
      words.push_back(items[j++].words);
    } while (j < items.size() && !items[i].part.empty() && items[j].part == items[i].part);
    groups.push_back(JoinedWithAnd(words) + items[i].part);
    i = j;
  }
  return groups;
}

struct Kind {
  int minutes = 0;
  DayPattern days;
  std::vector<int> starts_min;
};

std::vector<Kind> KindsOf(const ControllerForm& form, const TimerSettings& settings) {
  std::vector<Kind> kinds;
  for (const Programme& programme : settings.programmes) {
    if (!IsUsed(programme)) continue;
    const int minutes = EffectiveMinutes(form, settings, programme);
    const auto same = std::find_if(kinds.begin(), kinds.end(), [&](const Kind& kind) {
      return kind.minutes == minutes && kind.days == programme.days;
    });
    Kind& kind = same != kinds.end() ? *same : kinds.emplace_back(Kind{minutes, programme.days, {}});
    kind.starts_min.insert(kind.starts_min.end(), programme.starts_min.begin(), programme.starts_min.end());
  }
  for (Kind& kind : kinds) std::sort(kind.starts_min.begin(), kind.starts_min.end());
  return kinds;
}

// Hours from one start to the next where all are alike to within a quarter of an hour, round the clock.
std::optional<int> EvenHours(const std::vector<int>& starts_min) {
  constexpr int kTolerance_min = 15;
  const int count = static_cast<int>(starts_min.size());
  const int apart_min = kMinutesPerDay / count;
  if (kMinutesPerDay % count != 0 || apart_min % kMinutesPerHour != 0) return std::nullopt;
  for (int i = 0; i < count; ++i) {
    const int next_min =
        i + 1 < count ? starts_min[static_cast<size_t>(i) + 1] : starts_min[0] + kMinutesPerDay;
    if (std::abs(next_min - starts_min[static_cast<size_t>(i)] - apart_min) > kTolerance_min) {
      return std::nullopt;
    }
  }
  return apart_min / kMinutesPerHour;
}

std::string StartsInSpeech(const std::vector<int>& starts_min) {
  constexpr size_t kMostListed = 4;
  if (starts_min.size() <= kMostListed) return " at " + TimesInSpeech(starts_min);
  const std::string first = TimesInSpeech({starts_min.front()});
  if (const auto hours = EvenHours(starts_min)) {
    return (*hours == 1 ? " every hour" : " every " + NumberInSpeech(*hours) + " hours") +
           " round the clock, first at " + first;
  }
  return ", " + NumberInSpeech(static_cast<int>(starts_min.size())) + " times between " + first + " and " +
         TimesInSpeech({starts_min.back()});
}

double RunsAWeek(const Kind& kind) {
  double days = 3.5;  // odd or even dates
  if (const auto* week = std::get_if<Weekdays>(&kind.days)) days = week->count();
  if (const auto* every = std::get_if<EveryNDays>(&kind.days)) days = 7.0 / every->n;
  return days * static_cast<double>(kind.starts_min.size());
}

std::string SummedUp(const std::vector<Kind>& kinds) {
  double runs = 0;
  int least = kinds[0].minutes;
  int most = least;
  for (const Kind& kind : kinds) {
    runs += RunsAWeek(kind);
    least = std::min(least, kind.minutes);
    most = std::max(most, kind.minutes);
  }
  const std::string lengths = least == most
                                  ? CountedInSpeech(most, "minute")
                                  : NumberInSpeech(least) + " to " + CountedInSpeech(most, "minute");
  return NumberInSpeech(static_cast<int>(std::lround(runs))) + " runs of " + lengths + " a week";
}

}  // namespace

std::string NumberInSpeech(int number) {
  constexpr std::array<const char*, 13> kWords = {"no",    "one",   "two",  "three", "four",   "five",  "six",
                                                  "seven", "eight", "nine", "ten",   "eleven", "twelve"};
  return number >= 1 && number <= 12 ? kWords[static_cast<size_t>(number)] : std::to_string(number);
}

std::string HoursInSpeech(double hours) {
  const int whole = static_cast<int>(std::lround(hours));
  if (whole < 72) return CountedInSpeech(whole, "hour");
  const std::string days = CountedInSpeech(whole / 24, "day");
  return whole % 24 == 0 ? days : days + " and " + CountedInSpeech(whole % 24, "hour");
}

std::string TimesInSpeech(const std::vector<int>& minutes_of_day) {
  const bool full_hours = std::all_of(minutes_of_day.begin(), minutes_of_day.end(),
                                      [](int minute) { return minute % kMinutesPerHour == 0; });
  std::vector<Said> items;
  for (const int minute : minutes_of_day) items.push_back({ClockFace(minute, full_hours), PartOfDay(minute)});
  return JoinedWithAnd(Grouped(items));
}

std::vector<std::string> SpansByPartOfDay(const std::vector<ClockSpan>& spans) {
  std::vector<Said> items;
  for (const ClockSpan& span : spans) {
    const int to_min = span.to_min % kMinutesPerDay;
    const std::string to = ClockFace(to_min, false);
    const std::string from_part = PartOfDay(span.from_min);
    const std::string to_part = PartOfDay(to_min);
    const bool shared = from_part == to_part && span.to_min < kMinutesPerDay;
    items.push_back({ClockFace(span.from_min, false) + (shared ? "" : from_part) + " to " + to, to_part});
    if (!shared) {
      // Said in full, or the next span's part of day would seem to cover this one's beginning.
      items.back().words += to_part;
      items.back().part.clear();
    }
  }
  return Grouped(items);
}

std::string SpansInSpeech(const std::vector<ClockSpan>& spans) {
  return JoinedWithAnd(SpansByPartOfDay(spans));
}

std::string DaysInSpeech(const DayPattern& days) {
  if (std::holds_alternative<OddDates>(days)) return "odd dates";
  if (std::holds_alternative<EvenDates>(days)) return "even dates";
  if (const auto* every = std::get_if<EveryNDays>(&days)) {
    return every->n == 1 ? "every day" : "every " + NumberInSpeech(every->n) + " days";
  }
  constexpr unsigned kMondayToFriday = 0x1F;
  const Weekdays week = std::get<Weekdays>(days);
  if (week.bits == kMondayToFriday) return "Monday to Friday";
  if (week.count() == 6) return "every day but " + Describe(Weekdays{~week.bits & kEveryWeekday.bits});
  return Describe(days);
}

bool MakesRuns(const TimerSettings& settings) {
  return settings.on && std::any_of(settings.programmes.begin(), settings.programmes.end(), IsUsed);
}

std::string ScheduleInSpeech(const ControllerForm& form, const TimerSettings& settings) {
  constexpr size_t kMostKinds = 3;
  const std::vector<Kind> kinds = KindsOf(form, settings);
  if (kinds.size() > kMostKinds) return SummedUp(kinds);
  std::vector<std::string> parts;
  for (const Kind& kind : kinds) {
    parts.push_back(CountedInSpeech(kind.minutes, "minute") + StartsInSpeech(kind.starts_min) + ", " +
                    DaysInSpeech(kind.days));
  }
  std::string text;
  for (size_t i = 0; i < parts.size(); ++i) text += (i == 0 ? "" : ", and ") + parts[i];
  return text;
}

}  // namespace lastreach
