#include "month/month_residual_tables.h"

#include <cmath>

namespace lastreach {
namespace {

constexpr int kResidualDecimals = 2;
constexpr int kPercentDecimals = 1;

std::string WhereAndWhen(const ResidualReading& reading) {
  std::string text = reading.point.text() + " on " + FormatDate(reading.day);
  if (reading.minute_of_day) text += " " + FormatTimeOfDay(*reading.minute_of_day);
  if (reading.below_detection) text += ", not detected";
  return text;
}

MonthCell Percent(double value) {
  if (!std::isfinite(value)) return {};
  return RoundedTo(value, kPercentDecimals);
}

std::string Finding(const ResidualSummary& summary) {
  std::string finding;
  const auto add = [&](const std::string& text) { finding += (finding.empty() ? "" : "; ") + text; };
  if (summary.over_in_both) add("OVER 5 % NOT DETECTED IN TWO MONTHS RUNNING");
  if (!summary.over_in_both && UndetectedPercent(summary.detection) > kMostUndetectedPercent) {
    add("over 5 % not detected this month");
  }
  if (summary.year && summary.year->mg_per_l > kMostResidualAverage_mg_per_l) add("YEAR OVER 4.0 mg/L");
  if (summary.below_limit > 0) add(std::to_string(summary.below_limit) + " below the limit");
  return finding.empty() && summary.readings == 0 ? "no reading" : finding;
}

}  // namespace

MonthTable ReadingTable(const MonthReport& report) {
  MonthTable table{"readings",
                   "Residual readings",
                   {{"point", "Point"},
                    {"zone", "Zone"},
                    {"date", "Date"},
                    {"time", "Time"},
                    {"analyte", "What"},
                    {"residual_mg_per_l", "Residual (mg/L)", true},
                    {"written", "As written"},
                    {"limit_mg_per_l", "Limit (mg/L)", true},
                    {"finding", "Finding"},
                    {"who", "By"}},
                   {},
                   {}};
  for (const ResidualReading& reading : report.readings) {
    MonthCell limit;
    if (reading.limit_mg_per_l) limit = RoundedTo(*reading.limit_mg_per_l, kResidualDecimals);
    std::string finding = reading.below_detection ? "not detected" : "";
    if (reading.below_limit) finding += finding.empty() ? "below limit" : ", below limit";
    table.rows.push_back({reading.point.text(), reading.zone, FormatDate(reading.day),
                          reading.minute_of_day ? FormatTimeOfDay(*reading.minute_of_day) : std::string(),
                          std::string(ToText(reading.analyte)),
                          RoundedTo(reading.mg_per_l, kResidualDecimals), reading.original, limit, finding,
                          reading.who});
  }
  return table;
}

MonthTable ResidualTable(const MonthReport& report) {
  MonthTable table{"residuals",
                   "Residuals",
                   {{"zone", "Zone"},
                    {"readings", "Readings", true},
                    {"lowest_mg_per_l", "Lowest (mg/L)", true},
                    {"lowest_at", "Where and when"},
                    {"average_mg_per_l", "Average (mg/L)", true},
                    {"below_limit", "Below limit", true},
                    {"below_limit_percent", "Below limit (%)", true},
                    {"undetected", "Not detected", true},
                    {"undetected_percent", "Not detected (%)", true},
                    {"undetected_percent_month_before", "Month before (%)", true},
                    {"year_average_mg_per_l", "Average of the year (mg/L)", true},
                    {"year_months", "Months in it", true},
                    {"finding", "Finding"}},
                   {},
                   {}};
  for (const ResidualSummary& summary : report.residuals) {
    const auto count = [](int number) { return MonthNumber{number, 0}; };
    MonthCell lowest, mean, below, year, months;
    std::string where;
    if (summary.lowest) {
      lowest = RoundedTo(summary.lowest->mg_per_l, kResidualDecimals);
      mean = RoundedTo(summary.mean_mg_per_l, kResidualDecimals);
      where = WhereAndWhen(*summary.lowest);
    }
    if (summary.with_limit > 0) below = Percent(100.0 * summary.below_limit / summary.with_limit);
    if (summary.year) {
      year = RoundedTo(summary.year->mg_per_l, kResidualDecimals);
      months = count(summary.year->parts);
    }
    table.rows.push_back({summary.zone.empty() ? "all" : summary.zone, count(summary.readings), lowest, where,
                          mean, count(summary.below_limit), below, count(summary.detection.undetected),
                          Percent(UndetectedPercent(summary.detection)),
                          Percent(UndetectedPercent(summary.detection_before)), year, months,
                          Finding(summary)});
  }
  return table;
}

}  // namespace lastreach
