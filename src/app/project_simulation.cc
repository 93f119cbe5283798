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

// Which of the connections, in order of link, is the last on the way to a quiet place.
std::optional<size_t> LastCustomer(const std::vector<Connection>& connections, const QuietPlace& place) {
  for (size_t i = FirstArm(place); i-- > 0;) {
    const ReachPiece& piece = place.reach[i];
    const auto before = [](const Connection& a, LinkIndex link) { return a.link < link; };
    std::optional<size_t> last;
    for (auto c = std::lower_bound(connections.begin(), connections.end(), piece.link, before);
         c != connections.end() && c->link == piece.link; ++c) {
      const bool on_piece = c->along_m >= std::min(piece.from_m, piece.to_m) &&
                            c->along_m <= std::max(piece.from_m, piece.to_m);
      if (!on_piece || c->count <= 0) continue;
      const auto from_tee_m = [&](const Connection& it) { return std::abs(it.along_m - piece.from_m); };
      if (!last || from_tee_m(*c) > from_tee_m(connections[*last])) {
        last = static_cast<size_t>(c - connections.begin());
      }
    }
    if (last) return last;
  }
  return {};
}

class Preparer {
 public:
  Preparer(const MapSource& source, std::optional<Date> from, double hours, Instant now)
      : source_(source), from_(from), hours_(hours), now_(now) {}

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
    out_.network = *source_.network;
    out_.map_nodes = out_.network.nodes.size();
    out_.map_links = out_.network.links.size();
    out_.zones = *std::move(zones);
    out_.name = info->name;
    out_.zone = *zone;
    out_.from = from_.value_or(Date{std::chrono::floor<std::chrono::days>(zone->ToLocal(now_))});
    out_.begins = zone->FirstInstant(Midnight(out_.from));
    NameFeeders(drawing->things, out_.network);
    TellOrigins();
    PutZoneWater(out_.zones, out_.network, out_.numbers);
    Households();
    EndOptions end_options;
    end_options.gap_look_m = GapLook_m(*repairs);
    std::vector<QuietPlace> places = FindQuietPlaces(*source_.network, end_options);
    Cut(std::move(places));
    PutDeviceRuns(*facts, hours_, out_);
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
      const auto last = LastCustomer(connections, places[i]);
      out_.ends.push_back({std::move(places[i]), node, last ? nodes[of_connection[*last]] : node, {}});
    }
  }

  const MapSource& source_;
  std::optional<Date> from_;
  double hours_;
  Instant now_;
  ProjectSimulation out_;
};

}  // namespace

Result<ProjectSimulation> PrepareProject(const MapSource& source, std::optional<Date> from, double hours,
                                         Instant now) {
  if (!source.network) {
    return BadInput("there is no network yet: lastreach map " + source.file, {source.file, {}, "", ""});
  }
  return Preparer(source, from, hours, now).Prepare();
}

}  // namespace lastreach
