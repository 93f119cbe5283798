#include <algorithm>
#include <cmath>
#include <cstdio>
#include <memory>
#include <nlohmann/json.hpp>
#include <numbers>
#include <ostream>

#include "app/map_source.h"
#include "app/subcommands.h"
#include "hydraulics/solve.h"

namespace lastreach {
namespace {

using Json = nlohmann::ordered_json;
constexpr double kLitresPerCubicMetre = 1000;

struct Options {
  std::string file;
  double hour = 0;
  bool json = false;
};

Json NumberOrNull(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }

double Pressure_m(const Node& node, double head_m) {
  return node.elevation_m ? head_m - node.elevation_m->value : std::numeric_limits<double>::quiet_NaN();
}

// Not negative: the sign of the flow tells the way.
double Velocity_m_per_s(const Link& link, double flow_m3_per_s) {
  if (!link.inner_diameter_m) return std::numeric_limits<double>::quiet_NaN();
  const double diameter_m = link.inner_diameter_m->value;
  return std::abs(flow_m3_per_s) / (std::numbers::pi / 4 * diameter_m * diameter_m);
}

Json NodesJson(const Network& network, const SteadyState& state) {
  Json nodes = Json::array();
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    const Node& node = network.nodes[i];
    nodes.push_back({{"id", node.id},
                     {"head_m", NumberOrNull(state.head_m[i])},
                     {"pressure_m", NumberOrNull(Pressure_m(node, state.head_m[i]))},
                     {"demand_l_per_s", state.outflow_m3_per_s[i] * kLitresPerCubicMetre}});
  }
  return nodes;
}

Json LinksJson(const Network& network, const SteadyState& state) {
  Json links = Json::array();
  for (size_t i = 0; i < network.links.size(); ++i) {
    const Link& link = network.links[i];
    const double flow = state.flow_m3_per_s[i];
    links.push_back({{"id", link.id},
                     {"flow_l_per_s", flow * kLitresPerCubicMetre},
                     {"velocity_m_per_s", NumberOrNull(Velocity_m_per_s(link, flow))},
                     {"head_loss_m", NumberOrNull(state.head_m[At(link.from)] - state.head_m[At(link.to)])}});
  }
  return links;
}

Json SummaryJson(const Network& network, double hour, const SteadySummary& summary) {
  Json not_fed = Json::array();
  for (const NodeIndex node : summary.not_fed) not_fed.push_back(network[node].id);
  Json unsettled = Json::array();
  for (const LinkIndex link : summary.unsettled) unsettled.push_back(network[link].id);
  const NetworkOptions& options = network.options;
  Json json = {
      {"status", ToText(summary.status)},
      {"hour", hour},
      {"head_loss", options.head_loss == HeadLoss::kHazenWilliams ? "hazen-williams" : "darcy-weisbach"},
      {"iterations", summary.iterations},
      {"mass_imbalance_m3_per_s", summary.mass_imbalance_m3_per_s},
      {"energy_imbalance_m", summary.energy_imbalance_m},
      {"unsettled_links", unsettled},
      {"not_fed_nodes", not_fed},
      {"unknown_heads", summary.unknown_heads}};
  if (options.head_loss == HeadLoss::kHazenWilliams) {
    json["hazen_williams_constant"] = options.hazen_williams_constant;
  }
  json["seconds"] = {{"prepare", summary.prepare_s}, {"symbolic", summary.symbolic_s},
                     {"factor", summary.factor_s},   {"backsolve", summary.backsolve_s},
                     {"laws", summary.laws_s},       {"total", summary.total_s}};
  return json;
}

// Five that matter most: where pressure is lowest.
std::vector<size_t> LowestPressures(const Network& network, const SteadyState& state) {
  constexpr size_t kMost = 5;
  std::vector<size_t> nodes;
  const auto pressure = [&](size_t i) { return Pressure_m(network.nodes[i], state.head_m[i]); };
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    if (network.nodes[i].kind == NodeKind::kJunction && std::isfinite(pressure(i))) nodes.push_back(i);
  }
  std::stable_sort(nodes.begin(), nodes.end(), [&](size_t a, size_t b) { return pressure(a) < pressure(b); });
  nodes.resize(std::min(nodes.size(), kMost));
  return nodes;
}

std::string Hour(double hour) {
  char text[32];
  std::snprintf(text, sizeof text, "%g", hour);
  return text;
}

void PrintText(const Network& network, double hour, const SteadyState& state, std::ostream& out) {
  const auto number = [](double value, int places) {
    char text[64];
    std::snprintf(text, sizeof text, "%.*f", places, value);
    return std::string(text);
  };
  out << "Steady state, hour " << Hour(hour) << ": " << state.summary.BriefReport(network) << "\n";
  char check[160];
  std::snprintf(
      check, sizeof check,
      "Recomputed from the answer: mass within %.0e m3/s at every node, energy within %.0e m along every "
      "link\n",
      state.summary.mass_imbalance_m3_per_s, state.summary.energy_imbalance_m);
  out << check;
  double in_m3_per_s = 0;
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    if (network.nodes[i].kind != NodeKind::kJunction) in_m3_per_s -= state.outflow_m3_per_s[i];
  }
  out << "Sources and tanks give " << number(in_m3_per_s * kLitresPerCubicMetre, 2) << " L/s together\n";
  const std::vector<size_t> lowest = LowestPressures(network, state);
  if (!lowest.empty()) out << "Lowest pressures:\n";
  for (const size_t i : lowest) {
    out << "  " << network.nodes[i].id << "  " << number(Pressure_m(network.nodes[i], state.head_m[i]), 1)
        << " m\n";
  }
}

Result<int> Solve(const Options& options, Surroundings& around) {
  auto source = OpenMapSource(options.file);
  if (!source.ok()) return source.error();
  if (!source->network) {
    return BadInput("there is no network yet: lastreach map " + options.file, {options.file, {}, "", ""});
  }
  const Network& network = *source->network;
  const auto state = SolveSteady(network, {.hour = options.hour, .core = {}});
  if (!state.ok()) return state.error();
  if (options.json) {
    const Json json = {{"nodes", NodesJson(network, *state)},
                       {"links", LinksJson(network, *state)},
                       {"summary", SummaryJson(network, options.hour, state->summary)}};
    around.out << json.dump(2, ' ', false, Json::error_handler_t::replace) << "\n";
  } else {
    PrintText(network, options.hour, *state, around.out);
  }
  return state->summary.IsUsable() && state->summary.not_fed.empty() ? 0 : 1;
}

}  // namespace

void AddSolveCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command = app.add_subcommand("solve", "Heads, pressures and flows of a network at one moment");
  command->footer(
      "\nThe steady state at an hour: demands times their patterns' factor, devices that run then.\n"
      "Exit code 1 if no state fits or part of the network cannot be fed.\n"
      "  lastreach solve town-network --hour 7\n"
      "  lastreach solve town.gpkg --json");
  const auto options = std::make_shared<Options>();
  command->add_option("FILE", options->file, "a folder of plain tables, or a project")->required();
  command->add_option("--hour", options->hour, "from hour 0, the first of the patterns; 0 unless said")
      ->check(CLI::NonNegativeNumber);
  command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->callback(
      [options, &around, &action] { action = [options, &around] { return Solve(*options, around); }; });
}

}  // namespace lastreach
