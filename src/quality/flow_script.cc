#include "quality/flow_script.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numbers>
#include <random>

namespace lastreach {

NodeIndex ScriptedNetwork::AddNode(NodeKind kind) {
  Node node;
  node.id = "N" + std::to_string(network.nodes.size());
  node.kind = kind;
  network.nodes.push_back(std::move(node));
  return static_cast<NodeIndex>(network.nodes.size() - 1);
}

NodeIndex ScriptedNetwork::AddSource(double chlorine_mg_per_l) {
  const NodeIndex node = AddNode(NodeKind::kSource);
  network[node].chlorine_mg_per_l = chlorine_mg_per_l;
  return node;
}

NodeIndex ScriptedNetwork::AddTank(TankMixing mixing, double diameter_m) {
  const NodeIndex node = AddNode(NodeKind::kTank);
  network[node].tank = TankShape{.diameter_m = diameter_m, .max_level_m = 10, .mixing = mixing};
  return node;
}

LinkIndex ScriptedNetwork::AddPipe(NodeIndex from, NodeIndex to, double volume_m3, double diameter_m) {
  Link link;
  link.id = "L" + std::to_string(network.links.size());
  link.from = from;
  link.to = to;
  link.length_m.value = volume_m3 / (std::numbers::pi / 4 * diameter_m * diameter_m);
  link.inner_diameter_m = Sourced<double>{};
  link.inner_diameter_m->value = diameter_m;
  network.links.push_back(std::move(link));
  return static_cast<LinkIndex>(network.links.size() - 1);
}

LinkIndex ScriptedNetwork::AddValve(NodeIndex from, NodeIndex to) {
  Link link;
  link.id = "L" + std::to_string(network.links.size());
  link.kind = LinkKind::kPump;
  link.from = from;
  link.to = to;
  network.links.push_back(std::move(link));
  return static_cast<LinkIndex>(network.links.size() - 1);
}

FlowPeriod FlowScript::Next(double seconds, std::vector<double> flow_m3_per_s) {
  flow_ = std::move(flow_m3_per_s);
  outflow_.assign(network_.nodes.size(), 0);
  head_.assign(network_.nodes.size(), 0);
  for (std::size_t l = 0; l < network_.links.size(); ++l) {
    outflow_[At(network_.links[l].from)] -= flow_[l];
    outflow_[At(network_.links[l].to)] += flow_[l];
  }
  volume_ = tank_volume_m3_;
  for (std::size_t n = 0; n < network_.nodes.size(); ++n) {
    if (network_.nodes[n].tank) tank_volume_m3_[n] += outflow_[n] * seconds;
  }
  const double begin_s = now_s_;
  now_s_ += seconds;
  return {begin_s, now_s_, flow_, outflow_, head_, volume_};
}

FlowScript RandomTown::Script() const {
  FlowScript script(town.network);
  for (const auto& [node, volume_m3] : tanks_m3) script.SetTank(node, volume_m3);
  return script;
}

RandomTown MakeRandomTown(uint64_t seed, bool with_tanks) {
  std::mt19937_64 random(seed);
  const auto number = [&](double low, double high) {
    return std::uniform_real_distribution<>(low, high)(random);
  };
  const auto whole = [&](uint32_t low, uint32_t high) {
    return std::uniform_int_distribution<uint32_t>(low, high)(random);
  };
  RandomTown made;
  ScriptedNetwork& town = made.town;
  const uint32_t nodes = whole(5, 30);
  const uint32_t sources = whole(1, 3);
  for (uint32_t n = 0; n < nodes; ++n) {
    if (n < sources) {
      town.AddSource(number(0.2, 1.5));
    } else if (with_tanks && whole(0, 4) == 0) {
      const NodeIndex tank =
          town.AddTank(whole(0, 1) == 0 ? TankMixing::kMixed : TankMixing::kFirstInFirstOut);
      made.tanks_m3.emplace_back(tank, number(100, 300));
    } else {
      const NodeIndex node = town.AddNode();
      if (whole(0, 3) == 0) town.network[node].chlorine_mg_per_l = number(0, 1);
    }
  }
  const auto join = [&](uint32_t a, uint32_t b) {
    if (whole(0, 7) == 0) {
      town.AddValve(NodeIndex{a}, NodeIndex{b});
      return;
    }
    const LinkIndex pipe = town.AddPipe(NodeIndex{a}, NodeIndex{b}, std::exp(number(-3, 2)),
                                        std::array{0.05, 0.1, 0.2}[whole(0, 2)]);
    if (whole(0, 2) == 0) town.network[pipe].bulk_per_day = number(0, 3);
    if (whole(0, 2) == 0) town.network[pipe].wall_m_per_day = number(0, 0.5);
  };
  for (uint32_t n = 1; n < nodes; ++n) join(whole(0, n - 1), n);
  for (uint32_t extra = nodes / 3; extra > 0; --extra) {
    const uint32_t a = whole(0, nodes - 1);
    const uint32_t b = whole(0, nodes - 1);
    if (a != b) join(a, b);
  }
  town.network.options.bulk_per_day = 0.7;
  std::vector<double> head(nodes);
  for (uint32_t p = whole(5, 25); p > 0; --p) {
    made.seconds.push_back(std::exp(number(4, 9)));
    for (uint32_t n = 0; n < nodes; ++n) {
      if (p % 2 == 0 || whole(0, 3) == 0) head[n] = number(0, n < sources ? 60 : 30);
    }
    std::vector<double> flow;
    for (const Link& link : town.network.links) {
      const double drop = head[At(link.from)] - head[At(link.to)];
      flow.push_back(whole(0, 9) == 0 ? 0 : std::copysign(2e-4 * std::sqrt(std::abs(drop)), drop));
    }
    made.flows.push_back(std::move(flow));
  }
  return made;
}

std::vector<std::vector<double>> RunTown(const RandomTown& random, const NetworkQualityOptions& options,
                                         Quantity quantity, NetworkTransport* kept) {
  Result<NetworkTransport> transport = NetworkTransport::Make(random.town.network, options);
  FlowScript script = random.Script();
  std::vector<std::vector<double>> read;
  for (std::size_t p = 0; p < random.seconds.size(); ++p) {
    EXPECT_TRUE(transport->Advance(script.Next(random.seconds[p], random.flows[p])).ok());
    read.emplace_back(random.town.network.nodes.size());
    transport->ReadNodes(quantity, read.back());
  }
  if (kept != nullptr) *kept = std::move(*transport);
  return read;
}

double ReadAt(const NetworkTransport& transport, Quantity quantity, NodeIndex node, const Network& network) {
  std::vector<double> out(network.nodes.size());
  transport.ReadNodes(quantity, out);
  return out[At(node)];
}

}  // namespace lastreach
