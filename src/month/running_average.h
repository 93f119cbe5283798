#pragma once

#include <array>
#include <chrono>
#include <optional>
#include <span>

#include "ledger/month_records.h"

namespace lastreach {

// SOURCE: 40 CFR 141.65 (4.0 mg/L as Cl2 for chlorine and for chloramines), 141.64 (0.080 and 0.060 mg/L).
inline constexpr double kMostResidualAverage_mg_per_l = 4.0;
double MostAverage_mg_per_l(Byproduct byproduct);

// One of what is averaged.
struct DatedValue {
  Date day;
  double mg_per_l = 0;
};

// An average of averages, and of how many.
struct AverageOf {
  double mg_per_l = 0;
  int parts = 0;
};

// The running annual average of a residual: the mean of the monthly means of all samples, over the twelve
// months that end with `last`. Months without samples are left out and show in `parts`. None without a
// sample. SOURCE: 40 CFR 141.133(c)(1): computed each quarter, of monthly averages.
std::optional<AverageOf> YearOfMonths(std::span<const DatedValue> samples, std::chrono::year_month last);

// The last month of the last quarter that is over at the end of `month`: March, June, September or December.
std::chrono::year_month LastQuarterEnd(std::chrono::year_month month);

// One place of sampling, over four quarters.
struct LocationalAverage {
  std::array<std::optional<double>, 4> quarters_mg_per_l;  // mean of each, oldest first
  std::optional<AverageOf> mean;                           // of the quarters there are
  // (Q1 + Q2 + 2 Q3)/4 of the last three quarters; none where one of them is missing.
  std::optional<double> evaluation_level_mg_per_l;
  // What there is would be over the limit even if the quarters that are missing were zero.
  bool over_already = false;
};

// Over the four quarters that end with the quarter of `month`.
// SOURCE: 40 CFR 141.620(d) (mean of a quarter's samples first; fewer than four: mean of what there is),
// 141.620(c)(7) (over already), 141.626 (operational evaluation level).
LocationalAverage FourQuarters(std::span<const DatedValue> samples, std::chrono::year_month month,
                               double most_mg_per_l);

}  // namespace lastreach
