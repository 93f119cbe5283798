#include <cmath>
#include <nlohmann/json.hpp>

#include "app/simulation_report.h"

namespace lastreach {
namespace {

using Json = nlohmann::ordered_json;

// No more digits than there is anything behind: a millionth of the value, and 0 for what is less than 1e-9.
Json Number(double value) {
  if (!std::isfinite(value)) return nullptr;
  char text[32];
  std::snprintf(text, sizeof text, "%.7g", value);
  return std::strtod(text, nullptr);
}

std::string MomentOf(const ProjectSimulation& project, double hour) {
  const Instant at = project.begins + std::chrono::seconds(static_cast<int64_t>(hour * kSecondsPerHour));
  return FormatRfc3339(at, project.zone.OffsetAt(at));
}

Json NodesJson(const SimulationTold& told) {
  Json nodes = Json::object();
  for (size_t i = 0; i < told.names.size(); ++i) {
    Json values = Json::array();
    for (const double value : told.answer.series[0][i]) values.push_back(Number(Told(told.track, value)));
    nodes[told.names[i]] = std::move(values);
  }
  return nodes;
}

Json ServicesJson(const SimulationTold& told) {
  Json services = Json::array();
  const Simulated& answer = told.answer;
  for (const ServiceNode& service : told.project->services) {
    const size_t i = At(service.node);
    services.push_back({{"id", service.id},
                        {"node", told.network.nodes[i].id},
                        {"street", service.street},
                        {"zone", service.zone},
                        {"connections", service.count},
                        {"oldest_h", Number(answer.age_s.worst[i] / kSecondsPerHour)},
                        {"oldest_hour", Number(answer.age_s.worst_hour[i])},
                        {"age_worst_week_h", Number(answer.age_s.worst_week[i] / kSecondsPerHour)},
                        {"lowest_mg_per_l", Number(answer.chlorine_mg_per_l.worst[i])},
                        {"lowest_hour", Number(answer.chlorine_mg_per_l.worst_hour[i])},
                        {"chlorine_worst_week_mg_per_l", Number(answer.chlorine_mg_per_l.worst_week[i])}});
  }
  return services;
}

Json EndsJson(const SimulationTold& told) {
  const std::vector<EndOutcome> outcomes = EndOutcomes(told);
  Json ends = Json::array();
  for (size_t i = 0; i < outcomes.size(); ++i) {
    const EndNode& end = told.project->ends[i];
    const EndOutcome& outcome = outcomes[i];
    Json json = {
        {"id", end.place.id},
        {"kind", ToText(end.place.kind)},
        {"street", end.place.street},
        {"zone", end.place.zone},
        {"node", told.network[end.node].id},
        {"device", end.device ? Json(told.project->devices[*end.device].code) : Json(nullptr)},
        {"judged", outcome.at_gap_end ? "end of the longest gap" : "worst hour of the last customer"},
        {"judged_node", told.network[outcome.node].id},
        {"longest_gap_h", outcome.at_gap_end ? Number(outcome.gap_h) : Json(nullptr)},
        {"judged_at",
         std::isfinite(outcome.hour) ? Json(MomentOf(*told.project, outcome.hour)) : Json(nullptr)},
        {"age_h", Number(outcome.age_h)},
        {"chlorine_mg_per_l", Number(outcome.chlorine_mg_per_l)}};
    ends.push_back(std::move(json));
  }
  return ends;
}

Json ErrorJson(const SimulationTold& told) {
  Json json = Json::object();
  if (told.ask.age) json["age_h"] = told.answer.age_error_s / kSecondsPerHour;
  if (told.ask.chlorine) {
    json[told.answer.reacting ? "chlorine_mg_per_l" : "chlorine_share_of_value"] = told.answer.chlorine_error;
  }
  if (told.ask.thm) json["thm_ug_per_l"] = told.answer.thm_error;
  if (told.ask.source) json["source_percent"] = 100 * told.answer.share_error;
  return json;
}

Json DisinfectantJson(const NetworkMassAccount& account) {
  return {{"held_at_start_g", account.held_at_start_g},
          {"entered_g", account.entered_g},
          {"left_g", account.left_g},
          {"decayed_in_pipes_g", account.decayed_in_links_g},
          {"decayed_in_tanks_g", account.decayed_in_tanks_g},
          {"held_g", account.held_g},
          {"imbalance_g", account.imbalance_g()}};
}

Json TroubleJson(const SimulationTold& told, Json summary) {
  const FlowSimulationSummary& flows = told.answer.flows;
  summary["lowest_pressure"] = nullptr;
  if (flows.lowest_pressure) {
    summary["lowest_pressure"] = {{"node", told.network[flows.lowest_pressure->node].id},
                                  {"hour", flows.lowest_pressure->hour},
                                  {"pressure_m", Number(flows.lowest_pressure->pressure_m)}};
  }
  Json unsettled = Json::array();
  for (const auto& link : flows.unsettled) {
    unsettled.push_back(
        {{"id", told.network[link.link].id}, {"first_hour", link.first_hour}, {"hours", link.hours}});
  }
  Json not_fed = Json::array();
  for (const auto& node : flows.not_fed) {
    not_fed.push_back(
        {{"id", told.network[node.node].id}, {"first_hour", node.first_hour}, {"hours", node.hours}});
  }
  summary["unsettled_hours"] = flows.unsettled_hours;
  summary["unsettled_links"] = std::move(unsettled);
  summary["not_fed_nodes"] = std::move(not_fed);
  return summary;
}

Json ProjectJson(const SimulationTold& told, Json summary) {
  const ProjectSimulation& project = *told.project;
  summary["begins"] = MomentOf(project, 0);
  Json from_start = Json::array();
  for (const NodeIndex node : told.answer.warm_up.from_start) from_start.push_back(told.network[node].id);
  summary["warm_up"] = {{"weeks", told.answer.warm_up.weeks},
                        {"settled", told.answer.warm_up.settled},
                        {"nodes_with_water_from_the_start", std::move(from_start)}};
  Json numbers = Json::array();
  for (const NumberUsed& used : project.numbers) {
    numbers.push_back({{"what", used.what}, {"value", used.value}, {"origin", used.origin}});
  }
  summary["numbers"] = std::move(numbers);
  summary["notes"] = project.notes;
  return summary;
}

Json SummaryJson(const SimulationTold& told) {
  const Simulated& answer = told.answer;
  const FlowSimulationSummary& flows = answer.flows;
  Json summary = {{"status", flows.IsUsable() ? "converged" : "did not converge"},
                  {"track", WordOf(told.track)},
                  {"unit", UnitOf(told.track)},
                  {"hours", told.ask.hours},
                  {"step_minutes", told.ask.step_s / 60}};
  if (!told.source_note.empty()) {
    summary["source"] = told.network[*told.ask.source].id;
    summary["source_note"] = told.source_note;
  }
  summary["method"] =
      "steady flows between events; water carried in pieces through every pipe, without a step of its own";
  summary["error_bound"] = ErrorJson(told);
  summary = TroubleJson(told, std::move(summary));
  summary["water"] = {{"given_m3", flows.given_m3},
                      {"drawn_m3", flows.drawn_m3},
                      {"tank_change_m3", flows.tank_change_m3},
                      {"imbalance_m3", flows.Imbalance_m3()}};
  if (answer.disinfectant) summary["disinfectant"] = DisinfectantJson(*answer.disinfectant);
  summary["mass_imbalance_m3_per_s"] = flows.mass_imbalance_m3_per_s;
  summary["energy_imbalance_m"] = flows.energy_imbalance_m;
  if (told.project != nullptr) summary = ProjectJson(told, std::move(summary));
  summary["counts"] = {{"nodes", told.network.nodes.size()},
                       {"links", told.network.links.size()},
                       {"periods", flows.periods},
                       {"solves", flows.solves},
                       {"pieces_moved", answer.counts.pieces_moved},
                       {"peak_pieces", answer.counts.peak_pieces}};
  summary["seconds"] = {
      {"hydraulics", answer.hydraulics_s}, {"quality", answer.quality_s}, {"total", answer.total_s}};
  return summary;
}

}  // namespace

std::string_view WordOf(Quantity quantity) {
  return quantity == Quantity::kAge        ? "age"
         : quantity == Quantity::kChlorine ? "chlorine"
         : quantity == Quantity::kThm      ? "thm"
                                           : "source";
}

std::string_view UnitOf(Quantity quantity) {
  return quantity == Quantity::kAge        ? "h"
         : quantity == Quantity::kChlorine ? "mg/L"
         : quantity == Quantity::kThm      ? "ug/L"
                                           : "%";
}

double Told(Quantity quantity, double value) {
  constexpr double kPercent = 100;
  return quantity == Quantity::kAge           ? value / kSecondsPerHour
         : quantity == Quantity::kSourceShare ? value * kPercent
                                              : value;
}

std::string SimulationToJson(const SimulationTold& told) {
  Json times = Json::array();
  for (const double hour : told.answer.times_h) times.push_back(Number(hour));
  Json json = {{"times_h", std::move(times)}, {"nodes", NodesJson(told)}};
  if (told.project != nullptr) {
    json["services"] = ServicesJson(told);
    json["ends"] = EndsJson(told);
  }
  json["summary"] = SummaryJson(told);
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace lastreach
