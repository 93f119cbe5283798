#include "core/civil_time.h"

#include <array>
#include <cctype>
#include <cstdio>
#include <optional>

namespace lastreach {
namespace {

namespace chrono = std::chrono;

// The number in text[at, at + digits), or nothing unless every character is a digit.
std::optional<int> Digits(std::string_view text, size_t at, size_t digits) {
  if (at + digits > text.size()) return std::nullopt;
  int number = 0;
  for (size_t i = at; i < at + digits; ++i) {
    if (std::isdigit(static_cast<unsigned char>(text[i])) == 0) return std::nullopt;
    number = number * 10 + (text[i] - '0');
  }
  return number;
}

Error NotADate(std::string_view text) {
  return BadInput("a date is written year-month-day, like 2026-07-01", {"", {}, "", std::string(text)});
}
Error NotATimestamp(std::string_view text) {
  return BadInput("a time is written like 2026-07-01T02:10:00-05:00", {"", {}, "", std::string(text)});
}

}  // namespace

Date DateOf(Instant instant) { return Date(chrono::floor<chrono::days>(instant)); }
LocalTime Midnight(Date date) { return chrono::local_days(date); }
Date AddDays(Date date, int days) { return Date(chrono::sys_days(date) + chrono::days(days)); }

Date AddYears(Date date, int years) {
  const Date moved = date + chrono::years(years);
  return moved.ok() ? moved : Date(moved.year() / moved.month() / chrono::last);
}

Result<Date> ParseDate(std::string_view text) {
  const auto year = Digits(text, 0, 4);
  const auto month = Digits(text, 5, 2);
  const auto day = Digits(text, 8, 2);
  if (text.size() != 10 || text[4] != '-' || text[7] != '-' || !year || !month || !day) return NotADate(text);
  const Date date = chrono::year(*year) / chrono::month(static_cast<unsigned>(*month)) /
                    chrono::day(static_cast<unsigned>(*day));
  if (!date.ok()) return BadInput("there is no such day", {"", {}, "", std::string(text)});
  return date;
}

Result<int> ParseTimeOfDay(std::string_view text) {
  const size_t colon = text.find(':');
  if ((colon == 1 || colon == 2) && text.size() == colon + 3) {
    const auto hour = Digits(text, 0, colon);
    const auto minute = Digits(text, colon + 1, 2);
    if (hour && minute && *hour <= 23 && *minute <= 59) return *hour * 60 + *minute;
  }
  return BadInput("a time of day is written hh:mm, from 00:00 to 23:59", {"", {}, "", std::string(text)});
}

std::string FormatDate(Date date) {
  std::array<char, 32> text{};
  const int length = std::snprintf(text.data(), text.size(), "%04d-%02u-%02u", static_cast<int>(date.year()),
                                   static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
  return {text.data(), static_cast<size_t>(length)};
}

std::string FormatTimeOfDay(int minutes) {
  std::array<char, 32> text{};
  const int length = std::snprintf(text.data(), text.size(), "%02d:%02d", minutes / 60, minutes % 60);
  return {text.data(), static_cast<size_t>(length)};
}

std::string FormatLocal(LocalTime time) {
  const auto day = chrono::floor<chrono::days>(time);
  const auto minute = chrono::floor<chrono::minutes>(time - day).count();
  return FormatDate(Date(day)) + " " + FormatTimeOfDay(static_cast<int>(minute));
}

std::string_view WeekdayName(Date date) {
  static constexpr std::array<std::string_view, 7> kNames = {"Sunday",   "Monday", "Tuesday", "Wednesday",
                                                             "Thursday", "Friday", "Saturday"};
  return kNames[chrono::weekday(chrono::sys_days(date)).c_encoding()];
}

std::string FormatRfc3339(Instant instant, chrono::seconds offset) {
  const Instant shifted = instant + offset;
  const auto day = chrono::floor<chrono::days>(shifted);
  const long second = static_cast<long>((shifted - day).count());
  const long zone_minutes = std::abs(static_cast<long>(offset.count())) / 60;
  std::array<char, 32> text{};
  const int length = std::snprintf(text.data(), text.size(), "T%02ld:%02ld:%02ld%c%02ld:%02ld", second / 3600,
                                   second / 60 % 60, second % 60, offset.count() < 0 ? '-' : '+',
                                   zone_minutes / 60, zone_minutes % 60);
  return FormatDate(Date(day)) + std::string(text.data(), static_cast<size_t>(length));
}

Result<Instant> ParseRfc3339(std::string_view text) {
  if (text.size() < 20 || (text[10] != 'T' && text[10] != ' ')) return NotATimestamp(text);
  const Result<Date> date = ParseDate(text.substr(0, 10));
  if (!date.ok()) return date.error();
  const auto hour = Digits(text, 11, 2);
  const auto minute = Digits(text, 14, 2);
  const auto second = Digits(text, 17, 2);
  if (!hour || !minute || !second || *hour > 23 || *minute > 59 || *second > 59 || text[13] != ':' ||
      text[16] != ':') {
    return NotATimestamp(text);
  }
  chrono::seconds offset{0};
  if (text.substr(19) != "Z") {
    const auto zone_hour = Digits(text, 20, 2);
    const auto zone_minute = Digits(text, 23, 2);
    if (text.size() != 25 || text[22] != ':' || !zone_hour || !zone_minute ||
        (text[19] != '+' && text[19] != '-')) {
      return NotATimestamp(text);
    }
    offset = chrono::hours(*zone_hour) + chrono::minutes(*zone_minute);
    if (text[19] == '-') offset = -offset;
  }
  return Instant(chrono::sys_days(*date)) + chrono::hours(*hour) + chrono::minutes(*minute) +
         chrono::seconds(*second) - offset;
}

}  // namespace lastreach
