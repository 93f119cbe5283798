#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "quality/network_transport.h"

namespace lastreach {

// For tests only: networks by hand and flows by script, without hydraulics.

struct ScriptedNetwork {
  Network network;

  NodeIndex AddNode(NodeKind kind = NodeKind::kJunction);
  NodeIndex AddSource(double chlorine_mg_per_l);
  NodeIndex AddTank(TankMixing mixing, double diameter_m = 10);
  LinkIndex AddPipe(NodeIndex from, NodeIndex to, double volume_m3, double diameter_m = 0.15);
  LinkIndex AddValve(NodeIndex from, NodeIndex to);  // holds no water
};

// A period of given length and link flows; outflows and tank volumes follow from them.
class FlowScript {
 public:
  explicit FlowScript(const Network& network) : network_(network) {
    tank_volume_m3_.assign(network.nodes.size(), 0);
  }
  void SetTank(NodeIndex tank, double volume_m3) { tank_volume_m3_[At(tank)] = volume_m3; }
  double tank_m3(NodeIndex tank) const { return tank_volume_m3_[At(tank)]; }

  // The next `seconds`; the spans hold until the next call.
  FlowPeriod Next(double seconds, std::vector<double> flow_m3_per_s);
  double now_s() const { return now_s_; }

 private:
  const Network& network_;
  double now_s_ = 0;
  std::vector<double> flow_, outflow_, head_, volume_, tank_volume_m3_;
};

// A network and flows made up from a seed: 5 to 30 nodes joined into a tree and some loops, links of no
// volume among them, one to three sources, now and then tanks of both kinds, walls. In each period heads are
// drawn at random and flows follow from them, so that they turn, go round no ring, and balance with what is
// drawn or put in at the nodes. Tanks hold enough.
struct RandomTown {
  ScriptedNetwork town;
  std::vector<double> seconds;             // of each period
  std::vector<std::vector<double>> flows;  // of each link in each period
  std::vector<std::pair<NodeIndex, double>> tanks_m3;

  FlowScript Script() const;
};
RandomTown MakeRandomTown(uint64_t seed, bool with_tanks);

// All nodes at the end of every period.
std::vector<std::vector<double>> RunTown(const RandomTown& random, const NetworkQualityOptions& options,
                                         Quantity quantity, NetworkTransport* kept = nullptr);

// What is at a node now.
double ReadAt(const NetworkTransport& transport, Quantity quantity, NodeIndex node, const Network& network);

}  // namespace lastreach
