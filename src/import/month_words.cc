#include "import/month_words.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <string>
#include <vector>

#include "import/cell_words.h"
#include "import/dates.h"
#include "import/numbers.h"

namespace lastreach {
namespace {

Error NotMonths(std::string_view text, const char* message) {
  return BadInput(message, {"", {}, "", std::string(text)});
}

bool IsWhole(const std::string& word, size_t most_digits) {
  return !word.empty() && word.size() <= most_digits &&
         std::all_of(word.begin(), word.end(), [](unsigned char c) { return std::isdigit(c) != 0; });
}

// A month by its word or its number; 0 if it is none.
int MonthOf(const std::string& word) {
  if (const int month = MonthOfWord(word); month > 0) return month;
  if (!IsWhole(word, 2)) return 0;
  const int number = std::stoi(word);
  return number <= 12 ? number : 0;
}

// Words that only join: "from November through to March".
bool IsBetween(const std::string& word) {
  static constexpr std::array<std::string_view, 6> kWords = {"to",    "through", "thru",
                                                             "until", "till",    "from"};
  return std::find(kWords.begin(), kWords.end(), word) != kWords.end();
}

}  // namespace

int MonthOfWord(std::string_view word) {
  const std::string lower = Lower(word);
  if (lower == "sept") return 9;
  for (int month = 1; month <= 12; ++month) {
    if (lower.size() >= 3 && Lower(MonthWord(month)).substr(0, lower.size()) == lower) return month;
  }
  return 0;
}

Result<int> ParseMonth(std::string_view text) {
  const char* const kWanted = "a month is wanted, by name or as a number from 1 to 12";
  if (const auto number = ParseNumber(text); number.ok() && number->rest.empty()) {
    const int month = static_cast<int>(number->value);
    if (month == number->value && month >= 1 && month <= 12) return month;
    return NotMonths(text, kWanted);
  }
  const std::vector<std::string> words = Words(Plainly(text));
  // "2026-07" of a database, "Jul 2026" of a spreadsheet.
  if (words.size() == 2 && IsWhole(words[0], 4) && words[0].size() == 4 && MonthOf(words[1]) > 0)
    return MonthOf(words[1]);
  const bool year_behind = words.size() == 2 && (IsWhole(words[1], 4) || IsWhole(words[1], 2));
  if ((words.size() == 1 || year_behind) && MonthOfWord(words[0]) > 0) return MonthOfWord(words[0]);
  return NotMonths(text, kWanted);
}

Result<std::pair<int, int>> ParseYearMonth(std::string_view text) {
  std::vector<std::string> words = Words(Plainly(text));
  if (words.size() == 1 && words[0].size() == 6 && IsWhole(words[0], 6))
    words = {words[0].substr(0, 4), words[0].substr(4)};
  if (words.size() == 2) {
    // The month by its word or as the number that is no year.
    if (IsWhole(words[0], 4) && words[0].size() == 4) std::swap(words[0], words[1]);
    const int month = MonthOf(words[0]);
    const bool is_year = IsWhole(words[1], 4) && (words[1].size() == 4 || words[1].size() == 2);
    const int year = is_year ? std::stoi(words[1]) + (words[1].size() == 2 ? 2000 : 0) : 0;
    if (month > 0 && year >= 1990 && year <= 2200) return std::pair(year, month);
  }
  // A day whose month could be read as its day is no month of a year.
  if (const auto day = ParseDay(text, {}); day.ok()) {
    return std::pair(static_cast<int>(day->day.year()),
                     static_cast<int>(static_cast<unsigned>(day->day.month())));
  }
  return NotMonths(text, "a month of a year is wanted, as in Jul 2026 or 2026-07");
}

Result<std::pair<int, int>> ParseMonthStretch(std::string_view text) {
  std::vector<std::string> words = Words(Plainly(text));
  std::erase_if(words, IsBetween);
  if (words.empty() || words.size() > 2 || MonthOf(words.front()) == 0 || MonthOf(words.back()) == 0) {
    return NotMonths(text, "two months are wanted, as in November to March");
  }
  return std::pair(MonthOf(words.front()), MonthOf(words.back()));
}

Result<Months> ParseMonths(std::string_view text) {
  const std::string plain = Plainly(text);
  if (plain == "monthly" || plain == "every month" || plain == "each month" || plain == "all year")
    return kEveryMonth;
  const char* const kWanted = "the months are wanted: every month, or by name as in March and September";
  std::vector<std::string> words = Words(plain);
  const bool stretch = std::any_of(words.begin(), words.end(), IsBetween) ||
                       (words.size() == 2 && text.find('-') != std::string_view::npos);
  if (stretch) {
    const auto both = ParseMonthStretch(text);
    if (!both.ok()) return NotMonths(text, kWanted);
    Months months;
    for (int month = 1; month <= 12; ++month) {
      if (IsMonthWithin(month, both->first, both->second))
        months.bits |= 1U << static_cast<unsigned>(month - 1);
    }
    return months;
  }
  std::erase_if(words,
                [](const std::string& word) { return word == "and" || word == "every" || word == "in"; });
  Months months;
  for (const std::string& word : words) {
    const int month = MonthOf(word);
    if (month == 0) return NotMonths(text, kWanted);
    months.bits |= 1U << static_cast<unsigned>(month - 1);
  }
  if (months.bits == 0) return NotMonths(text, kWanted);
  return months;
}

}  // namespace lastreach
