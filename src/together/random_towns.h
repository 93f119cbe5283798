#pragma once

#include <limits>
#include <random>
#include <string>
#include <vector>

#include "hydraulics/test_networks.h"
#include "network/plain_tables.h"
#include "together/pressure_judge.h"
#include "together/together_devices.h"

namespace lastreach {

// For tests: small networks of pipes with customers at every node, and devices at some of them.
class RandomTown {
 public:
  RandomTown(std::mt19937_64& random, int junctions, int devices, bool loops) : random_(random) {
    hand_.Source(50);
    for (int i = 1; i <= junctions; ++i) {
      const NodeIndex node = hand_.Junction(In(0, 5), In(1e-4, 1e-3));
      hand_.network[node].pattern = "day";
      hand_.network[node].zone = Pick(2) ? "low" : "high";
      hand_.Pipe(NodeIndex(static_cast<uint32_t>(Pick(i))), node, In(100, 500), In(0.08, 0.12));
    }
    for (int i = 0; loops && i < 2; ++i) {
      const auto a = NodeIndex(static_cast<uint32_t>(Pick(junctions + 1)));
      const auto b = NodeIndex(static_cast<uint32_t>(Pick(junctions + 1)));
      if (a != b) hand_.Pipe(a, b, In(100, 500), In(0.08, 0.12));
    }
    // Nights and days alone, so that few states are solved.
    Pattern day{"day", {}};
    for (int hour = 0; hour < 24; ++hour) day.factors.push_back(hour < 6 || hour > 20 ? 0.4 : 1.5);
    hand_.network.patterns = {day};
    for (int d = 0; d < devices; ++d) {
      points.push_back({NodeIndex(static_cast<uint32_t>(1 + Pick(junctions))), In(1e-3, 5e-3)});
    }
  }
  const Network& network() const { return hand_.network; }
  // Limits that some sets of these devices break and others keep.
  std::vector<LeastPressureThere> LimitsThatMayBind() {
    return {{"", In(28, 44), "made up"}, {"high", In(28, 44), "made up as well"}};
  }
  int Pick(int below) { return std::uniform_int_distribution<int>(0, below - 1)(random_); }
  double In(double low, double high) { return std::uniform_real_distribution<double>(low, high)(random_); }

  std::vector<DrawingPoint> points;

 private:
  std::mt19937_64& random_;
  Hand hand_;
};

// The oracle: the network solved from a flat start, every node looked at.
inline double LeastSpareFlat_m(const Network& network, int hour, const OpenSet& open,
                               const std::vector<DrawingPoint>& points,
                               const std::vector<LeastPressureThere>& limits) {
  Supply supply = *SupplyAt(network, hour);
  const SteadyState without = *SolveSteady(network, supply);
  for (const uint32_t d : open) supply.demand_m3_per_s[At(points[d].node)] += points[d].flow_m3_per_s;
  const SteadyState with = *SolveSteady(network, supply);
  const std::vector<double> demand = DemandAtNodes(network);
  double least = std::numeric_limits<double>::infinity();
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    if (!(demand[i] > 0)) continue;
    for (const LeastPressureThere& limit : limits) {
      if (!limit.zone.empty() && limit.zone != network.nodes[i].zone) continue;
      const double floor = network.nodes[i].elevation_m->value + limit.least_m;
      if (without.head_m[i] < floor - 1e-3) continue;
      least = std::min(least, with.head_m[i] - floor);
    }
  }
  return least;
}

}  // namespace lastreach
