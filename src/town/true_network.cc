#include "town/true_network.h"

#include <algorithm>
#include <numeric>

#include "town/town_lines.h"

namespace lastreach {
namespace {

constexpr double kSamePoint_m = 1e-4;

// Distances along the street at which something joins it or the diameter changes, both ends included.
std::vector<double> Joints_m(const std::vector<PlannedStreet>& plan, size_t own) {
  const PlannedStreet& street = plan[own];
  const double whole_m = LineLength_m(street.line);
  std::vector<double> joints_m = {0, whole_m};
  for (size_t i = 0; i < plan.size(); ++i) {
    if (i == own) continue;
    for (const TownPoint point : plan[i].line) {
      if (Distance_m(point, street.line) < kSamePoint_m) joints_m.push_back(Along_m(street.line, point));
    }
    for (const TownPoint point : street.line) {
      if (Distance_m(point, plan[i].line) < kSamePoint_m) joints_m.push_back(Along_m(street.line, point));
    }
  }
  double along_m = 0;
  for (const TownPipe& pipe : street.pipes) joints_m.push_back(along_m += pipe.length_m);
  std::sort(joints_m.begin(), joints_m.end());
  const auto same = [](double a, double b) { return b - a < 2 * kSamePoint_m; };
  joints_m.erase(std::unique(joints_m.begin(), joints_m.end(), same), joints_m.end());
  joints_m.back() = whole_m;
  return joints_m;
}

double DiameterAt_in(const PlannedStreet& street, double along_m) {
  for (const TownPipe& pipe : street.pipes) {
    if (along_m < pipe.length_m) return pipe.diameter_in;
    along_m -= pipe.length_m;
  }
  return street.pipes.back().diameter_in;
}

size_t NodeAt(TrueNetwork& network, TownPoint point) {
  const auto found = std::find_if(network.nodes.begin(), network.nodes.end(), [&](const TrueNode& node) {
    return Distance_m(node.at, point) < 2 * kSamePoint_m;
  });
  if (found != network.nodes.end()) return static_cast<size_t>(found - network.nodes.begin());
  network.nodes.push_back({point, 0, "", false});
  return network.nodes.size() - 1;
}

TrueNetwork MakeTrueNetwork() {
  TrueNetwork network = JoinStreets(StreetPlan());
  for (const TownWork& work : Works()) network.nodes[NodeAt(network, work.at)].work = work.name;
  for (const TownPoint valve : BoundaryValves()) network.nodes[NodeAt(network, valve)].shut_valve = true;
  return network;
}

}  // namespace

TrueNetwork JoinStreets(const std::vector<PlannedStreet>& plan) {
  TrueNetwork network;
  for (size_t i = 0; i < plan.size(); ++i) {
    const std::vector<double> joints_m = Joints_m(plan, i);
    for (size_t j = 1; j < joints_m.size(); ++j) {
      TruePipe pipe{i, 0, 0, joints_m[j - 1], joints_m[j], 0};
      pipe.diameter_in = DiameterAt_in(plan[i], (pipe.from_m + pipe.to_m) / 2);
      pipe.from = NodeAt(network, PlaceAt(plan[i].line, pipe.from_m).at);
      pipe.to = NodeAt(network, PlaceAt(plan[i].line, pipe.to_m).at);
      ++network.nodes[pipe.from].pipes;
      ++network.nodes[pipe.to].pipes;
      network.pipes.push_back(pipe);
    }
  }
  return network;
}

const TrueNetwork& TheTrueNetwork() {
  static const TrueNetwork kNetwork = MakeTrueNetwork();
  return kNetwork;
}

int CountParts(const TrueNetwork& network, bool through_shut_valves) {
  std::vector<size_t> part(network.nodes.size());
  std::iota(part.begin(), part.end(), 0U);
  const auto root = [&](size_t node) {
    while (part[node] != node) node = part[node] = part[part[node]];
    return node;
  };
  for (const TruePipe& pipe : network.pipes) {
    // The pipe that arrives at a shut valve from the north is cut off it; the other one keeps it.
    const bool cut = !through_shut_valves && network.nodes[pipe.from].shut_valve;
    if (!cut) part[root(pipe.from)] = root(pipe.to);
  }
  int parts = 0;
  for (size_t i = 0; i < part.size(); ++i) parts += root(i) == i ? 1 : 0;
  return parts;
}

std::vector<size_t> MainEnds(const TrueNetwork& network) {
  std::vector<bool> lead(network.nodes.size(), false);
  for (const TruePipe& pipe : network.pipes) {
    if (StreetPlan()[pipe.street].kind == StreetKind::kHydrantLead) lead[pipe.to] = true;
  }
  std::vector<size_t> ends;
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    if (network.nodes[i].pipes == 1 && network.nodes[i].work.empty() && !lead[i]) ends.push_back(i);
  }
  return ends;
}

std::vector<TownWork> Works() {
  return {{"Millrace plant", kPlant, kPlantHead_m},
          {"Neighbour's meter", kNeighbour, kNeighbourHead_m},
          {"Railway booster", kBooster, 0},
          {"High Tank", kTank, kTankHead_m}};
}

}  // namespace lastreach
