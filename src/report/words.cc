#include "report/words.h"

#include <cmath>

namespace lastreach {
namespace {

constexpr int kMinutesPerHour = 60;
constexpr int kNoon_min = 12 * kMinutesPerHour;
constexpr int kEvening_min = 18 * kMinutesPerHour;

std::string_view MonthName(Date date) {
  constexpr std::string_view kNames[] = {"January",   "February", "March",    "April",
                                         "May",       "June",     "July",     "August",
                                         "September", "October",  "November", "December"};
  return kNames[static_cast<unsigned>(date.month()) - 1];
}

std::string DayOfMonth(Date date) { return std::to_string(static_cast<unsigned>(date.day())); }

std::string Counted(int number, const std::string& thing) {
  return std::to_string(number) + " " + thing + (number == 1 ? "" : "s");
}

// Every 1 day is every day, but has to be found on the timer under its own name; its first day does not
// matter.
std::string EveryNInWords(const EveryNDays& every, SheetUnits units) {
  if (every.n == 1) return "every 1 day (each day)";
  const std::string rhythm = "every " + std::to_string(every.n) + " days";
  return every.from ? rhythm + ", the first is " + WeekdayAndDate(*every.from, units)
                    : rhythm + ", first day not known";
}

std::string ProgrammeInOneLine(const Programme& programme, SheetUnits units) {
  std::vector<std::string> starts;
  for (const int start : programme.starts_min) starts.push_back(FormatTimeOfDay(start));
  return JoinedWithAnd(starts) + ", " + MinutesInWords(programme.minutes) + ", " +
         DaysInShort(programme.days, units);
}

}  // namespace

std::string TimeInWords(int minute_of_day) {
  if (minute_of_day == 0) return "12 midnight";
  if (minute_of_day == kNoon_min) return "12 noon";
  const int hour = minute_of_day / kMinutesPerHour % 12;
  const int minute = minute_of_day % kMinutesPerHour;
  const std::string clock =
      std::to_string(hour == 0 ? 12 : hour) + (minute < 10 ? ":0" : ":") + std::to_string(minute);
  if (minute_of_day < kNoon_min) return clock + " in the morning";
  return clock + (minute_of_day < kEvening_min ? " in the afternoon" : " in the evening");
}

std::string MinutesInWords(int minutes) {
  if (minutes <= 2 * kMinutesPerHour) return Counted(minutes, "minute");
  const std::string hours = std::to_string(minutes / kMinutesPerHour) + " h";
  return minutes % kMinutesPerHour == 0 ? hours
                                        : hours + " " + std::to_string(minutes % kMinutesPerHour) + " min";
}

std::string HoursInWords(double hours) {
  const int whole = static_cast<int>(std::lround(hours));
  if (whole < 72) return Counted(whole, "hour");
  const std::string days = Counted(whole / 24, "day");
  return whole % 24 == 0 ? days : days + " " + Counted(whole % 24, "hour");
}

std::string DateInWords(Date date, SheetUnits units) {
  const std::string month(MonthName(date));
  const std::string year = std::to_string(static_cast<int>(date.year()));
  return units == SheetUnits::kUs ? month + " " + DayOfMonth(date) + ", " + year
                                  : DayOfMonth(date) + " " + month + " " + year;
}

std::string ShortDate(Date date, SheetUnits units) {
  const std::string month(MonthName(date).substr(0, 3));
  return units == SheetUnits::kUs ? month + " " + DayOfMonth(date) : DayOfMonth(date) + " " + month;
}

std::string WeekdayAndDate(Date date, SheetUnits units) {
  const std::string_view comma = units == SheetUnits::kUs ? ", " : " ";
  return std::string(WeekdayName(date)).append(comma) + DateInWords(date, units);
}

std::string ShortWeekdayAndDate(Date date, SheetUnits units) {
  return std::string(WeekdayName(date).substr(0, 3)) + " " + ShortDate(date, units);
}

std::string DaysInWords(const DayPattern& days, SheetUnits units) {
  if (std::holds_alternative<OddDates>(days)) return "odd dates (1, 3, 5 …)";
  if (std::holds_alternative<EvenDates>(days)) return "even dates (2, 4, 6 …)";
  if (const auto* every = std::get_if<EveryNDays>(&days)) return EveryNInWords(*every, units);
  return Describe(days);
}

std::string DaysInShort(const DayPattern& days, SheetUnits units) {
  constexpr const char* kNames[] = {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};
  if (std::holds_alternative<OddDates>(days)) return "odd dates";
  if (std::holds_alternative<EvenDates>(days)) return "even dates";
  if (const auto* every = std::get_if<EveryNDays>(&days)) {
    if (every->n == 1) return "every 1 day";
    const std::string rhythm = "every " + std::to_string(every->n) + " days";
    return every->from ? rhythm + " from " + ShortDate(*every->from, units)
                       : rhythm + ", first day not known";
  }
  const Weekdays week = std::get<Weekdays>(days);
  if (week == kEveryWeekday || week.bits == 0) return Describe(days);
  std::string text;
  for (int day = 0; day < 7; ++day) {
    if (week.Has(day)) text += (text.empty() ? "" : ", ") + std::string(kNames[day]);
  }
  return text;
}

std::string ProgrammeWord(SheetUnits units) { return units == SheetUnits::kUs ? "Program" : "Programme"; }

std::string ProgrammeName(size_t index, SheetUnits units) {
  return ProgrammeWord(units) + " " + std::to_string(index + 1);
}

std::string SummerTimeWord(SheetUnits units) {
  return units == SheetUnits::kUs ? "daylight saving time" : "summer time";
}

int PercentOf(const ControllerForm& form, const TimerSettings& settings, const Programme& programme) {
  const bool own = form.percent_scope == PercentScope::kEach && programme.percent.has_value();
  return own ? *programme.percent : settings.percent;
}

bool IsUsed(const Programme& programme) {
  const auto* weekdays = std::get_if<Weekdays>(&programme.days);
  return !programme.starts_min.empty() && programme.minutes > 0 &&
         (weekdays == nullptr || weekdays->bits != 0);
}

std::string SettingsInOneLine(const ControllerForm& form, const TimerSettings& settings, SheetUnits units) {
  if (!settings.on) return "OFF";
  const bool each = form.percent_scope == PercentScope::kEach;
  std::vector<std::string> parts;
  for (size_t i = 0; i < settings.programmes.size(); ++i) {
    const Programme& programme = settings.programmes[i];
    if (!IsUsed(programme)) continue;
    parts.push_back(ProgrammeName(i, units) + ": " + ProgrammeInOneLine(programme, units));
    if (each) parts.back() += ", " + std::to_string(PercentOf(form, settings, programme)) + " %";
  }
  if (parts.empty()) return "ON, but nothing keyed that would run";
  if (!each && form.percent_scope != PercentScope::kNone)
    parts.push_back(std::to_string(settings.percent) + " %");
  std::string text;
  for (const std::string& part : parts) text += (text.empty() ? "" : "; ") + part;
  return text;
}

std::string_view ToWords(Verdict verdict) {
  switch (verdict) {
    case Verdict::kChange:
      return "change";
    case Verdict::kKeep:
      return "keep";
    case Verdict::kNoFlushNeeded:
      return "no flushing needed";
    case Verdict::kFlushingIsNotTheAnswer:
      return "flushing is not the answer";
    case Verdict::kCannotHold:
      return "cannot be held";
    case Verdict::kTooLittleKnown:
      return "too little known";
  }
  return "too little known";
}

std::string JoinedWithAnd(const std::vector<std::string>& items) {
  std::string text;
  for (size_t i = 0; i < items.size(); ++i) {
    if (i > 0) text += i + 1 == items.size() ? " and " : ", ";
    text += items[i];
  }
  return text;
}

}  // namespace lastreach
