#include "app/project_simulation.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "app/device_runs.h"
#include "app/reach_from_map.h"
#include "ends/maybe_gap.h"
#include "ends/quiet_places.h"
#include "network/split.h"
#include "plan/reach_model.h"

namespace lastreach {
namespace {

constexpr const char* kHouseholds = "households";

bool MayBeCut(const Link& link) { return link.kind == LinkKind::kPipe || link.kind == LinkKind::kCheck; }

// Which of the connections, in order of link, lie on the way to a quiet place, the last one last.
std::vector<size_t> CustomersOn(const std::vector<Connection>& connections, const QuietPlace& place) {
  std::vector<size_t> all;
  for (size_t i = 0; i < FirstArm(place); ++i) {
    const ReachPiece& piece = place.reach[i];
    const auto before = [](const Connection& a, LinkIndex link) { return a.link < link; };
    const size_t first = all.size();
    for (auto c = std::lower_bound(connections.begin(), connections.end(), piece.link, before);
         c != connections.end() && c->link == piece.link; ++c) {
      const bool on_piece = c->along_m >= std::min(piece.from_m, piece.to_m) &&
                            c->along_m <= std::max(piece.from_m, piece.to_m);
      if (on_piece && c->count > 0) all.push_back(static_cast<size_t>(c - connections.begin()));
    }
    if (piece.to_m < piece.from_m) std::reverse(all.begin() + static_cast<std::ptrdiff_t>(first), all.end());
  }
  return all;
}

class Preparer {
 public:
  Preparer(const MapSource& source, const PrepareOptions& options) : source_(source), options_(options) {}

  Result<ProjectSimulation> Prepare() {
    const auto info = source_.project->Info();
    if (!info.ok()) return info.error();
    const auto zone = Zone::Find(info->zone);
    if (!zone.ok()) return zone.error();
    const auto drawing = source_.project->LoadDrawing();
    if (!drawing.ok()) return drawing.error();
    const auto repairs = source_.project->Repairs();
    if (!repairs.ok()) return repairs.error();
    auto facts = FactsOf(*source_.project);
    if (!facts.ok()) return facts.error();
    auto zones = source_.project->SupplyZones();
    if (!zones.ok()) return zones.error();
    if (options_.zones) zones = *options_.zones;
    out_.network = *source_.network;
    out_.map_nodes = out_.network.nodes.size();
    out_.map_links = out_.network.links.size();
    out_.zones = *std::move(zones);
    out_.name = info->name;
    out_.zone = *zone;
    out_.from =
        options_.from.value_or(Date{std::chrono::floor<std::chrono::days>(zone->ToLocal(options_.now))});
    out_.begins = zone->FirstInstant(Midnight(out_.from));
    NameFeeders(drawing->things, out_.network);
    TellOrigins();
    PutZoneWater(out_.zones, out_.network, out_.numbers);
    Households();
    ScaleUse();
    EndOptions end_options;
    end_options.gap_look_m = GapLook_m(*repairs);
    std::vector<QuietPlace> places = FindQuietPlaces(*source_.network, end_options);
    Cut(std::move(places));
    if (options_.device_runs) PutDeviceRuns(*facts, options_.hours, out_);
    return std::move(out_);
  }

 private:
  // Numbers of the map by how they are known, before anything is cut.
  void TellOrigins() {
    std::map<std::string, size_t> widths, roughness, demands;
    for (const Link& link : out_.network.links) {
      if (!MayBeCut(link)) continue;
      if (link.inner_diameter_m) ++widths[std::string(ToText(link.inner_diameter_m->origin.kind))];
      if (link.roughness) ++roughness[std::string(ToText(link.roughness->origin.kind))];
    }
    for (const Connection& connection : out_.network.connections) {
      demands[std::string(ToText(connection.demand_m3_per_s.origin.kind))] +=
          static_cast<size_t>(std::max(1, connection.count));
    }
    const auto tell = [&](const char* what, const std::map<std::string, size_t>& counts, const char* unit) {
      for (const auto& [origin, count] : counts) {
        out_.numbers.push_back({what, std::to_string(count) + unit, origin});
      }
    };
    tell("inner diameter", widths, " mains");
    tell("roughness", roughness, " mains");
    tell("average use", demands, " services");
    for (const Node& node : out_.network.nodes) {
      if (node.kind == NodeKind::kTank && !node.tank) {
        out_.notes.push_back(
            "Tank " + node.id +
            " has no size or levels: it is held at its head, and its water is taken to be as "
            "fresh as a source's.");
      }
    }
  }

  void Households() {
    Network& network = out_.network;
    const bool known = std::any_of(network.patterns.begin(), network.patterns.end(),
                                   [](const Pattern& pattern) { return pattern.id == kHouseholds; });
    if (!known) {
      network.patterns.push_back({kHouseholds, {std::begin(kHouseholdHours), std::end(kHouseholdHours)}});
    }
    for (Node& node : network.nodes) {
      if (node.kind == NodeKind::kJunction && node.pattern.empty()) node.pattern = kHouseholds;
    }
    out_.numbers.push_back({"hours of the household day", "0.28 to 1.70 of the average", "assumed"});
  }

  void ScaleUse() {
    for (Node& node : out_.network.nodes) node.demand_m3_per_s *= options_.use_factor;
    for (Connection& connection : out_.network.connections) {
      connection.demand_m3_per_s.value *= options_.use_factor;
    }
  }

  // A node for every customer and for the middle of every quiet stretch.
  void Cut(std::vector<QuietPlace> places) {
    Network& network = out_.network;
    std::vector<LinkPlace> cuts;
    std::vector<size_t> of_connection;
    for (const Connection& connection : network.connections) {
      of_connection.push_back(cuts.size());
      cuts.push_back({connection.link, connection.along_m});
    }
    std::erase_if(places, [](const QuietPlace& p) { return p.kind == QuietKind::kHydrantLead; });
    std::vector<size_t> of_place;
    for (const QuietPlace& place : places) {
      of_place.push_back(cuts.size());
      const size_t arm = FirstArm(place);
      if (!place.node && arm > 0) cuts.push_back({place.reach[arm - 1].link, place.reach[arm - 1].to_m});
    }
    // What cannot be cut stands at the nearer end of its link.
    for (LinkPlace& cut : cuts) {
      const Link& link = network[cut.link];
      if (!MayBeCut(link)) cut.along_m = cut.along_m < link.length_m.value / 2 ? 0 : link.length_m.value;
    }
    const std::vector<Connection> connections = network.connections;
    const std::vector<Link> whole = network.links;
    const std::vector<NodeIndex> nodes = SplitLinks(network, cuts);
    for (Node& node : network.nodes) {
      if (node.kind == NodeKind::kJunction && node.pattern.empty()) node.pattern = kHouseholds;
    }
    for (size_t i = 0; i < connections.size(); ++i) {
      if (connections[i].count <= 0) continue;
      const Link& link = whole[At(connections[i].link)];
      const NodeIndex node = nodes[of_connection[i]];
      const std::string& key = connections[i].service.key;
      out_.services.push_back(
          {node, connections[i].count, key.empty() ? network[node].id : key, link.street, link.zone});
    }
    for (size_t i = 0; i < places.size(); ++i) {
      if (!places[i].node && FirstArm(places[i]) == 0) continue;
      const NodeIndex node = places[i].node ? *places[i].node : nodes[of_place[i]];
      std::vector<NodeIndex> customers;
      for (const size_t c : CustomersOn(connections, places[i])) {
        if (customers.empty() || customers.back() != nodes[of_connection[c]]) {
          customers.push_back(nodes[of_connection[c]]);
        }
      }
      const NodeIndex last = customers.empty() ? node : customers.back();
      out_.ends.push_back({std::move(places[i]), node, std::move(customers), last, {}});
    }
  }

  const MapSource& source_;
  const PrepareOptions& options_;
  ProjectSimulation out_;
};

}  // namespace

Result<ProjectSimulation> PrepareProject(const MapSource& source, const PrepareOptions& options) {
  if (!source.network) {
    return BadInput("there is no network yet: lastreach map " + source.file, {source.file, {}, "", ""});
  }
  return Preparer(source, options).Prepare();
}

}  // namespace lastreach
