#include "report/clock_words.h"

#include <optional>

#include "report/words.h"

namespace lastreach {
namespace {

namespace chrono = std::chrono;

constexpr int kMinutesPerDay = 24 * 60;
constexpr int kExample_min = 15 * 60;  // an hour at which nobody mistakes morning for afternoon

struct SummerTime {
  Date first;
  Date last;
  int ahead_min = 0;
};

Date DateOfClock(LocalTime time) { return Date(chrono::floor<chrono::days>(time)); }
int MinuteOfClock(LocalTime time) {
  return static_cast<int>(chrono::floor<chrono::minutes>(time - chrono::floor<chrono::days>(time)).count());
}

Date LocalDate(const Zone& zone, Instant instant) { return DateOfClock(zone.ToLocal(instant)); }

// The first stretch of summer time that touches the year from `from` on.
std::optional<SummerTime> FindSummerTime(const Zone& zone, Date from) {
  const Instant begin = zone.FirstInstant(Midnight(from));
  const Instant end = zone.FirstInstant(Midnight(AddYears(from, 1)));
  // Another year is looked at so that the last summer's end is seen.
  const std::vector<OffsetPiece> pieces = zone.Offsets(begin, end + chrono::days(366));
  for (size_t i = 0; i < pieces.size() && pieces[i].from < end; ++i) {
    const auto ahead = pieces[i].offset - pieces[i].standard_offset;
    if (ahead == chrono::seconds(0) || i + 1 == pieces.size()) continue;
    return SummerTime{LocalDate(zone, pieces[i].from), LocalDate(zone, pieces[i + 1].from),
                      static_cast<int>(chrono::floor<chrono::minutes>(ahead).count())};
  }
  return std::nullopt;
}

std::string WordsAndDigits(int minute_of_day) {
  return TimeInWords(minute_of_day) + " (" + FormatTimeOfDay(minute_of_day) + ")";
}

std::string AmountInWords(int minutes) { return minutes == 60 ? "1 hour" : MinutesInWords(minutes); }

std::string WhileItLasts(const SummerTime& summer, SheetUnits units) {
  const int here_min = (kExample_min - summer.ahead_min + kMinutesPerDay) % kMinutesPerDay;
  return "Do not move it for " + SummerTimeWord(units) + ". From " + DateInWords(summer.first, units) +
         " to " + DateInWords(summer.last, units) + " it reads " + AmountInWords(summer.ahead_min) +
         " less than your phone: phone " + WordsAndDigits(kExample_min) + ", this clock " +
         WordsAndDigits(here_min) + ".";
}

}  // namespace

ClockWords ClockMustRead(const ControllerForm& form, const Zone& zone, Date from, SheetUnits units) {
  const std::optional<SummerTime> summer = FindSummerTime(zone, from);
  if (!summer) return {"The same as your phone", "Clocks do not change here."};
  const std::string dates = DateInWords(summer->first, units) + " and " + DateInWords(summer->last, units);
  if (form.follows_clock_change.value_or(false)) {
    return {"The same as your phone, all year",
            "It is said to move itself at the clock change: look at it after " + dates + "."};
  }
  if (form.follows_clock_change) return {"Standard time, all year", WhileItLasts(*summer, units)};
  return {"Standard time, all year", WhileItLasts(*summer, units) +
                                         " Nobody has noted whether this clock moves itself: look at it "
                                         "after the change and write it down."};
}

LocalTime DeviceClockAt(const ControllerForm& form, const Zone& zone, MinuteInstant moment) {
  const Instant instant = moment;
  if (form.follows_clock_change.value_or(false)) return zone.ToLocal(instant);
  const OffsetPiece piece = zone.Offsets(instant, instant + chrono::seconds(1)).front();
  return LocalTime((instant + piece.standard_offset).time_since_epoch());
}

std::string ShortMomentInWords(LocalTime time, SheetUnits units) {
  return ShortWeekdayAndDate(DateOfClock(time), units) + ", " + TimeInWords(MinuteOfClock(time));
}

std::string MomentInDigits(LocalTime time, SheetUnits units) {
  return ShortWeekdayAndDate(DateOfClock(time), units) + ", " + FormatTimeOfDay(MinuteOfClock(time));
}

}  // namespace lastreach
