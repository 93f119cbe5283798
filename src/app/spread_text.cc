#include <algorithm>
#include <cmath>
#include <cstdio>
#include <ostream>

#include "app/spread_report.h"
#include "app/text_table.h"

namespace lastreach {
namespace {

constexpr size_t kMostPlaces = 12;
constexpr const char* kNoDifference = "about the same";

std::string Number(const char* format, double value) {
  char text[64];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

std::string OneDecimal(double mg_per_l) { return Number("%.1f", mg_per_l); }

// Hours up to two days, then days: as people say it.
std::string AgeWord(double age_s) {
  return age_s < 2 * kSecondsPerDay ? Number("%.0f h", age_s / kSecondsPerHour)
                                    : Number("%.1f d", age_s / kSecondsPerDay);
}

double At(const std::vector<double>& sorted, int percent) { return Quantile(sorted, percent / 100.0); }

// Evenly spread over the reach where there are many; the last and the worst in any case.
std::vector<const SpreadPlace*> Shown(const ReachSpread& spread) {
  const std::vector<SpreadPlace>& places = spread.places;
  std::vector<const SpreadPlace*> shown;
  const size_t step = (places.size() + kMostPlaces - 1) / kMostPlaces;
  for (size_t i = 0; i < places.size(); ++i) {
    const bool one_of_few = (places.size() - 1 - i) % step == 0;
    if (one_of_few || &places[i] == &spread.Worst()) shown.push_back(&places[i]);
  }
  return shown;
}

void PrintResiduals(const ReachSpread& spread, std::ostream& out) {
  out << "Lowest residual met in a week, mg/L: 5 % of the weeks are lower than the first, 95 % than the "
         "third\n";
  std::vector<std::vector<std::string>> rows = {{"", "5 %", "50 %", "95 %", "smooth", "chance makes it"}};
  if (spread.target_mg_per_l) rows.front().push_back("below " + OneDecimal(*spread.target_mg_per_l));
  for (const SpreadPlace* place : Shown(spread)) {
    const std::vector<double>& lows = place->weeks.lowest_mg_per_l;
    rows.push_back({place->words, OneDecimal(At(lows, 5)), OneDecimal(At(lows, 50)), OneDecimal(At(lows, 95)),
                    OneDecimal(place->smooth_lowest_mg_per_l),
                    ResidualDifference(At(lows, 50), place->smooth_lowest_mg_per_l)});
    if (!spread.target_mg_per_l) continue;
    rows.back().push_back(std::to_string(place->WeeksBelow(*spread.target_mg_per_l)) + " of " +
                          std::to_string(lows.size()) + " weeks");
  }
  out << TextTable(rows);
}

void PrintAges(const ReachSpread& spread, std::ostream& out) {
  out << "Oldest water met in a week:\n";
  std::vector<std::vector<std::string>> rows = {{"", "5 %", "50 %", "95 %", "smooth", "chance makes it"}};
  for (const SpreadPlace* place : Shown(spread)) {
    const std::vector<double>& ages = place->weeks.greatest_age_s;
    rows.push_back({place->words, AgeWord(At(ages, 5)), AgeWord(At(ages, 50)), AgeWord(At(ages, 95)),
                    AgeWord(place->smooth_greatest_age_s),
                    AgeDifference(At(ages, 50), place->smooth_greatest_age_s)});
  }
  out << TextTable(rows);
}

// What a person would tell another over the telephone.
void PrintSentence(const SpreadTold& told, std::ostream& out) {
  const SpreadPlace& worst = told.spread.Worst();
  const std::vector<double>& lows = worst.weeks.lowest_mg_per_l;
  const std::string low = OneDecimal(At(lows, 5));
  const std::string high = OneDecimal(At(lows, 95));
  const std::string smooth = OneDecimal(worst.smooth_lowest_mg_per_l);
  const std::string place =
      worst.service > 1 && worst.service == told.spread.services ? "the last service" : worst.words;
  out << "In " << told.ask.weeks << " random weeks the lowest residual at " << place
      << (told.where.empty() ? "" : " (" + told.where + ")");
  if (low == high) {
    out << " was " << low << " mg/L in nine weeks of ten";
  } else {
    out << " was between " << low << " and " << high << " mg/L in nine weeks of ten (middle "
        << OneDecimal(At(lows, 50)) << ")";
  }
  const std::string difference = ResidualDifference(At(lows, 50), worst.smooth_lowest_mg_per_l);
  out << ".\nWith every household drawing its average by the hour, as planning takes it, it is " << smooth
      << " mg/L: chance "
      << (difference == kNoDifference ? "changes nothing a kit can read"
                                      : "makes the middle week " + difference)
      << ".\n";
}

}  // namespace

std::string ResidualDifference(double mg_per_l, double beside_mg_per_l) {
  const double tenths = std::round(10 * mg_per_l) - std::round(10 * beside_mg_per_l);
  // Neither what printing hides nor what it makes of a hair.
  if (tenths == 0 || std::abs(mg_per_l - beside_mg_per_l) < 0.05) return kNoDifference;
  return OneDecimal(std::abs(tenths) / 10) + (tenths < 0 ? " lower" : " higher");
}

std::string AgeDifference(double age_s, double beside_s) {
  const double difference_s = age_s - beside_s;
  constexpr double kNoticed = 0.1;
  if (std::abs(difference_s) < std::max(kNoticed * beside_s, kSecondsPerHour)) return kNoDifference;
  return AgeWord(std::abs(difference_s)) + (difference_s > 0 ? " older" : " younger");
}

void PrintSpread(const SpreadTold& told, std::ostream& out) {
  const ReachSpread& spread = told.spread;
  out << told.id << (told.where.empty() ? "" : "  " + told.where) << ": " << told.ask.weeks
      << " random weeks, " << FormatDate(spread.week.from) << " to "
      << FormatDate(AddDays(spread.week.to, -1)) << (spread.runs > 0 ? " (round the worst moment of " : " (")
      << told.season << "), drawn under the name '" << told.ask.name << "'\n";
  out << spread.services << (spread.services == 1 ? " service draws " : " services draw ")
      << Number("%.3g m3/d", spread.demand_m3_per_s * kSecondsPerDay) << " on average; "
      << (spread.runs == 0 ? std::string("nothing is flushed")
                           : told.device + " runs " + std::to_string(spread.runs) +
                                 (spread.runs == 1 ? " time in the week" : " times in the week"))
      << "; " << OneDecimal(spread.upstream_mg_per_l) << " mg/L comes in at "
      << Number("%.0f C", spread.temperature_c) << "\n\n";
  PrintSentence(told, out);
  out << "\n";
  PrintResiduals(spread, out);
  PrintAges(spread, out);
  out << "  smooth: every household draws its average by the hour, as planning takes it\n\n";
  for (const std::string& note : told.notes) out << "! " << note << "\n";
  out << "assumed: ";
  for (const std::string& assumed : spread.assumed) out << assumed << "; ";
  out << "uses of water at random, " << Number("%.0f s", spread.law.duration_mean_s) << " and "
      << Number("%.1f L/min", spread.law.intensity_mean_m3_per_s * 1000 * kSecondsPerMinute)
      << " on average, more in busy hours\n";
  out << "A computed picture, not a reading. The licensed operator in charge decides.\n";
}

}  // namespace lastreach
