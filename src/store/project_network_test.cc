#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck.h>

#include "store/database.h"
#include "store/map_fixture.h"

namespace lastreach {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

void PutResult(const std::string& path) {
  const auto database = Database::Open(path, 100);
  ASSERT_TRUE(
      (*database)
          ->RunScript("INSERT INTO network_results (made, kind, of, unit, hours, step_h, note) VALUES "
                      "('2026-07-01T12:00:00.000Z', 'age', 'nodes', 'h', 24, 1, '');"
                      "INSERT INTO network_result_steps (result, step, hour, numbers) VALUES (1, 0, "
                      "0, x'0000803f0000c07f00000040')")
          .ok());
}
int64_t RowsOf(const std::string& path, const std::string& table) {
  return (*Database::Open(path, 100))->QueryInt("SELECT count(*) FROM " + table)->value_or(-1);
}

TEST_F(ProjectFile, ANetworkReadsBackToTheLastBit) {
  Project project = New();
  ASSERT_TRUE(project.PutNetwork(FullNetwork(), "tables").ok());
  EXPECT_EQ(**project.LoadNetwork(), FullNetwork());
  EXPECT_EQ(*project.NetworkMadeFrom(), "tables");
}

TEST_F(ProjectFile, WithoutANetworkThereIsNone) {
  const Project project = New();
  EXPECT_FALSE(project.LoadNetwork()->has_value());
  EXPECT_EQ(*project.NetworkMadeFrom(), "");
}

TEST_F(ProjectFile, AnEmptyNetworkIsOneToo) {
  Project project = New();
  ASSERT_TRUE(project.PutNetwork({}, "map").ok());
  EXPECT_EQ(**project.LoadNetwork(), Network());
}

TEST_F(ProjectFile, ANewNetworkReplacesTheOldOneAndItsQuietPlaces) {
  Project project = New();
  PutEverything(project);
  PutResult(Path());
  ASSERT_EQ(RowsOf(Path(), "network_result_steps"), 1);
  Network small = FullNetwork();
  small.links.resize(1);
  small.runs.clear();
  small.rules.clear();
  small.patterns.pop_back();
  ASSERT_TRUE(project.PutNetwork(small, "tables").ok());
  EXPECT_EQ(**project.LoadNetwork(), small);
  EXPECT_EQ(*project.NetworkMadeFrom(), "tables");
  EXPECT_THAT(*project.QuietPlaces(), IsEmpty());
  EXPECT_EQ(RowsOf(Path(), "network_results"), 0);
  EXPECT_EQ(RowsOf(Path(), "network_result_steps"), 0);
  EXPECT_EQ(project.Repairs()->size(), 1U);
}

TEST_F(ProjectFile, ANetworkThatDoesNotHangTogetherIsRefusedAndTheOldOneStays) {
  Project project = New();
  ASSERT_TRUE(project.PutNetwork(FullNetwork(), "map").ok());
  const auto refused = [&](const Network& network) {
    const Status put = project.PutNetwork(network, "map");
    EXPECT_FALSE(put.ok());
    EXPECT_EQ(**project.LoadNetwork(), FullNetwork());
    return put.ok() ? std::string() : put.error().ToString();
  };
  Network network = FullNetwork();
  network.links[0].to = NodeIndex{3};
  EXPECT_THAT(refused(network), HasSubstr("'P1'"));
  network = FullNetwork();
  network.connections[1].link = LinkIndex{4};
  EXPECT_THAT(refused(network), HasSubstr("'78'"));
  network = FullNetwork();
  network.patterns[1].factors.clear();
  EXPECT_THAT(refused(network), HasSubstr("'flat'"));
  network = FullNetwork();
  network.runs[0].node = NodeIndex{9};
  EXPECT_THAT(refused(network), HasSubstr("'2.5"));
  network = FullNetwork();
  network.rules[2].link = LinkIndex{4};
  EXPECT_THAT(refused(network), HasSubstr("'3'"));
  network = FullNetwork();
  network.rules[1].tank = NodeIndex{3};
  EXPECT_THAT(refused(network), HasSubstr("'2'"));
  network = FullNetwork();
  network.links[0].line.resize(1);
  EXPECT_THAT(refused(network), HasSubstr("'P1'"));
  network = FullNetwork();
  network.nodes[2].id = "N1";
  EXPECT_THAT(refused(network), HasSubstr("network_nodes.id"));
}

TEST_F(ProjectFile, ALinkThatLostItsNodeInAnotherProgramIsNamed) {
  {
    Project project = New();
    ASSERT_TRUE(project.PutNetwork(FullNetwork(), "map").ok());
  }
  ASSERT_TRUE((*Database::Open(Path(), 100))->RunScript("DELETE FROM network_nodes WHERE id = 'N3'").ok());
  const std::string said = Project::Open(Path())->LoadNetwork().error().ToString();
  EXPECT_THAT(said, HasSubstr("town.gpkg"));
  EXPECT_THAT(said, HasSubstr("the network has no such node"));
  EXPECT_THAT(said, HasSubstr("'N3'"));
}

double AnyNumber() {
  // A third has no end in binary, so that every bit counts.
  return *rc::gen::inRange(-1000000, 1000001) / 3.0 * *rc::gen::element(1e-9, 1e-3, 1.0, 1e6);
}
std::optional<Sourced<double>> AnySourced() {
  if (!*rc::gen::arbitrary<bool>()) return std::nullopt;
  Sourced<double> sourced{AnyNumber(), {OriginKind::kEstimated, *rc::gen::arbitrary<std::string>(), {}, ""}};
  if (*rc::gen::arbitrary<bool>()) {
    sourced.origin.when = Instant(std::chrono::seconds(*rc::gen::inRange(0, 2000000000)));
  }
  return sourced;
}
std::optional<double> Maybe() {
  return *rc::gen::arbitrary<bool>() ? std::optional(AnyNumber()) : std::nullopt;
}

Network AnyNetwork() {
  Network network;
  network.nodes.resize(*rc::gen::inRange<size_t>(1, 6));
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    Node& node = network.nodes[i];
    node.id = "N" + std::to_string(i);
    node.kind = *rc::gen::element(NodeKind::kJunction, NodeKind::kSource, NodeKind::kTank);
    node.elevation_m = AnySourced();
    node.demand_m3_per_s = AnyNumber();
    node.head_m = Maybe();
    node.zone = *rc::gen::arbitrary<std::string>();
    if (*rc::gen::arbitrary<bool>()) node.at = Position{AnyNumber(), AnyNumber()};
    if (*rc::gen::arbitrary<bool>())
      node.tank = TankShape{AnyNumber(), AnyNumber(), AnyNumber(), AnyNumber(),
                            *rc::gen::element(TankMixing::kMixed, TankMixing::kFirstInFirstOut)};
    if (*rc::gen::arbitrary<bool>()) node.leak = Leak{AnyNumber(), AnyNumber()};
    if (*rc::gen::arbitrary<bool>()) node.xy_m = {AnyNumber(), AnyNumber()};
    for (int j = *rc::gen::inRange(0, 3); j-- > 0;) node.things.push_back({"t", std::to_string(j)});
  }
  const auto any_node = [&] {
    return NodeIndex{*rc::gen::inRange(0U, static_cast<uint32_t>(network.nodes.size()))};
  };
  network.links.resize(*rc::gen::inRange<size_t>(0, 6));
  for (size_t i = 0; i < network.links.size(); ++i) {
    Link& link = network.links[i];
    link.id = "L" + std::to_string(i);
    link.kind = *rc::gen::element(LinkKind::kPipe, LinkKind::kCheck, LinkKind::kPump, LinkKind::kReducing,
                                  LinkKind::kSustaining, LinkKind::kLimiting, LinkKind::kClosed);
    link.from = any_node();
    link.to = any_node();
    link.length_m = AnySourced().value_or(Sourced<double>{});
    link.inner_diameter_m = AnySourced();
    link.roughness = AnySourced();
    link.setting = Maybe();
    link.bulk_per_day = Maybe();
    if (*rc::gen::arbitrary<bool>()) link.pump = PumpCurve{AnyNumber(), AnyNumber(), AnyNumber()};
    if (*rc::gen::arbitrary<bool>()) link.main = FeatureKey{"m", *rc::gen::arbitrary<std::string>()};
    if (*rc::gen::arbitrary<bool>()) link.line = {{AnyNumber(), AnyNumber()}, {AnyNumber(), AnyNumber()}};
    if (*rc::gen::arbitrary<bool>()) {
      network.connections.push_back({LinkIndex{static_cast<uint32_t>(i)},
                                     AnyNumber(),
                                     3,
                                     AnySourced().value_or(Sourced<double>{}),
                                     {"s", "1"}});
    }
  }
  for (int i = *rc::gen::inRange(0, 3); i-- > 0;) {
    network.patterns.push_back({"p" + std::to_string(i), {AnyNumber(), AnyNumber()}});
    network.runs.push_back({any_node(), AnyNumber(), AnyNumber(), Maybe(), Maybe(), Maybe()});
  }
  for (int i = network.links.empty() ? 0 : *rc::gen::inRange(0, 3); i-- > 0;) {
    LinkRule rule{LinkIndex{static_cast<uint32_t>(i) % static_cast<uint32_t>(network.links.size())},
                  *rc::gen::arbitrary<bool>(),
                  {},
                  Maybe(),
                  Maybe(),
                  Maybe()};
    if (*rc::gen::arbitrary<bool>()) rule.tank = any_node();
    network.rules.push_back(rule);
  }
  network.options.wall_m_per_day = AnyNumber();
  if (*rc::gen::arbitrary<bool>()) network.options.short_pressure = ShortPressure{AnyNumber(), AnyNumber()};
  if (*rc::gen::arbitrary<bool>()) {
    network.options.two_reactants =
        TwoReactants{AnyNumber(), AnyNumber(), AnyNumber(), AnyNumber(), AnyNumber(), AnyNumber()};
  }
  return network;
}

TEST_F(ProjectFile, AnyNetworkReadsBackAsItWasPut) {
  Project project = New();
  EXPECT_TRUE(rc::check([&] {
    const Network network = AnyNetwork();
    RC_ASSERT(project.PutNetwork(network, "map").ok());
    RC_ASSERT(**project.LoadNetwork() == network);
  }));
}

// The size of a large town. COST in project.h: 10 s each way; observed on two shared cores a third of that.
TEST_F(ProjectFile, AHundredThousandLinksGoInAndComeBackTheSame) {
  Project project = New();
  const Network town = FullNetwork();
  Network network;
  for (uint32_t i = 0; i < 100000; ++i) {
    network.nodes.push_back(town.nodes[1]);
    network.nodes.back().id = "N" + std::to_string(i);
    network.links.push_back(town.links[0]);
    network.links.back().id = "P" + std::to_string(i);
    network.links.back().from = NodeIndex{i};
    network.links.back().to = NodeIndex{i / 2};
    network.links.back().line.resize(10, {-94.1, 38.1});
    network.connections.push_back({LinkIndex{i}, 1.5, 1, {1e-5, {}}, {"meters.gpkg", std::to_string(i)}});
  }
  ASSERT_TRUE(project.PutNetwork(network, "map").ok());
  EXPECT_EQ(**project.LoadNetwork(), network);
}

}  // namespace
}  // namespace lastreach
