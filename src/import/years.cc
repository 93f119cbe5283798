#include "import/years.h"

#include <cmath>

#include "import/cell_words.h"
#include "import/numbers.h"

namespace lastreach {
namespace {

namespace chrono = std::chrono;

constexpr double kSecondsADay = 86400;

std::optional<double> NumberOf(std::string_view cell) {
  std::string text = Trimmed(cell);
  const bool negative = text.starts_with('-');
  if (negative) text.erase(0, 1);
  const auto number = ParseNumber(text);
  if (!number.ok() || !number->rest.empty() || text.find_first_of("/:") != std::string::npos)
    return std::nullopt;
  return negative ? -number->value : number->value;
}

// "19740302": eight digits that are a day.
bool IsWrittenDay(double number) {
  const int whole = static_cast<int>(number);
  const chrono::year_month_day day = chrono::year(whole / 10000) /
                                     chrono::month(static_cast<unsigned>(whole / 100 % 100)) /
                                     chrono::day(static_cast<unsigned>(whole % 100));
  return number == whole && whole >= 18000101 && whole <= 21001231 && day.ok();
}

Error NotAYear(std::string_view cell) {
  return BadInput("this is not a year or a date", {"", {}, "", std::string(cell)});
}

}  // namespace

YearColumn::YearColumn(const std::vector<std::string>& cells) {
  double most = 0;
  bool written_days = true;
  bool blanks = false;
  bool before_1970 = false;
  for (const std::string& cell : cells) {
    blanks = blanks || Trimmed(cell).empty();
    const auto number = NumberOf(cell);
    if (!number) continue;
    before_1970 = before_1970 || *number < -1e6;
    most = std::max(most, std::abs(*number));
    if (std::abs(*number) > 1e6 && std::abs(*number) < 1e9)
      written_days = written_days && IsWrittenDay(*number);
  }
  if (most > 1e10) {
    seconds_each_ = 1e-3;
    meaning_ = "milliseconds since 1970";
  } else if (most > 1e7 && !written_days) {
    seconds_each_ = 1;
    meaning_ = "seconds since 1970";
  }
  zero_is_1970_ = seconds_each_ > 0 && blanks && before_1970;
}

std::optional<Date> YearColumn::DayOfNumber(double number) const {
  if (seconds_each_ > 0) {
    const double days = std::floor(number * seconds_each_ / kSecondsADay);
    if (std::abs(days) > 1e6) return std::nullopt;
    return AddDays(chrono::year(1970) / 1 / 1, static_cast<int>(days));
  }
  // SOURCE: [ECMA-376-1] 18.17.4.1, the 1900 date base system.
  if (number >= 3000 && number <= 73050)
    return AddDays(chrono::year(1899) / 12 / 30, static_cast<int>(std::floor(number)));
  return std::nullopt;
}

bool YearColumn::SaysUnknown(std::string_view cell) const {
  const auto number = NumberOf(cell);
  if (number && *number == 0) return !zero_is_1970_;
  if (number && seconds_each_ > 0) {
    const auto day = DayOfNumber(*number);
    return day && *day == Date(chrono::year(1900) / 1 / 1);
  }
  const std::string text = Trimmed(cell);
  for (const char* nothing :
       {"1900-01-01", "1900/01/01", "01/01/1900", "1/1/1900", "0001-01-01", "0001/01/01"}) {
    if (text.starts_with(nothing)) return true;
  }
  return false;
}

Result<int> YearColumn::Read(std::string_view cell) const {
  const auto in_range = [&](int year) -> Result<int> {
    if (year < 1800 || year > 2100)
      return BadInput("this is not between 1800 and 2100", {"", {}, "", std::string(cell)});
    return year;
  };
  const std::string text = Trimmed(cell);
  if (const auto number = NumberOf(text)) {
    if (seconds_each_ == 0 && *number >= 1000 && *number < 3000) return in_range(static_cast<int>(*number));
    if (const auto day = DayOfNumber(*number)) return in_range(static_cast<int>(day->year()));
    if (!IsWrittenDay(*number)) return NotAYear(cell);
  }
  const auto day = ParseDay(text, DateOrder::kMonthFirst);
  if (!day.ok()) return NotAYear(cell);
  return in_range(static_cast<int>(day->day.year()));
}

}  // namespace lastreach
