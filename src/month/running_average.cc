#include "month/running_average.h"

#include <map>

namespace lastreach {
namespace {

constexpr int kMonthsPerYear = 12;
constexpr int kMonthsPerQuarter = 3;

// Months since year 0, so that differences count over the new year.
int Index(std::chrono::year_month month) {
  return kMonthsPerYear * static_cast<int>(month.year()) +
         static_cast<int>(static_cast<unsigned>(month.month())) - 1;
}
int Index(Date day) { return Index(day.year() / day.month()); }

struct Sum {
  double total = 0;
  int count = 0;
  void Add(double value) {
    total += value;
    ++count;
  }
  double mean() const { return total / count; }
};

}  // namespace

double MostAverage_mg_per_l(Byproduct byproduct) {
  return byproduct == Byproduct::kTotalTrihalomethanes ? 0.080 : 0.060;
}

std::optional<AverageOf> YearOfMonths(std::span<const DatedValue> samples, std::chrono::year_month last) {
  std::map<int, Sum> months;
  for (const DatedValue& sample : samples) {
    const int before = Index(last) - Index(sample.day);
    if (before >= 0 && before < kMonthsPerYear) months[before].Add(sample.mg_per_l);
  }
  if (months.empty()) return {};
  Sum year;
  for (const auto& [before, month] : months) year.Add(month.mean());
  return AverageOf{year.mean(), year.count};
}

std::chrono::year_month LastQuarterEnd(std::chrono::year_month month) {
  const int past = static_cast<int>(static_cast<unsigned>(month.month())) % kMonthsPerQuarter;
  return month - std::chrono::months(past);
}

LocationalAverage FourQuarters(std::span<const DatedValue> samples, std::chrono::year_month month,
                               double most_mg_per_l) {
  std::array<Sum, 4> sums;
  const int last = Index(month) / kMonthsPerQuarter;
  for (const DatedValue& sample : samples) {
    const int before = last - Index(sample.day) / kMonthsPerQuarter;
    if (before >= 0 && before < 4) sums[static_cast<size_t>(3 - before)].Add(sample.mg_per_l);
  }
  LocationalAverage average;
  Sum year;
  for (size_t i = 0; i < 4; ++i) {
    if (sums[i].count == 0) continue;
    average.quarters_mg_per_l[i] = sums[i].mean();
    year.Add(sums[i].mean());
  }
  if (year.count > 0) average.mean = AverageOf{year.mean(), year.count};
  average.over_already = year.total > 4 * most_mg_per_l;
  const auto& q = average.quarters_mg_per_l;
  if (q[1] && q[2] && q[3]) average.evaluation_level_mg_per_l = (*q[1] + *q[2] + 2 * *q[3]) / 4;
  return average;
}

}  // namespace lastreach
