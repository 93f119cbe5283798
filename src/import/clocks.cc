#include <array>
#include <cmath>

#include "import/cell_words.h"
#include "import/dates.h"
#include "import/numbers.h"

namespace lastreach {
namespace {

constexpr int kMinutesPerDay = 1440;

Error NotATime(std::string_view text) {
  return BadInput("this is not a time of day (13:10 and 1:10 pm are)", {"", {}, "", std::string(text)});
}

void ReplaceAll(std::string& text, std::string_view from, std::string_view to) {
  for (size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size())) {
    text.replace(at, from.size(), to);
  }
}

// Lower case, with one word for each way of saying am and pm, standing apart from the digits.
std::string Regular(std::string_view original) {
  std::string text = Lower(Trimmed(original));
  static constexpr std::array<std::array<std::string_view, 2>, 19> kSays = {{{"\xC2\xA0", " "},
                                                                             {"\xE2\x80\xAF", " "},
                                                                             {"in the morning", "am"},
                                                                             {"in the afternoon", "pm"},
                                                                             {"in the evening", "pm"},
                                                                             {"in the early hours", "am"},
                                                                             {"a.m.", "am"},
                                                                             {"p.m.", "pm"},
                                                                             {"a.m", "am"},
                                                                             {"p.m", "pm"},
                                                                             {"12 midnight", "00:00"},
                                                                             {"12:00 midnight", "00:00"},
                                                                             {"midnight", "00:00"},
                                                                             {"12:00 noon", "12:00"},
                                                                             {"12 noon", "12:00"},
                                                                             {"midday", "12:00"},
                                                                             {"noon", "12:00"},
                                                                             {"am", " am"},
                                                                             {"pm", " pm"}}};
  for (const auto& [from, to] : kSays) ReplaceAll(text, from, to);
  return text;
}

struct Parts {
  int hour = 0;
  int minute = 0;
  bool bare = false;  // one or two digits only
};

// "1:10", "1.10", "13h10", "0110", "01:10:00", "1".
std::optional<Parts> TakeParts(std::string_view text) {
  std::vector<std::string> numbers(1);
  for (const char c : text) {
    if (c >= '0' && c <= '9') {
      numbers.back() += c;
    } else if ((c == ':' || c == '.' || c == 'h') && !numbers.back().empty()) {
      numbers.emplace_back();
    } else {
      return std::nullopt;
    }
  }
  if (numbers.size() > 1 && numbers.back().empty()) numbers.pop_back();  // "13h"
  if (numbers.size() == 1) {
    const std::string& digits = numbers[0];
    if (digits.size() == 3 || digits.size() == 4) {
      return Parts{std::stoi(digits.substr(0, digits.size() - 2)),
                   std::stoi(digits.substr(digits.size() - 2))};
    }
    if (digits.size() == 1 || digits.size() == 2) return Parts{std::stoi(digits), 0, text.back() != 'h'};
    return std::nullopt;
  }
  const bool sound = numbers.size() <= 3 && numbers[0].size() <= 2 && numbers[1].size() == 2 &&
                     (numbers.size() == 2 || (numbers[2].size() == 2 && std::stoi(numbers[2]) < 60));
  if (!sound) return std::nullopt;
  return Parts{std::stoi(numbers[0]), std::stoi(numbers[1])};
}

// The fraction of a day by which a spreadsheet keeps a time. Three decimals or more, or "0.30" would be one.
std::optional<int> FromFraction(std::string_view text) {
  if (text.size() < 5 || text.substr(0, 2) != "0.") return std::nullopt;
  const auto number = ParseNumber(text);
  if (!number.ok() || !number->rest.empty()) return std::nullopt;
  return static_cast<int>(std::lround(number->value * kMinutesPerDay)) % kMinutesPerDay;
}

}  // namespace

Result<int> ParseClock(std::string_view original) {
  const std::string text = Trimmed(Regular(original));
  if (const auto minutes = FromFraction(text)) return *minutes;
  std::vector<std::string> words = Words(text);
  if (!words.empty() && (words.back() == "hrs" || words.back() == "hours" || words.back() == "h"))
    words.pop_back();
  if (words.empty() || words.size() > 2) return NotATime(original);
  const bool am = words.size() == 2 && (words[1] == "am" || words[1] == "a");
  const bool pm = words.size() == 2 && (words[1] == "pm" || words[1] == "p");
  if (words.size() == 2 && !am && !pm) return NotATime(original);
  auto parts = TakeParts(words[0]);
  if (!parts || (parts->bare && !am && !pm)) return NotATime(original);
  if (am && parts->hour > 12)
    return BadInput("there is no such hour in the morning", {"", {}, "", std::string(original)});
  if (am && parts->hour == 12) parts->hour = 0;
  if (pm && parts->hour < 12) parts->hour += 12;
  if (parts->hour > 23 || parts->minute > 59) return NotATime(original);
  return parts->hour * 60 + parts->minute;
}

Result<std::vector<int>> ParseClocks(std::string_view original) {
  std::string text = Regular(original);
  for (const std::string_view between : {",", ";", "&", "+", "/", "\n", " and "})
    ReplaceAll(text, between, " ");
  std::vector<int> times;
  const std::vector<std::string> words = Words(text);
  for (size_t i = 0; i < words.size(); ++i) {
    std::string one = words[i];
    if (i + 1 < words.size() && (words[i + 1] == "am" || words[i + 1] == "pm")) one += " " + words[++i];
    const auto time = ParseClock(one);
    if (!time.ok()) return NotATime(original);
    times.push_back(*time);
  }
  if (times.empty()) return NotATime(original);
  return times;
}

Result<int> ParseMinutes(std::string_view original) {
  const Error no_minutes =
      BadInput("whole minutes are wanted (30, 30 min, 1 h 15)", {"", {}, "", std::string(original)});
  std::string text = Lower(Trimmed(original));
  for (const std::string_view end : {"runs", "run", "each", "/"}) ReplaceAll(text, end, " ");
  double minutes = 0;
  if (text.find(':') != std::string::npos) {
    const auto parts = TakeParts(Trimmed(text));
    if (!parts || parts->minute > 59) return no_minutes;
    minutes = parts->hour * 60 + parts->minute;
  } else {
    bool hours_seen = false;
    std::string rest = text;
    do {
      const auto number = ParseNumber(rest);
      if (!number.ok()) return no_minutes;
      size_t letters = 0;
      rest = number->rest;
      while (letters < rest.size() && std::isalpha(static_cast<unsigned char>(rest[letters])) != 0) ++letters;
      const std::string unit = rest.substr(0, letters);
      rest = Trimmed(rest.substr(letters));
      if (!rest.empty() && (rest[0] == '.' || rest[0] == '\'')) rest = Trimmed(rest.substr(1));
      if (unit == "h" || unit == "hr" || unit == "hrs" || unit == "hour" || unit == "hours") {
        if (hours_seen) return no_minutes;
        hours_seen = true;
        minutes += 60 * number->value;
      } else if (unit.empty() || unit == "m" || unit == "min" || unit == "mins" || unit == "minute" ||
                 unit == "minutes") {
        minutes += number->value;
        if (!rest.empty()) return no_minutes;
      } else {
        return no_minutes;
      }
    } while (!rest.empty());
  }
  // A spreadsheet's 0.1 h and the like come out a hair off; a part of a minute is another matter.
  const double whole = std::round(minutes);
  if (std::abs(whole - minutes) > 1e-6 || whole < 0 || whole > kMinutesPerDay) return no_minutes;
  return static_cast<int>(whole);
}

}  // namespace lastreach
