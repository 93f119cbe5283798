#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/result.h"
#include "import/dates.h"

namespace lastreach {

// Years of one column, in which every cell means the same sort of thing: "1974", "1974.0", "1974-03-02",
// "03/02/1974" (the order of day and month does not matter for a year), milliseconds or seconds since 1970,
// a spreadsheet's day number.
class YearColumn {
 public:
  // Looks at all cells: whether bare large numbers are milliseconds (some is beyond 1e10), seconds (beyond
  // 1e7, and no 20240131) or days.
  explicit YearColumn(const std::vector<std::string>& cells);

  // Four digits. ERROR: kBadInput if it is no date, or not between 1800 and 2100.
  Result<int> Read(std::string_view cell) const;

  // Whether it is the first moment of 1900, or of year 1, which databases write where nobody knows; and so
  // is 0, unless it is a moment among others before it in a column that leaves unknown ones blank: 1970.
  // Common practice, no source.
  bool SaysUnknown(std::string_view cell) const;

  // "milliseconds since 1970"; empty where nothing unusual is meant.
  const std::string& meaning() const { return meaning_; }

 private:
  std::optional<Date> DayOfNumber(double number) const;

  double seconds_each_ = 0;  // 0: day numbers
  bool zero_is_1970_ = false;
  std::string meaning_;
};

}  // namespace lastreach
