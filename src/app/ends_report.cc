#include "app/ends_report.h"

#include <cstdio>
#include <map>
#include <nlohmann/json.hpp>
#include <ostream>

#include "app/map_source.h"
#include "ends/quiet_places.h"
#include "plan/words.h"

namespace lastreach {
namespace {

using Json = nlohmann::ordered_json;

std::string Number(const char* format, double value) {
  char text[64];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

std::string Plural(int count, const std::string& thing) {
  return std::to_string(count) + " " + thing + (count == 1 ? "" : "s");
}

std::map<std::string, int> CountsOf(const std::vector<QuietPlace>& places) {
  std::map<std::string, int> counts;
  for (const QuietPlace& place : places) ++counts[std::string(ToText(place.kind))];
  return counts;
}

void PrintEnd(const Network& network, const QuietPlace& place, const EndOutlook& outlook, std::ostream& out) {
  out << "\n" << place.id << "  " << ToText(place.kind);
  if (!place.street.empty()) out << ", " << place.street;
  if (!place.zone.empty()) out << " (" << place.zone << ")";
  if (place.node) out << ", node " << network[*place.node].id;
  if (!outlook.device.empty()) out << ", " << outlook.device << " stands here";
  out << "\n  " << Number("%.0f m", place.length_m) << ", " << Number("%.1f m3", place.volume_m3) << ", "
      << Plural(place.services, "service");
  if (place.services_beyond > 0) out << " and " << place.services_beyond << " on side branches";
  out << ", " << Number("%.2g m3/d", place.demand_m3_per_s * kSecondsPerDay);
  if (place.tail_m >= 0.5) out << "; " << Number("%.0f m", place.tail_m) << " past the last customer";
  if (place.days_to_last_customer) {
    out << "\n  " << Number("%.1f days", *place.days_to_last_customer) << " to the last customer";
    if (place.days_from_source)
      out << ", " << Number("%.1f days", *place.days_from_source) << " from the source";
  }
  if (outlook.low) {
    out << "\n  lowest " << Residual(outlook.low->middle_mg_per_l) << " ("
        << Number("%.1f", outlook.low->low_mg_per_l) << " to " << Number("%.1f", outlook.low->high_mg_per_l)
        << ")";
  } else if (!outlook.why_none.empty()) {
    out << "\n  no residual predicted: " << outlook.why_none;
  }
  if (!place.fed_by.empty()) out << "\n  fed by " << place.fed_by;
  if (!place.outlet.empty()) out << "\n  outlet: " << place.outlet;
  for (const std::string& note : place.notes) out << "\n  - " << note;
  out << "\n";
}

Json JsonOf(const std::optional<double>& value) { return value ? Json(*value) : Json(nullptr); }

Json JsonOf(const Network& network, const QuietPlace& place, const EndOutlook& outlook, bool has_places) {
  Json json = {{"id", place.id}, {"kind", ToText(place.kind)}};
  json["node"] = place.node ? Json(network[*place.node].id) : Json(nullptr);
  json["longitude_deg"] = has_places ? Json(place.at.longitude_deg) : Json(nullptr);
  json["latitude_deg"] = has_places ? Json(place.at.latitude_deg) : Json(nullptr);
  json["street"] = place.street;
  json["zone"] = place.zone;
  json["length_m"] = place.length_m;
  json["volume_m3"] = place.volume_m3;
  json["services"] = place.services;
  json["services_beyond"] = place.services_beyond;
  json["demand_m3_per_day"] = place.demand_m3_per_s * kSecondsPerDay;
  json["tail_m"] = place.tail_m;
  json["tail_m3"] = place.tail_m3;
  json["days_to_last_customer"] = JsonOf(place.days_to_last_customer);
  json["days_from_source"] = JsonOf(place.days_from_source);
  json["lowest_mg_per_l"] = nullptr;
  json["lowest_low_mg_per_l"] = nullptr;
  json["lowest_high_mg_per_l"] = nullptr;
  if (outlook.low) {
    json["lowest_mg_per_l"] = outlook.low->middle_mg_per_l;
    json["lowest_low_mg_per_l"] = outlook.low->low_mg_per_l;
    json["lowest_high_mg_per_l"] = outlook.low->high_mg_per_l;
  }
  json["assumed"] = outlook.low ? outlook.low->assumed : std::vector<std::string>{};
  json["no_residual_because"] = outlook.why_none;
  json["device"] = outlook.device;
  json["fed_by"] = place.fed_by;
  json["outlet"] = place.outlet;
  json["notes"] = place.notes;
  json["arm_pieces"] = FirstArm(place);
  json["reach"] = Json::array();
  for (const ReachPiece& piece : place.reach) {
    json["reach"].push_back({{"link", network[piece.link].id},
                             {"from_m", piece.from_m},
                             {"to_m", piece.to_m},
                             {"services", piece.services},
                             {"demand_m3_per_day", piece.demand_m3_per_s * kSecondsPerDay}});
  }
  return json;
}

}  // namespace

void PrintEnds(const Network& network, const std::vector<QuietPlace>& places,
               const std::vector<EndOutlook>& outlooks, std::ostream& out) {
  std::string kinds;
  for (const auto& [kind, count] : CountsOf(places)) {
    kinds += (kinds.empty() ? "" : ", ") + std::to_string(count) + " " + kind;
  }
  out << Plural(static_cast<int>(places.size()), "quiet place") << (kinds.empty() ? "" : ": " + kinds)
      << ". Oldest water at a customer first; days without a solver.\n";
  for (size_t i = 0; i < places.size(); ++i) PrintEnd(network, places[i], outlooks[i], out);
  if (!places.empty()) {
    out << "\nA planning aid: the licensed operator in charge decides, and local rules come first.\n";
  }
}

std::string EndsToJson(const Network& network, const std::vector<QuietPlace>& places,
                       const std::vector<EndOutlook>& outlooks) {
  const bool has_places = HasPlaces(network);
  Json json;
  json["ends"] = Json::array();
  for (size_t i = 0; i < places.size(); ++i) {
    json["ends"].push_back(JsonOf(network, places[i], outlooks[i], has_places));
  }
  json["summary"] = {{"places", places.size()}, {"by_kind", CountsOf(places)}};
  return json.dump(2, ' ', false, Json::error_handler_t::replace);
}

}  // namespace lastreach
