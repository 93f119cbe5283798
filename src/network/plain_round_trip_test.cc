#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "network/plain_tables.h"
#include "network/test_folder.h"

namespace lastreach {
namespace {

// Numbers of every size a table may hold, most of them with all their digits.
double Positive() {
  const auto digits = static_cast<double>(*rc::gen::inRange<int64_t>(1, int64_t{1} << 53));
  return std::ldexp(digits, *rc::gen::inRange(-80, -30));
}
double Number() { return *rc::gen::arbitrary<bool>() ? Positive() : -Positive(); }
std::optional<double> Perhaps(double value) {
  return *rc::gen::arbitrary<bool>() ? std::optional(value) : std::nullopt;
}
std::optional<Sourced<double>> PerhapsTyped() {
  if (*rc::gen::arbitrary<bool>()) return {};
  return Sourced<double>{Positive(), {OriginKind::kTyped, "", {}, ""}};
}
// Ids with all that makes a table hard to write.
std::string Id(size_t number) {
  const std::string odd =
      *rc::gen::container<std::string>(rc::gen::elementOf(std::string("aZ ,\";\n\r\t'|-#\xC3\xBC")));
  return odd + std::to_string(number);
}

Node RandomNode(size_t number, const std::vector<Pattern>& patterns) {
  Node node;
  node.id = Id(number);
  node.kind = *rc::gen::element(NodeKind::kJunction, NodeKind::kSource, NodeKind::kTank);
  node.elevation_m = PerhapsTyped();
  node.demand_m3_per_s = Number();
  if (!patterns.empty() && *rc::gen::arbitrary<bool>()) node.pattern = (*rc::gen::elementOf(patterns)).id;
  if (*rc::gen::arbitrary<bool>()) node.xy_m = {Number(), Number()};
  if (node.kind == NodeKind::kJunction && node.elevation_m && *rc::gen::arbitrary<bool>()) {
    node.leak = Leak{Positive(), Positive()};
  }
  if (node.kind == NodeKind::kSource) {
    node.head_m = Number();
    node.chlorine_mg_per_l = Perhaps(Positive());
  }
  if (node.kind == NodeKind::kTank) {
    if (*rc::gen::arbitrary<bool>()) {
      node.head_m = Number();
    } else {
      const double least = Number();
      node.tank = TankShape{Positive(), least, least, least + std::abs(least),
                            *rc::gen::element(TankMixing::kMixed, TankMixing::kFirstInFirstOut)};
      node.elevation_m = Sourced<double>{Number(), {OriginKind::kTyped, "", {}, ""}};
    }
  }
  return node;
}

Link RandomLink(size_t number, size_t nodes) {
  Link link;
  link.id = Id(number);
  link.kind = *rc::gen::element(LinkKind::kPipe, LinkKind::kCheck, LinkKind::kPump, LinkKind::kReducing,
                                LinkKind::kSustaining, LinkKind::kLimiting, LinkKind::kClosed);
  const size_t from = *rc::gen::inRange<size_t>(0, nodes);
  link.from = static_cast<NodeIndex>(from);
  link.to = static_cast<NodeIndex>((from + *rc::gen::inRange<size_t>(1, nodes)) % nodes);
  link.length_m = {Positive(), {OriginKind::kTyped, "", {}, ""}};
  link.inner_diameter_m = PerhapsTyped();
  link.roughness = PerhapsTyped();
  link.minor_loss = Positive();
  link.bulk_per_day = Perhaps(Positive());
  link.wall_m_per_day = Perhaps(Positive());
  if (link.kind == LinkKind::kPump) {
    const double head_m = Positive();
    link.pump = PumpCurve{2 * head_m, Positive(), head_m};
  }
  if (link.kind == LinkKind::kReducing || link.kind == LinkKind::kSustaining ||
      link.kind == LinkKind::kLimiting) {
    link.setting = Positive();
  }
  return link;
}

void AddRules(Network& network) {
  std::vector<NodeIndex> tanks;
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    if (network.nodes[i].tank) tanks.push_back(static_cast<NodeIndex>(i));
  }
  for (size_t i = 0; i < network.links.size(); ++i) {
    if (IsShut(network.links[i]) || *rc::gen::arbitrary<bool>()) continue;
    LinkRule rule;
    rule.link = static_cast<LinkIndex>(i);
    rule.opens = *rc::gen::arbitrary<bool>();
    if (tanks.empty() || *rc::gen::arbitrary<bool>()) {
      rule.at_hour = *rc::gen::inRange(0, 24000) / 1000.0;
    } else {
      rule.tank = *rc::gen::elementOf(tanks);
      const TankShape& shape = *network[*rule.tank].tank;
      (*rc::gen::arbitrary<bool>() ? rule.falls_to_m : rule.rises_to_m) =
          *rc::gen::element(shape.min_level_m, shape.max_level_m);
    }
    network.rules.push_back(rule);
  }
}

Network RandomNetwork() {
  Network network;
  for (size_t i = *rc::gen::inRange<size_t>(0, 3); i > 0; --i) {
    Pattern pattern{Id(i), {}};
    for (int hour = *rc::gen::inRange(1, 30); hour > 0; --hour) pattern.factors.push_back(Positive());
    network.patterns.push_back(std::move(pattern));
  }
  const size_t nodes = *rc::gen::inRange<size_t>(2, 12);
  for (size_t i = 0; i < nodes; ++i) network.nodes.push_back(RandomNode(i, network.patterns));
  for (size_t i = *rc::gen::inRange<size_t>(0, 15); i > 0; --i) network.links.push_back(RandomLink(i, nodes));
  for (size_t i = *rc::gen::inRange<size_t>(0, 4); i > 0; --i) {
    NodeRun run{
        static_cast<NodeIndex>(*rc::gen::inRange<size_t>(0, nodes)), Positive(), Positive(), {}, {}, {}};
    if (*rc::gen::arbitrary<bool>()) {
      run.flow_m3_per_s = Positive();
    } else {
      run.orifice_m = Positive();
      run.coefficient = Positive();
    }
    network.runs.push_back(run);
  }
  AddRules(network);
  if (*rc::gen::arbitrary<bool>()) {
    const double none_m = Number();
    network.options.short_pressure = ShortPressure{none_m, none_m + std::abs(none_m)};
  }
  if (*rc::gen::arbitrary<bool>()) network.options.head_loss = HeadLoss::kDarcyWeisbach;
  network.options.viscosity_m2_per_s = Positive();
  network.options.bulk_per_day = Positive();
  network.options.diffusivity_m2_per_s = Positive();
  if (*rc::gen::arbitrary<bool>()) {
    network.options.two_reactants = TwoReactants{.fast_l_per_mg_per_day = Positive(),
                                                 .slow_l_per_mg_per_day = Positive(),
                                                 .fast_mg_per_l = Positive(),
                                                 .slow_mg_per_l = Positive(),
                                                 .thm_ug_per_mg = Positive(),
                                                 .thm_ug_per_l = Positive()};
  }
  return network;
}

RC_GTEST_PROP(PlainTables, ReadBackWhatWasWrittenNumberForNumber, ()) {
  const Network network = RandomNetwork();
  const TablesFolder folder({});
  const Status written = WriteNetworkFolder(network, folder.path());
  if (!written.ok()) RC_FAIL(written.error().ToString());
  std::vector<std::string> notes;
  const Result<Network> read = ReadNetworkFolder(folder.path(), &notes);
  if (!read.ok()) RC_FAIL(read.error().ToString());
  RC_ASSERT(notes.empty());
  RC_ASSERT(read->options == network.options);
  RC_ASSERT(read->patterns == network.patterns);
  RC_ASSERT(read->nodes.size() == network.nodes.size());
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    const Node& a = network.nodes[i];
    const Node& b = read->nodes[i];
    RC_ASSERT(a.id == b.id);
    RC_ASSERT(a.kind == b.kind);
    RC_ASSERT(a.elevation_m == b.elevation_m);
    RC_ASSERT(a.demand_m3_per_s == b.demand_m3_per_s);
    RC_ASSERT(a.head_m == b.head_m);
    RC_ASSERT(a.pattern == b.pattern);
    RC_ASSERT(a.tank == b.tank);
    RC_ASSERT(a.leak == b.leak);
    RC_ASSERT(a.chlorine_mg_per_l == b.chlorine_mg_per_l);
    RC_ASSERT(a.xy_m == b.xy_m);
  }
  RC_ASSERT(read->links.size() == network.links.size());
  for (size_t i = 0; i < network.links.size(); ++i) {
    const Link& a = network.links[i];
    const Link& b = read->links[i];
    RC_ASSERT(a.id == b.id);
    RC_ASSERT(a.kind == b.kind);
    RC_ASSERT(a.from == b.from);
    RC_ASSERT(a.to == b.to);
    RC_ASSERT(a.length_m == b.length_m);
    RC_ASSERT(a.inner_diameter_m == b.inner_diameter_m);
    RC_ASSERT(a.roughness == b.roughness);
    RC_ASSERT(a.minor_loss == b.minor_loss);
    RC_ASSERT(a.pump == b.pump);
    RC_ASSERT(a.setting == b.setting);
    RC_ASSERT(a.bulk_per_day == b.bulk_per_day);
    RC_ASSERT(a.wall_m_per_day == b.wall_m_per_day);
  }
  RC_ASSERT(read->rules == network.rules);
  RC_ASSERT(read->runs.size() == network.runs.size());
  for (size_t i = 0; i < network.runs.size(); ++i) {
    const NodeRun& a = network.runs[i];
    const NodeRun& b = read->runs[i];
    RC_ASSERT(a.node == b.node);
    RC_ASSERT(a.start_hour == b.start_hour);
    RC_ASSERT(a.minutes == b.minutes);
    RC_ASSERT(a.flow_m3_per_s == b.flow_m3_per_s);
    RC_ASSERT(a.orifice_m == b.orifice_m);
    RC_ASSERT(a.coefficient == b.coefficient);
  }
}

}  // namespace
}  // namespace lastreach
