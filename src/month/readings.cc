#include "month/readings.h"

#include <algorithm>
#include <array>
#include <map>
#include <utility>

namespace lastreach {
namespace {

// The lower, the sooner it is gone by.
int RankOf(Analyte analyte, Disinfectant disinfectant) {
  const bool free_first = disinfectant == Disinfectant::kFreeChlorine;
  switch (analyte) {
    case Analyte::kFreeChlorine:
      return free_first ? 0 : 2;
    case Analyte::kTotalChlorine:
      return free_first ? 1 : 0;
    default:
      return free_first ? 2 : 1;
  }
}

struct Together {
  const Sample* chosen = nullptr;
  bool detected = false;
};

}  // namespace

bool IsInMonth(Date day, std::chrono::year_month month) { return day.year() / day.month() == month; }

std::vector<ResidualReading> ReadingsOf(const std::vector<Sample>& samples, const std::string& zone,
                                        const HeldAgainst& against) {
  // Day, minute (-1 for none) and how many of the same analyte came before at that time.
  std::map<std::array<int, 3>, Together> readings;
  std::map<std::array<int, 3>, int> seen;
  for (const Sample& sample : samples) {
    if (!IsResidual(sample.analyte)) continue;
    const int day = DayNumber(sample.day);
    const int minute = sample.minute_of_day.value_or(-1);
    Together& reading = readings[{day, minute, seen[{day, minute, static_cast<int>(sample.analyte)}]++}];
    if (reading.chosen == nullptr || RankOf(sample.analyte, against.disinfectant) <
                                         RankOf(reading.chosen->analyte, against.disinfectant)) {
      reading.chosen = &sample;
    }
    reading.detected = reading.detected || !sample.below_detection;
  }
  std::vector<ResidualReading> out;
  for (const auto& [when, together] : readings) {
    const Sample& sample = *together.chosen;
    const double mg_per_l = sample.below_detection ? 0 : sample.residual.milligrams_per_litre();
    out.push_back({sample.point, zone, sample.day, sample.minute_of_day, sample.analyte, mg_per_l,
                   sample.below_detection, !together.detected, against.limit_mg_per_l,
                   against.limit_mg_per_l && mg_per_l < *against.limit_mg_per_l, sample.original,
                   sample.who});
  }
  return out;
}

std::optional<double> LeastResidualOf(const FlushPoint& point, const std::vector<Limit>& limits,
                                      const SupplyZone* zone) {
  std::optional<double> least;
  for (const Limit& limit : limits) {
    const auto* rule = std::get_if<LeastResidual>(&limit.rule);
    if (rule == nullptr || !Binds(limit, point)) continue;
    least = std::max(least.value_or(0), rule->residual.milligrams_per_litre());
  }
  if (!least && zone != nullptr && zone->target_residual) {
    least = zone->target_residual->value.milligrams_per_litre();
  }
  return least;
}

ResidualSummary SummariseReadings(const std::vector<ResidualReading>& readings, const std::string& zone,
                                  std::chrono::year_month month) {
  ResidualSummary summary;
  summary.zone = zone;
  std::vector<DatedValue> values;
  double total_mg_per_l = 0;
  for (const ResidualReading& reading : readings) {
    if (!zone.empty() && reading.zone != zone) continue;
    values.push_back({reading.day, reading.mg_per_l});
    if (IsInMonth(reading.day, month - std::chrono::months(1))) {
      ++summary.detection_before.measured;
      summary.detection_before.undetected += reading.undetected ? 1 : 0;
    }
    if (!IsInMonth(reading.day, month)) continue;
    ++summary.readings;
    total_mg_per_l += reading.mg_per_l;
    summary.with_limit += reading.limit_mg_per_l ? 1 : 0;
    summary.below_limit += reading.below_limit ? 1 : 0;
    ++summary.detection.measured;
    summary.detection.undetected += reading.undetected ? 1 : 0;
    if (!summary.lowest || reading.mg_per_l < summary.lowest->mg_per_l) summary.lowest = reading;
  }
  if (summary.readings > 0) summary.mean_mg_per_l = total_mg_per_l / summary.readings;
  summary.over_in_both =
      IsOverInBoth(UndetectedPercent(summary.detection), UndetectedPercent(summary.detection_before));
  summary.year = YearOfMonths(values, LastQuarterEnd(month));
  return summary;
}

}  // namespace lastreach
