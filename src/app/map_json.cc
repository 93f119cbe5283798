#include <nlohmann/json.hpp>

#include "app/map_report.h"

namespace lastreach {
namespace {

using Json = nlohmann::ordered_json;

Json JsonOf(const FeatureKey& key) { return {{"layer", key.layer}, {"feature", key.key}}; }

Json JsonOf(const Repair& repair) {
  return {{"id", repair.id},
          {"kind", ToText(repair.kind)},
          {"made", repair.made},
          {"decision", repair.decision ? Json(ToText(*repair.decision)) : Json()},
          {"gap_m", repair.gap_m},
          {"confidence", repair.confidence},
          {"longitude_deg", repair.at.longitude_deg},
          {"latitude_deg", repair.at.latitude_deg},
          {"other_longitude_deg", repair.other.longitude_deg},
          {"other_latitude_deg", repair.other.latitude_deg},
          {"first", JsonOf(repair.first)},
          {"second", JsonOf(repair.second)},
          {"why", repair.why}};
}

Json JsonOf(const SetAside& feature) {
  return {{"layer", feature.key.layer},
          {"feature", feature.key.key},
          {"reason", feature.reason},
          {"length_m", feature.length_m},
          {"longitude_deg", feature.at ? Json(feature.at->longitude_deg) : Json()},
          {"latitude_deg", feature.at ? Json(feature.at->latitude_deg) : Json()}};
}

template <typename T>
Json ListOf(const std::vector<T>& list) {
  Json json = Json::array();
  for (const T& item : list) json.push_back(JsonOf(item));
  return json;
}

Json JsonOf(const std::vector<UnplacedThing>& unplaced, const MapMade& made) {
  Json list = Json::array();
  for (const UnplacedThing& item : unplaced) {
    const DrawnThing& thing = made.drawn_things[item.thing];
    list.push_back({{"kind", ToText(thing.kind)},
                    {"layer", thing.key.layer},
                    {"feature", thing.key.key},
                    {"longitude_deg", thing.at.longitude_deg},
                    {"latitude_deg", thing.at.latitude_deg},
                    {"nearest_main_m", item.nearest_main_m ? Json(*item.nearest_main_m) : Json()},
                    {"reason", item.reason}});
  }
  return list;
}

Json ThingsOf(const MapMade& made) {
  Json placed = Json::object();
  for (size_t kind = 0; kind < made.things.placed_by_kind.size(); ++kind) {
    placed[std::string(ToText(static_cast<ThingKind>(kind)))] = made.things.placed_by_kind[kind];
  }
  return {{"placed", placed},
          {"valves_shut", made.things.valves_shut},
          {"pumps_added", made.things.pumps_added},
          {"left_out", JsonOf(made.things.too_far, made)},
          {"doubtful", JsonOf(made.things.doubtful, made)}};
}

Json CustomersOf(const ServeSummary& served) {
  return {{"served", served.served},
          {"connections", served.connections},
          {"by_street", served.by_street},
          {"by_transmission_main", served.by_transmission},
          {"far", served.far.size()},
          {"unserved", served.unserved.size()},
          {"metered_m3_per_s", served.metered_m3_per_s},
          {"unmetered_m3_per_s", served.unmetered_m3_per_s},
          {"losses_m3_per_s", served.losses_m3_per_s},
          {"unserved_m3_per_s", served.unserved_m3_per_s},
          {"unmetered_factor", served.unmetered_factor},
          {"by_length", served.by_length},
          {"notes", served.notes}};
}

Json JsonOf(const FilledShare& share) {
  return {{"filled_links", share.filled_links},
          {"links", share.links},
          {"filled_m", share.filled_m},
          {"length_m", share.length_m}};
}

Json FilledOf(const FillSummary& filled) {
  return {{"diameter", JsonOf(filled.diameter)},
          {"material", JsonOf(filled.material)},
          {"roughness", JsonOf(filled.roughness)},
          {"elevations_filled", filled.elevations_filled},
          {"elevations_missing", filled.elevations_missing},
          {"nodes_given_a_zone", filled.zones.nodes_given},
          {"nodes_without_zone", filled.zones.nodes_without},
          {"notes", filled.notes}};
}

}  // namespace

std::string MapJson(const MapMade& made, const std::string& file) {
  const JoinSummary& joined = made.joined;
  const Json json = {{"file", file},
                     {"nodes", made.network.nodes.size()},
                     {"links", made.network.links.size()},
                     {"drawn_m", joined.drawn_m},
                     {"tolerance_m", joined.tolerance_m},
                     {"tolerance_why", joined.tolerance_why},
                     {"island_reach_m", joined.island_reach_m},
                     {"parts_before", joined.parts_before},
                     {"parts", joined.parts},
                     {"largest_part_m", joined.largest_part_m},
                     {"largest_part_share", joined.drawn_m > 0 ? joined.largest_part_m / joined.drawn_m : 0},
                     {"repairs_made", joined.repairs_made},
                     {"repairs_offered", joined.repairs_offered},
                     {"repairs", ListOf(made.repairs)},
                     {"set_aside", ListOf(made.set_aside)},
                     {"things", ThingsOf(made)},
                     {"customers", CustomersOf(made.customers)},
                     {"filled_in", FilledOf(made.filled)}};
  return json.dump(2, ' ', false, Json::error_handler_t::replace);
}

}  // namespace lastreach
