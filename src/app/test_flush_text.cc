#include <cstdio>
#include <nlohmann/json.hpp>
#include <ostream>

#include "app/fit_report.h"
#include "app/text_table.h"
#include "core/quantity.h"

namespace lastreach {
namespace {

using Json = nlohmann::ordered_json;

std::string Number(const char* format, double value) {
  char text[48];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

std::string ResidualWords(double mg_per_l, bool below) {
  return (below ? "<" : "") + Number("%.2f", mg_per_l);
}

template <typename T>
Json OrNull(const std::optional<T>& value) {
  return value ? Json(*value) : Json();
}

}  // namespace

void PrintTestFlush(const PointCode& point, const std::string& place, const TestFlushReading& read,
                    std::ostream& out) {
  out << point.text() << (place.empty() ? "" : "  " + place) << ": " << read.advice_words << "\n";
  if (read.minutes) out << "  key in: " << *read.minutes << " min\n";
  for (const std::string& reason : read.reasons) out << "  " << reason << "\n";
  if (read.breakthrough_s) {
    out << "  Breakthrough after " << Number("%.1f", *read.breakthrough_s / kSecondsPerMinute) << " min";
    if (read.breakthrough_m3)
      out << ", " << Number("%.0f", Volume::CubicMetres(*read.breakthrough_m3).gallons()) << " gal";
    out << ".\n";
  }
  if (read.profile.size() < 2) return;
  std::vector<std::vector<std::string>> rows = {{"stood at, ft", "gal", "m3", "mg/L"}};
  for (const StoodThere& stood : read.profile) {
    rows.push_back({stood.distance_m ? Number("%.0f", Length::Metres(*stood.distance_m).feet()) : "beyond",
                    Number("%.0f", Volume::CubicMetres(stood.volume_m3).gallons()),
                    Number("%.3g", stood.volume_m3), ResidualWords(stood.mg_per_l, stood.below_detection)});
  }
  out << "\nWhat stood in the pipe, from the outlet up:\n" << TextTable(rows);
}

std::string TestFlushToJson(const PointCode& point, const TestFlushReading& read) {
  Json json = {{"point", point.text()},
               {"advice", ToText(read.advice)},
               {"advice_words", read.advice_words},
               {"arrives", ToText(read.arrives)},
               {"volume", ToText(read.volume)},
               {"plateau_mg_per_l", read.plateau ? Json(read.plateau->mg_per_l) : Json()},
               {"plateau_below_detection", read.plateau && read.plateau->below_detection},
               {"flat_after_s", OrNull(read.flat_after_s)},
               {"flat_after_m3", OrNull(read.flat_after_m3)},
               {"breakthrough_s", OrNull(read.breakthrough_s)},
               {"breakthrough_m3", OrNull(read.breakthrough_m3)},
               {"came_least_m3", OrNull(read.came_least_m3)},
               {"came_most_m3", OrNull(read.came_most_m3)},
               {"share_of_map", OrNull(read.share_of_map)},
               {"flow_l_per_s", read.flow_m3_per_s > 0 ? Json(1000 * read.flow_m3_per_s) : Json()},
               {"minutes", OrNull(read.minutes)},
               {"loss_per_day", read.loss ? Json(read.loss->per_day) : Json()},
               {"loss_sd_per_day", read.loss ? Json(read.loss->sd_per_day) : Json()},
               {"stood", Json::array()},
               {"reasons", read.reasons}};
  for (const StoodThere& stood : read.profile) {
    json["stood"].push_back({{"volume_m3", stood.volume_m3},
                             {"distance_m", OrNull(stood.distance_m)},
                             {"mg_per_l", stood.mg_per_l},
                             {"below_detection", stood.below_detection}});
  }
  return json.dump(2);
}

}  // namespace lastreach
