#include "import/dates.h"

#include <array>
#include <cctype>
#include <charconv>

#include "import/cell_words.h"
#include "import/month_words.h"
#include "import/numbers.h"

namespace lastreach {
namespace {

namespace chrono = std::chrono;

Error NotADay(std::string_view text) {
  return BadInput("this is not a date (2026-07-03 always is)", {"", {}, "", std::string(text)});
}

bool IsDigit(char c) { return c >= '0' && c <= '9'; }
bool AllDigits(std::string_view text) {
  for (const char c : text) {
    if (!IsDigit(c)) return false;
  }
  return !text.empty();
}
int ToInt(std::string_view digits) {
  int value = -1;
  std::from_chars(digits.data(), digits.data() + digits.size(), value);
  return value;
}

bool IsWeekday(std::string_view word) {
  static constexpr std::array<std::string_view, 7> kDays = {"monday", "tuesday",  "wednesday", "thursday",
                                                            "friday", "saturday", "sunday"};
  const std::string lower = Lower(word);
  if (lower == "tues" || lower == "thur" || lower == "thurs") return true;
  for (const std::string_view day : kDays) {
    if (lower.size() >= 3 && day.substr(0, lower.size()) == lower) return true;
  }
  return false;
}

// Runs of digits and runs of letters, with where each ends: "3-Jul-26" -> 3, Jul, 26.
struct Piece {
  std::string_view text;
  size_t end = 0;
  char after = 0;  // the first character behind it
};
std::vector<Piece> PiecesOf(std::string_view text) {
  std::vector<Piece> pieces;
  size_t i = 0;
  while (i < text.size()) {
    const bool digit = IsDigit(text[i]);
    const bool letter = std::isalpha(static_cast<unsigned char>(text[i])) != 0;
    if (!digit && !letter) {
      ++i;
      continue;
    }
    const size_t begin = i;
    while (i < text.size() &&
           (digit ? IsDigit(text[i]) : std::isalpha(static_cast<unsigned char>(text[i])) != 0))
      ++i;
    pieces.push_back({text.substr(begin, i - begin), i, i < text.size() ? text[i] : '\0'});
  }
  return pieces;
}

Result<Date> MakeDay(std::string_view text, int year, int month, int day, size_t year_digits) {
  if (year_digits == 2) year += 2000;
  const Date date = chrono::year(year) / chrono::month(static_cast<unsigned>(month)) /
                    chrono::day(static_cast<unsigned>(day));
  if (!date.ok() || year < 1900 || year > 2200) {
    return BadInput("there is no such day", {"", {}, "", std::string(text)});
  }
  return date;
}

// Three numbers with one sign between: which is day and which month.
Result<Date> FromNumbers(std::string_view text, const Piece& a, const Piece& b, const Piece& c,
                         std::optional<DateOrder> order) {
  if (a.text.size() == 4) return MakeDay(text, ToInt(a.text), ToInt(b.text), ToInt(c.text), 4);
  const int first = ToInt(a.text);
  const int second = ToInt(b.text);
  const int year = ToInt(c.text);
  if (c.text.size() != 2 && c.text.size() != 4) return NotADay(text);
  if (first > 12 && second <= 12) return MakeDay(text, year, second, first, c.text.size());
  if (second > 12 && first <= 12) return MakeDay(text, year, first, second, c.text.size());
  if (first == second) return MakeDay(text, year, first, second, c.text.size());
  if (!order) {
    return BadInput("day and month could be either way about; say --day-first or --month-first",
                    {"", {}, "", std::string(text)});
  }
  return *order == DateOrder::kDayFirst ? MakeDay(text, year, second, first, c.text.size())
                                        : MakeDay(text, year, first, second, c.text.size());
}

// "st", "nd", "rd", "th" behind a day, "of" between day and month.
bool IsFiller(std::string_view word) {
  const std::string lower = Lower(word);
  return lower == "st" || lower == "nd" || lower == "rd" || lower == "th" || lower == "of" || lower == "the";
}

// The day number a spreadsheet keeps a date as: 1 is 1900-01-01, with a 1900-02-29 that never was.
// SOURCE: [ECMA-376-1] 18.17.4.1, the 1900 date base system.
std::optional<Date> FromSpreadsheet(std::string_view text) {
  const size_t point = text.find('.');
  const std::string_view whole = text.substr(0, point);
  if (whole.size() != 5 || !AllDigits(whole)) return std::nullopt;
  if (point != std::string_view::npos && !AllDigits(text.substr(point + 1))) return std::nullopt;
  const int number = ToInt(whole);
  if (number < 32874 || number > 73050) return std::nullopt;  // 1990 to 2099
  return AddDays(chrono::year(1899) / 12 / 30, number);
}

}  // namespace

std::optional<DateOrder> DateOrderOf(const std::vector<std::string>& cells) {
  bool day_first = false;
  bool month_first = false;
  for (const std::string& cell : cells) {
    const std::vector<Piece> pieces = PiecesOf(cell);
    if (pieces.size() < 3 || !AllDigits(pieces[0].text) || !AllDigits(pieces[1].text) ||
        !AllDigits(pieces[2].text) || pieces[0].text.size() > 2 || pieces[1].text.size() > 2) {
      continue;
    }
    const int a = ToInt(pieces[0].text);
    const int b = ToInt(pieces[1].text);
    if (a > 12 && a <= 31 && b <= 12) day_first = true;
    if (b > 12 && b <= 31 && a <= 12) month_first = true;
  }
  if (day_first == month_first) return std::nullopt;
  return day_first ? DateOrder::kDayFirst : DateOrder::kMonthFirst;
}

Result<ParsedDay> ParseDay(std::string_view original, std::optional<DateOrder> order) {
  const std::string text = Trimmed(original);
  std::vector<Piece> pieces = PiecesOf(text);
  while (!pieces.empty() && (IsWeekday(pieces[0].text) || IsFiller(pieces[0].text)))
    pieces.erase(pieces.begin());
  if (pieces.empty()) return NotADay(original);
  if (const auto serial = FromSpreadsheet(text)) {
    const size_t point = text.find('.');
    return ParsedDay{*serial, point == std::string::npos ? "" : "0" + text.substr(point),
                     "day " + text + " of a spreadsheet read as " + FormatDate(*serial)};
  }
  const auto finish = [&](Result<Date> date, size_t end) -> Result<ParsedDay> {
    if (!date.ok()) return date.error();
    std::string time = Trimmed(std::string_view(text).substr(end));
    if (!time.empty() && (time[0] == 'T' || time[0] == ',')) time = Trimmed(time.substr(1));
    return ParsedDay{*date, time, ""};
  };
  const std::string_view first = pieces[0].text;
  if (first.size() == 8 && AllDigits(first)) {
    return finish(
        MakeDay(original, ToInt(first.substr(0, 4)), ToInt(first.substr(4, 2)), ToInt(first.substr(6)), 4),
        pieces[0].end);
  }
  std::erase_if(pieces, [](const Piece& piece) { return IsFiller(piece.text); });
  if (pieces.size() < 3) return NotADay(original);
  const Piece& a = pieces[0];
  const Piece& b = pieces[1];
  const Piece& c = pieces[2];
  if (AllDigits(a.text) && AllDigits(b.text) && AllDigits(c.text)) {
    // "13:10" and the like are times; one sign stands on both sides of the middle number.
    if (a.after != b.after || a.after == ':') return NotADay(original);
    return finish(FromNumbers(original, a, b, c, order), c.end);
  }
  if (!AllDigits(c.text) || (c.text.size() != 2 && c.text.size() != 4)) return NotADay(original);
  if (const int month = MonthOfWord(b.text); month > 0 && AllDigits(a.text) && a.text.size() <= 2) {
    return finish(MakeDay(original, ToInt(c.text), month, ToInt(a.text), c.text.size()), c.end);
  }
  if (const int month = MonthOfWord(a.text); month > 0 && AllDigits(b.text) && b.text.size() <= 2) {
    return finish(MakeDay(original, ToInt(c.text), month, ToInt(b.text), c.text.size()), c.end);
  }
  return NotADay(original);
}

}  // namespace lastreach
