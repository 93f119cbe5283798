#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <nlohmann/json.hpp>
#include <ostream>

#include "app/fit_report.h"
#include "app/text_table.h"
#include "core/quantity.h"
#include "evidence/fit_posterior.h"
#include "report/figures.h"

namespace lastreach {
namespace {

using Json = nlohmann::ordered_json;

template <typename... Numbers>
std::string Say(const char* format, Numbers... numbers) {
  char text[200];
  std::snprintf(text, sizeof text, format, numbers...);
  return text;
}

struct KindWords {
  const char* key;
  const char* unit;
};
KindWords WordsOf(FittedKind kind) {
  switch (kind) {
    case FittedKind::kBulk:
      return {"bulk_per_day_at_20c", "1/d at 20 C"};
    case FittedKind::kWall:
      return {"wall_m_per_day", "m/d"};
    case FittedKind::kVolume:
      return {"reach_volume_m3", "m3"};
    case FittedKind::kDemand:
      return {"demand_m3_per_day", "m3/d"};
    case FittedKind::kFlow:
      return {"flow_m3_per_s", "m3/s"};
    case FittedKind::kUpstream:
      return {"upstream_mg_per_l", "mg/L"};
    case FittedKind::kFlushFlow:
      return {"flush_flow_m3_per_s", "m3/s"};
    case FittedKind::kMainThatDay:
      return {"main_that_day", ""};
  }
  return {"", ""};
}

std::string ValueWords(FittedKind kind, double value) {
  switch (kind) {
    case FittedKind::kVolume:
      return ThreeDigits(Volume::CubicMetres(value).gallons()) + " gal (" + ToTwoDigits(value) + " m3)";
    case FittedKind::kDemand:
      return ToTwoDigits(Flow::CubicMetresPerDay(value).gallons_per_day()) + " gal/d (" + ToTwoDigits(value) +
             " m3/d)";
    case FittedKind::kFlow:
      return ToTwoDigits(Flow::CubicMetresPerSecond(value).gallons_per_minute()) + " gpm (" +
             ToTwoDigits(1000 * value) + " L/s)";
    default:
      return Say("%.2g ", value) + WordsOf(kind).unit;
  }
}

// One standard deviation to either side, as a share.
std::string Within(double log_sd) { return Say("within %.0f %%", 100 * std::expm1(log_sd)); }

void PrintNumbers(const ZoneFit& fit, std::ostream& out) {
  std::vector<std::vector<std::string>> rows = {{"number", "fitted", "", "before", ""}};
  for (const FittedNumber& number : fit.numbers) {
    if (number.kind > FittedKind::kUpstream) continue;
    rows.push_back({NameOf(number), ValueWords(number.kind, number.value), Within(number.log_sd),
                    ValueWords(number.kind, number.before), Within(number.before_log_sd)});
  }
  out << TextTable(rows);
}

void PrintWorth(const WorthSample& worth, std::ostream& out) {
  out << "Worth most next: a sample ";
  if (worth.in_main) {
    out << "in the main upstream of " << worth.point.text();
  } else if (worth.hours_since_run) {
    out << "at " << worth.point.text() << Say(" %.0f h after its run", *worth.hours_since_run);
  } else {
    out << "at " << worth.point.text() << Say(" at about %d:00", worth.hour_of_day.value_or(6));
  }
  out << "; it would bring the lowest residual at " << worth.sharpens.text()
      << Say(" from +-%.2f to +-%.2f mg/L.\n", worth.sd_now_mg_per_l, worth.sd_then_mg_per_l);
}

// Readings that the fit takes for mistakes, by point. Many of one point are none: something is at work there
// that no loss explains.
void PrintDoubted(const ZoneFit& fit, std::ostream& out) {
  constexpr double kDoubted = 0.3;
  constexpr size_t kMany = 4;
  std::map<PointCode, std::vector<const FittedReading*>> doubted;
  for (const FittedReading& reading : fit.readings) {
    if (reading.weight < kDoubted) doubted[reading.point].push_back(&reading);
  }
  for (const auto& [point, readings] : doubted) {
    if (readings.size() >= kMany) {
      out << "Not believed: " << readings.size() << " readings of " << point.text() << " from "
          << FormatDate(DateOf(readings.front()->when)) << " to " << FormatDate(DateOf(readings.back()->when))
          << "; so many are no mistakes: something besides loss is at work there (lastreach watch, or a test "
             "flush).\n";
      continue;
    }
    for (const FittedReading* reading : readings) {
      out << "Not believed: " << point.text() << " on " << FormatDate(DateOf(reading->when)) << ", "
          << (reading->below_detection ? "<" : "")
          << Say("%.2f mg/L where %.2f would fit.\n", reading->mg_per_l, reading->predicted_mg_per_l);
    }
  }
}

void PrintFit(const ToldFit& told, std::ostream& out) {
  const ZoneFit& fit = told.fit;
  out << "Zone " << (fit.zone.empty() ? "without a name" : fit.zone) << ": ";
  if (fit.numbers.empty()) {
    out << "no reading that could be used.\n";
  } else {
    out << fit.readings.size() << " readings at " << fit.ends.size()
        << (fit.ends.size() == 1 ? " point" : " points")
        << (fit.converged ? ".\n" : "; THE FIT DID NOT COME TO AN END, take none of it.\n");
    PrintNumbers(fit, out);
  }
  for (const FittedEnd& end : fit.ends) {
    out << end.point.text()
        << Say(": lowest %.1f +- %.1f mg/L at the end of its longest gap in the worst week "
               "(+- %.1f before).\n",
               end.lowest_mg_per_l, end.sd_mg_per_l, end.sd_before_mg_per_l);
  }
  PrintDoubted(fit, out);
  for (const std::string& line : fit.cannot_tell) out << line << "\n";
  if (fit.worth) PrintWorth(*fit.worth, out);
  for (const std::string& line : fit.assumed) out << "Assumed: " << line << ".\n";
  for (const std::string& line : fit.left_out) out << "Left out: " << line << ".\n";
  if (!told.is_written) return;
  for (const std::string& line : told.applied.changed) out << "Written: " << line << ".\n";
  for (const std::string& line : told.applied.kept) out << "Not written: " << line << ".\n";
}

Json JsonOf(const ToldFit& told) {
  const ZoneFit& fit = told.fit;
  Json json = {{"zone", fit.zone},
               {"converged", fit.converged},
               {"misfit", fit.misfit},
               {"numbers", Json::array()},
               {"readings", Json::array()},
               {"ends", Json::array()},
               {"worth", nullptr},
               {"cannot_tell", fit.cannot_tell},
               {"assumed", fit.assumed},
               {"left_out", fit.left_out},
               {"written", told.is_written ? Json(told.applied.changed) : Json::array()}};
  for (const FittedNumber& number : fit.numbers) {
    if (number.kind > FittedKind::kUpstream) continue;
    json["numbers"].push_back({{"number", WordsOf(number.kind).key},
                               {"point", number.point.text()},
                               {"material", number.material},
                               {"before", number.before},
                               {"before_log_sd", number.before_log_sd},
                               {"value", number.value},
                               {"log_sd", number.log_sd}});
  }
  for (const FittedReading& reading : fit.readings) {
    json["readings"].push_back(
        {{"point", reading.point.text()},
         {"when", FormatRfc3339(reading.when, std::chrono::seconds(0))},
         {"in_main", reading.in_main},
         {"hours_since_run", reading.hours_since_run ? Json(*reading.hours_since_run) : Json()},
         {"mg_per_l", reading.mg_per_l},
         {"below_detection", reading.below_detection},
         {"fitted_mg_per_l", reading.predicted_mg_per_l},
         {"weight", reading.weight}});
  }
  for (const FittedEnd& end : fit.ends) {
    json["ends"].push_back({{"point", end.point.text()},
                            {"lowest_mg_per_l", end.lowest_mg_per_l},
                            {"sd_mg_per_l", end.sd_mg_per_l},
                            {"sd_before_mg_per_l", end.sd_before_mg_per_l}});
  }
  if (!fit.worth) return json;
  const WorthSample& worth = *fit.worth;
  json["worth"] = {{"point", worth.point.text()},
                   {"in_main", worth.in_main},
                   {"hours_since_run", worth.hours_since_run ? Json(*worth.hours_since_run) : Json()},
                   {"hour_of_day", worth.hour_of_day ? Json(*worth.hour_of_day) : Json()},
                   {"sharpens", worth.sharpens.text()},
                   {"sd_now_mg_per_l", worth.sd_now_mg_per_l},
                   {"sd_then_mg_per_l", worth.sd_then_mg_per_l}};
  return json;
}

}  // namespace

void PrintFits(const std::vector<ToldFit>& fits, std::ostream& out) {
  for (std::size_t i = 0; i < fits.size(); ++i) {
    if (i > 0) out << "\n";
    PrintFit(fits[i], out);
  }
}

std::string FitsToJson(const std::vector<ToldFit>& fits) {
  Json json = {{"zones", Json::array()}};
  for (const ToldFit& told : fits) json["zones"].push_back(JsonOf(told));
  return json.dump(2);
}

}  // namespace lastreach
