#include "ledger/months.h"

#include <array>
#include <vector>

namespace lastreach {

std::string_view MonthWord(int month) {
  static constexpr std::array<std::string_view, 12> kWords = {
      "January", "February", "March",     "April",   "May",      "June",
      "July",    "August",   "September", "October", "November", "December"};
  return kWords[static_cast<size_t>(month - 1)];
}

bool IsMonthWithin(int month, int from, int to) {
  return from <= to ? from <= month && month <= to : from <= month || month <= to;
}

std::string Describe(Months months) {
  if (months == kEveryMonth) return "every month";
  std::vector<std::string> words;
  for (int month = 1; month <= 12; ++month) {
    if (months.Has(month)) words.emplace_back(MonthWord(month));
  }
  if (words.empty()) return "no month";
  std::string text = words[0];
  for (size_t i = 1; i < words.size(); ++i) text += (i + 1 < words.size() ? ", " : " and ") + words[i];
  return text;
}

}  // namespace lastreach
