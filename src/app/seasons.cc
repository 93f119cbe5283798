#include "app/seasons.h"

#include <cctype>

namespace lastreach {
namespace {

struct Span {
  const char* name;
  int first_month;  // in the north, 1 to 12
  int months;
};
constexpr Span kSpans[] = {{"spring", 4, 2}, {"summer", 6, 4}, {"autumn", 10, 2}, {"winter", 12, 4}};

Date FirstOf(int year, int month_from_one) {
  const int months = year * 12 + month_from_one - 1;
  return std::chrono::year(months / 12) / std::chrono::month(static_cast<unsigned>(months % 12 + 1)) / 1;
}

DateWindow DaysOf(const Span& span, int year, bool south) {
  const int first = (span.first_month - 1 + (south ? 6 : 0)) % 12 + 1;
  return {FirstOf(year, first), FirstOf(year, first + span.months)};
}

}  // namespace

Result<Season> SeasonOf(std::string_view text, Date today, bool south) {
  const std::string word(text.substr(0, text.find('-')));
  const std::string year_text(text.size() > word.size() ? text.substr(word.size() + 1) : "");
  const bool year_is_number =
      year_text.size() == 4 && year_text.find_first_not_of("0123456789") == std::string::npos;
  const Error unknown =
      BadRequest("there is no season '" + std::string(text) +
                 "': spring, summer, autumn, winter or year, and a year if you like, summer-2027");
  if (text.size() > word.size() && !year_is_number) return unknown;
  if (word == "year") {
    const int year = year_is_number ? std::stoi(year_text) : static_cast<int>(today.year());
    const int month = year_is_number ? 1 : static_cast<int>(static_cast<unsigned>(today.month())) + 1;
    const DateWindow days{FirstOf(year, month), FirstOf(year, month + 12)};
    return Season{"year from " + FormatDate(days.from), days};
  }
  for (const Span& span : kSpans) {
    if (word != span.name) continue;
    int year = year_is_number ? std::stoi(year_text) : static_cast<int>(today.year()) - 1;
    while (!year_is_number && DaysOf(span, year, south).to <= today) ++year;
    return Season{word + " " + std::to_string(year), DaysOf(span, year, south)};
  }
  return unknown;
}

}  // namespace lastreach
