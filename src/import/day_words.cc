#include "import/day_words.h"

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "import/cell_words.h"
#include "import/dates.h"

namespace lastreach {
namespace {

Error NotDays(std::string_view text,
              const std::string& why = "these are not days (Mon Wed Fri, odd, every 3 days are)") {
  return BadInput(why, {"", {}, "", std::string(text)});
}

// Monday is 0; none if the word is no day.
std::optional<int> DayOf(std::string_view word) {
  static constexpr std::array<std::string_view, 7> kDays = {"monday", "tuesday",  "wednesday", "thursday",
                                                            "friday", "saturday", "sunday"};
  if (word == "m") return 0;
  if (word == "t") return 1;
  if (word == "w") return 2;
  if (word == "r" || word == "thurs" || word == "thur") return 3;
  if (word == "f") return 4;
  if (word == "weds") return 2;
  if (word == "tues") return 1;
  for (size_t i = 0; i < kDays.size(); ++i) {
    if (word.size() >= 2 && kDays[i].substr(0, word.size()) == word) return static_cast<int>(i);
  }
  if (word.size() > 3 && word.back() == 's') return DayOf(word.substr(0, word.size() - 1));  // "mondays"
  return std::nullopt;
}

// "mwf", "tuth", "mtwthf": the longest day name at each place.
std::optional<std::vector<int>> RunTogether(std::string_view word) {
  std::vector<int> days;
  size_t i = 0;
  while (i < word.size()) {
    std::optional<int> day;
    for (const size_t length : {size_t{3}, size_t{2}, size_t{1}}) {
      if (i + length > word.size()) continue;
      day = DayOf(word.substr(i, length));
      if (day) {
        i += length;
        break;
      }
    }
    if (!day) return std::nullopt;
    days.push_back(*day);
  }
  return days;
}

Result<DayPattern> EveryN(std::string_view text, const std::vector<std::string>& words,
                          const std::string& lower) {
  static constexpr std::array<std::string_view, 8> kNumbers = {"",     "",     "two", "three",
                                                               "four", "five", "six", "seven"};
  EveryNDays every;
  every.n = 0;
  const std::string& second = words[1];
  for (size_t i = 2; i < kNumbers.size(); ++i) {
    if (second == kNumbers[i]) every.n = static_cast<int>(i);
  }
  if (second == "other" || second == "2nd" || second == "second") every.n = 2;
  if (second == "third" || second == "3rd") every.n = 3;
  if (second == "day") return DayPattern(kEveryWeekday);
  if (every.n == 0 && second.find_first_not_of("0123456789") == std::string::npos && second.size() <= 2) {
    every.n = std::stoi(second);
  }
  if (every.n < 1) return NotDays(text);
  if (words.size() < 3 || (words[2] != "day" && words[2] != "days" && words[2] != "d")) return NotDays(text);
  for (const std::string_view start : {" from ", " starting ", " since ", " beginning "}) {
    const size_t at = lower.find(start);
    if (at == std::string::npos) continue;
    const auto day = ParseDay(lower.substr(at + start.size()), std::nullopt);
    if (!day.ok()) return NotDays(text, "the first day is not a date: " + day.error().message);
    every.from = day->day;
    return DayPattern(every);
  }
  if (words.size() > 3) return NotDays(text);
  return DayPattern(every);
}

// "mon to fri", "m-f": every day from one to the other, over the week's end if need be.
std::optional<Weekdays> Range(std::string_view from, std::string_view to) {
  const auto first = DayOf(from);
  const auto last = DayOf(to);
  if (!first || !last) return std::nullopt;
  Weekdays days;
  for (int day = *first;; day = (day + 1) % 7) {
    days.bits |= 1U << day;
    if (day == *last) return days;
  }
}

}  // namespace

Result<DayPattern> ParseDays(std::string_view text) {
  const std::string lower = Lower(Trimmed(text));
  const std::string plain = Plainly(text);
  const std::vector<std::string> words = Words(plain);
  if (words.empty()) return NotDays(text);
  for (const std::string_view all : {"daily", "every day", "everyday", "all", "all days", "7 days",
                                     "all week", "each day", "7 days a week"}) {
    if (plain == all) return DayPattern(kEveryWeekday);
  }
  if (plain == "weekdays" || plain == "weekday" || plain == "work days" || plain == "workdays")
    return DayPattern(Weekdays{0x1F});
  if (plain == "weekends" || plain == "weekend") return DayPattern(Weekdays{0x60});
  for (const std::string_view tail : {"", " days", " dates", " day"}) {
    if (plain == "odd" + std::string(tail)) return DayPattern(OddDates{});
    if (plain == "even" + std::string(tail)) return DayPattern(EvenDates{});
  }
  if (words[0] == "every" && words.size() >= 2) return EveryN(text, words, lower);
  if (words.size() == 3 && (words[1] == "to" || words[1] == "thru" || words[1] == "through")) {
    if (const auto range = Range(words[0], words[2])) return DayPattern(*range);
  }
  const bool dash = lower.find('-') != std::string::npos || lower.find("\xE2\x80\x93") != std::string::npos;
  if (words.size() == 2 && dash) {
    if (const auto range = Range(words[0], words[1])) return DayPattern(*range);
  }
  Weekdays days;
  for (const std::string& word : words) {
    if (word == "and") continue;
    std::vector<int> found;
    if (word == "s") return NotDays(text, "S may be Saturday or Sunday; write Sat or Sun");
    if (const auto day = DayOf(word)) {
      found = {*day};
    } else if (const auto run = RunTogether(word)) {
      found = *run;
    } else {
      return NotDays(text);
    }
    for (const int day : found) {
      // "M T W T F": a second T can only be Thursday.
      const bool again = day == 1 && days.Has(1);
      days.bits |= 1U << (again ? 3 : day);
    }
  }
  return DayPattern(days);
}

}  // namespace lastreach
