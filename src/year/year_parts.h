#pragma once

#include <set>
#include <string>
#include <vector>

#include "calendar/runs.h"

namespace lastreach {

// How finely a year is planned.
enum class YearDivision {
  kSeasons,  // spring April and May, summer June to September, autumn October and November, winter December
             // to March; six months later in the south (common practice, no source)
  kMonths,
};

// A stretch of the year that is planned as one, in whole months.
struct YearPart {
  std::string name;         // "summer, June to September 2026"
  DateWindow days;          // `to` left out
  std::vector<int> months;  // 1 to 12, those that fall in it, in order

  int length_days() const;
};

// The twelve months from the first division on or after `from`, part by part without a gap. A part ends early
// where one of `cuts` begins, months 1 to 12: there the water is the same but something else changes, a
// device that must be off for frost.
std::vector<YearPart> PartsOfYear(Date from, YearDivision division, bool south,
                                  const std::set<int>& cuts = {});

// Whether a part lies wholly in such months. REQUIRES: they were among its cuts, with the months after them.
bool LiesIn(const YearPart& part, const std::set<int>& months);

// The months at which parts must be cut so that each lies wholly in or out of `months`.
std::set<int> CutsAt(const std::set<int>& months);

}  // namespace lastreach
