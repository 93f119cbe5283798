#include "app/ends_report.h"

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>

#include "app/map_source.h"
#include "ends/quiet_places.h"

namespace lastreach {
namespace {

using Json = nlohmann::ordered_json;

std::map<std::string, int> CountsOf(const std::vector<QuietPlace>& places) {
  std::map<std::string, int> counts;
  for (const QuietPlace& place : places) ++counts[std::string(ToText(place.kind))];
  return counts;
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

int QuietLoops(const std::vector<QuietPlace>& places) {
  return static_cast<int>(std::count_if(places.begin(), places.end(), [](const QuietPlace& place) {
    return place.kind == QuietKind::kNullPoint;
  }));
}

std::string EndsToJson(const EndsFound& found) {
  const bool has_places = HasPlaces(found.network);
  Json json;
  json["ends"] = Json::array();
  for (size_t i = 0; i < found.places.size(); ++i) {
    json["ends"].push_back(JsonOf(found.network, found.places[i], found.outlooks[i], has_places));
  }
  json["summary"] = {{"places", found.places.size()},
                     {"by_kind", CountsOf(found.places)},
                     {"loops_looked_at", found.meetings},
                     {"loops_quiet", QuietLoops(found.places)}};
  return json.dump(2, ' ', false, Json::error_handler_t::replace);
}

}  // namespace lastreach
