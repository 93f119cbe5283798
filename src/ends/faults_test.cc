#include "ends/faults.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "map/test_network.h"

namespace lastreach {
namespace {

using testing::Each;
using testing::HasSubstr;
using testing::IsEmpty;

// All with an elevation, so that only what the test is about is a fault.
TestNetwork Levelled(const std::string& drawing) {
  TestNetwork network(drawing);
  for (Node& node : network.nodes) node.elevation_m = Sourced<double>{100, {}};
  return network;
}

MapRecords RecordsOf(const Network& network) {
  MapRecords records;
  records.quiet_places = FindQuietPlaces(network);
  return records;
}

std::vector<std::string> Kinds(const std::vector<Fault>& faults) {
  std::vector<std::string> kinds;
  for (const Fault& fault : faults) kinds.emplace_back(ToText(fault.kind));
  return kinds;
}

Fault Only(const Network& network, const MapRecords& records, FaultKind kind) {
  std::vector<Fault> found;
  for (const Fault& fault : FindFaults(network, records)) {
    if (fault.kind == kind) found.push_back(fault);
  }
  EXPECT_EQ(found.size(), 1u) << ToText(kind);
  return found.empty() ? Fault{} : found.front();
}

constexpr const char* kSound = R"(
    source S 0 0
    junction A 100 0
    junction B 100 100
    pipe S-A 200
    pipe A-B 150
    house A-B 50 1
)";

TEST(Faults, ASoundMapHasNone) {
  const TestNetwork network = Levelled(kSound);
  EXPECT_THAT(FindFaults(network, RecordsOf(network)), IsEmpty());
}

TEST(Faults, AnIslandIsToldByItsServicesAndItsGapToTheFedPart) {
  const TestNetwork network = Levelled(std::string(kSound) + R"(
    junction C 103 50
    junction D 300 50
    pipe C-D 150 Elm Street
    house C-D 20 1
    house C-D 40 1)");
  const Fault island = Only(network, RecordsOf(network), FaultKind::kIsland);
  EXPECT_THAT(island.effect, HasSubstr("2 services, 197 m of main lie behind a 3.0 m gap"));
  ASSERT_TRUE(island.at);
  EXPECT_NEAR(Distance_m(NetworkPlane().To(*island.at), {103, 50}), 0, 0.01);
}

TEST(Faults, AnIslandNamesTheRepairThatWouldJoinIt) {
  const TestNetwork network = Levelled(std::string(kSound) + R"(
    junction C 103 50
    junction D 300 50
    pipe C-D 150)");
  MapRecords records = RecordsOf(network);
  Repair repair;
  repair.id = "R0007";
  repair.at = NetworkPlane().From({103, 50});
  repair.other = NetworkPlane().From({100, 50});
  records.repairs = {repair};
  EXPECT_THAT(Only(network, records, FaultKind::kIsland).mend, HasSubstr("R0007"));
  EXPECT_THAT(Kinds(FindFaults(network, records)), testing::Not(testing::Contains("offered repair")));
}

TEST(Faults, AShutValveThatCutsAPartOffIsToldAsSuch) {
  const TestNetwork network = Levelled(std::string(kSound) + R"(
    junction C 100 100
    junction D 100 200
    closed B-C 150
    pipe C-D 150
    house C-D 20 1)");
  EXPECT_THAT(Only(network, RecordsOf(network), FaultKind::kShutIn).effect,
              HasSubstr("1 service, 100 m of main lie behind the shut valve B-C"));
}

TEST(Faults, TheLargerIslandComesFirst) {
  const TestNetwork network = Levelled(std::string(kSound) + R"(
    junction C 300 0
    junction D 300 50
    junction E 400 0
    junction F 400 300
    pipe C-D 150
    pipe E-F 150)");
  const std::vector<Fault> faults = FindFaults(network, RecordsOf(network));
  ASSERT_GE(faults.size(), 2u);
  EXPECT_THAT(faults[0].effect, HasSubstr("300 m"));
  EXPECT_THAT(faults[1].effect, HasSubstr("50 m"));
  EXPECT_GT(faults[0].severity, faults[1].severity);
}

TEST(Faults, AMapWithoutASourceSaysSoAndItsLargestPartIsNoIsland) {
  const TestNetwork network = Levelled(R"(
    junction A 0 0
    junction B 300 0
    junction C 0 50
    junction D 100 50
    pipe A-B 200
    pipe C-D 200)");
  EXPECT_THAT(Kinds(FindFaults(network, RecordsOf(network))),
              testing::UnorderedElementsAre("no source", "island"));
}

TEST(Faults, RepairsNobodyDecidedAreWeighedByWhatLiesBeyond) {
  const TestNetwork network = Levelled(R"(
    source S 0 0
    junction A 100 0
    junction B 200 0
    junction C 300 0
    pipe S-A 200
    pipe A-B 150
    pipe B-C 150
    house A-B 50 1
    house A-B 60 1
    house B-C 50 1)");
  Repair near;
  near.id = "R0001";
  near.made = true;
  near.confidence = 0.4;
  near.at = near.other = NetworkPlane().From({100, 0});
  Repair far = near;
  far.id = "R0002";
  far.at = far.other = NetworkPlane().From({200, 0});
  Repair sure = near;
  sure.id = "R0003";
  sure.confidence = 0.95;
  Repair decided = near;
  decided.id = "R0004";
  decided.decision = Decision::kAccepted;
  MapRecords records = RecordsOf(network);
  records.repairs = {far, near, sure, decided};
  const std::vector<Fault> faults = FindFaults(network, records);
  ASSERT_EQ(faults.size(), 2u);
  EXPECT_THAT(faults[0].mend, HasSubstr("R0001"));
  EXPECT_THAT(faults[1].mend, HasSubstr("R0002"));
}

TEST(Faults, CrossingsThatArePlainlyBridgesAreOneFault) {
  const TestNetwork network = Levelled(kSound);
  Repair bridge;
  bridge.kind = RepairKind::kCrossing;
  bridge.id = "R0001";
  bridge.confidence = 0.05;
  bridge.at = bridge.other = NetworkPlane().From({50, 0});
  Repair likelier = bridge;
  likelier.id = "R0002";
  likelier.confidence = 0.15;
  Repair doubtful = bridge;
  doubtful.id = "R0003";
  doubtful.confidence = 0.4;
  Repair refused = bridge;
  refused.decision = Decision::kRefused;
  MapRecords records = RecordsOf(network);
  records.repairs = {bridge, likelier, doubtful, refused};
  EXPECT_THAT(Kinds(FindFaults(network, records)), testing::ElementsAre("offered repair", "bridges"));
  const Fault fault = Only(network, records, FaultKind::kBridges);
  EXPECT_THAT(fault.effect, HasSubstr("2 plain crossings are taken for bridges"));
  EXPECT_EQ(fault.where, "R0002");
  EXPECT_EQ(fault.features.size(), 4u);
}

// A street with six side streets 200 m apart, and a line drawn over them.
struct LineOverStreets {
  TestNetwork network;
  MapRecords records;
};

LineOverStreets DrawnOver(double to_x_m) {
  std::string drawing = "source S0 0 0\n";
  for (int i = 1; i <= 6; ++i) {
    const std::string n = std::to_string(i);
    const std::string x = std::to_string(200 * i);
    drawing += "junction S" + n + " " + x + " 0\njunction T" + n + " " + x + " 100\npipe S" +
               std::to_string(i - 1) + "-S" + n + " 200\npipe S" + n + "-T" + n + " 150\n";
  }
  LineOverStreets over{Levelled(drawing), {}};
  for (Link& link : over.network.links) link.main = FeatureKey{"mains", link.id};
  over.records = RecordsOf(over.network);
  DrawnMain line;
  line.key = {"mains", "trial"};
  line.line = {NetworkPlane().From({150, 50}), NetworkPlane().From({to_x_m, 51})};
  over.records.drawing.mains = {line};
  return over;
}

TEST(Faults, ALongStraightLineOverManyMainsMayBeNone) {
  const LineOverStreets over = DrawnOver(1250);
  const Fault fault = Only(over.network, over.records, FaultKind::kMaybeNoMain);
  EXPECT_THAT(fault.effect, HasSubstr("1.1 km dead straight over 6 other mains without a joint"));
  EXPECT_EQ(fault.features, (std::vector<FeatureKey>{{"mains", "trial"}}));
}

TEST(Faults, AShorterABentAndATrunkLineAreNotDoubted) {
  const auto is_doubted = [](const LineOverStreets& over) {
    const std::vector<std::string> kinds = Kinds(FindFaults(over.network, over.records));
    return std::find(kinds.begin(), kinds.end(), "may be no main") != kinds.end();
  };
  EXPECT_TRUE(is_doubted(DrawnOver(1250)));
  EXPECT_FALSE(is_doubted(DrawnOver(1140)));  // 990 m
  LineOverStreets bent = DrawnOver(1250);
  auto& line = bent.records.drawing.mains[0].line;
  line.insert(line.begin() + 1, NetworkPlane().From({700, 60}));
  EXPECT_FALSE(is_doubted(bent));
  LineOverStreets trunk = DrawnOver(1250);
  trunk.records.drawing.mains[0].diameter = Sourced<Diameter>{Diameter::Millimetres(400), {}};
  EXPECT_FALSE(is_doubted(trunk));
}

TEST(Faults, LinesSetAsideAreToldByReason) {
  const TestNetwork network = Levelled(kSound);
  MapRecords records = RecordsOf(network);
  records.set_aside = {{{"mains", "1"}, "far from all others", 10, {}},
                       {{"mains", "2"}, "far from all others", 500, Position{1, 2}},
                       {{"mains", "3"}, "has no length", 0, {}}};
  const std::vector<Fault> faults = FindFaults(network, records);
  ASSERT_EQ(faults.size(), 2u);
  EXPECT_THAT(faults[0].effect, HasSubstr("2 lines, 510 m, take no part: far from all others"));
  EXPECT_EQ(faults[0].at, (Position{1, 2}));
}

TEST(Faults, WhereHardlyAnyMainHasAWidthThatIsOneFault) {
  const TestNetwork network = Levelled(R"(
    source S 0 0
    junction A 100 0
    junction B 200 0
    pipe S-A 0 Elm Street
    pipe A-B 0 Elm Street
    house S-A 50 1)");
  const Fault fault = Only(network, RecordsOf(network), FaultKind::kUnknownWidth);
  EXPECT_THAT(fault.effect, HasSubstr("200 m of 200 m"));
  EXPECT_NEAR(fault.severity, 0.5, 1e-9);
}

TEST(Faults, AWidthNobodyKnowsCountsOnTheWayToAnEnd) {
  const TestNetwork network = Levelled(R"(
    source S 0 0
    junction R 0 100
    junction A 100 0
    pipe S-R 150 Oak Street
    house S-R 50 1
    pipe S-A 0 Elm Street
    house S-A 50 1)");
  const Fault fault = Only(network, RecordsOf(network), FaultKind::kUnknownWidth);
  EXPECT_THAT(fault.effect, HasSubstr("100 m"));
  EXPECT_EQ(fault.where, "Elm Street");
}

// 150 written where inches are meant is 150 in; 6 where millimetres are meant is 6 mm.
TEST(Faults, AWidthInTheWrongUnitIsToldWithTheRightOne) {
  TestNetwork network = Levelled(kSound);
  network.links[1].inner_diameter_m->value = 150 * 0.0254;
  EXPECT_THAT(Only(network, RecordsOf(network), FaultKind::kOddWidth).mend, HasSubstr("150 mm"));
  network.links[1].inner_diameter_m->value = 0.006;
  EXPECT_THAT(Only(network, RecordsOf(network), FaultKind::kOddWidth).mend, HasSubstr("152 mm (6.0 in)"));
}

DrawnMain Main(const std::string& key, double drawn_m, double written_m) {
  DrawnMain main;
  main.key = {"mains", key};
  main.line = {NetworkPlane().From({0, 0}), NetworkPlane().From({drawn_m, 0})};
  main.written_length = Length::Metres(written_m);
  return main;
}

TEST(Faults, WrittenLengthsInFeetAreOneFaultAndOddOnesAreEach) {
  const TestNetwork network = Levelled(kSound);
  MapRecords records = RecordsOf(network);
  records.drawing.mains = {Main("1", 100, 328.1), Main("2", 50, 164), Main("3", 80, 262)};
  EXPECT_THAT(Only(network, records, FaultKind::kOddLength).effect, HasSubstr("3.28 times"));
  records.drawing.mains = {Main("1", 100, 101), Main("2", 50, 49), Main("3", 80, 82), Main("4", 80, 200),
                           Main("5", 3, 5)};
  EXPECT_THAT(Only(network, records, FaultKind::kOddLength).effect,
              HasSubstr("written as 200 m but drawn 80 m"));
}

TEST(Faults, ElevationsMissingAreOneFaultAndOddOnesAreEach) {
  TestNetwork network = Levelled(kSound);
  network.nodes[1].elevation_m.reset();
  EXPECT_THAT(Only(network, RecordsOf(network), FaultKind::kNoElevation).effect,
              HasSubstr("1 node of 3 without an elevation"));
  network = Levelled(kSound);
  network.nodes[2].elevation_m->value = -9999;
  EXPECT_EQ(Only(network, RecordsOf(network), FaultKind::kOddElevation).where, "node B");
}

TEST(Faults, ServicesNoMainServesAreToldTogetherWhereTheyStand) {
  const TestNetwork network = Levelled(kSound);
  MapRecords records = RecordsOf(network);
  const auto service = [](const std::string& key, double x_m, double y_m) {
    DrawnService drawn;
    drawn.key = {"services", key};
    drawn.at = NetworkPlane().From({x_m, y_m});
    return drawn;
  };
  records.drawing.services = {service("1", 600, 600), service("2", 610, 620), service("3", 3000, 0)};
  std::vector<std::string> effects;
  for (const Fault& fault : FindFaults(network, records)) effects.push_back(fault.effect);
  EXPECT_THAT(effects, testing::UnorderedElementsAre(HasSubstr("2 services stand where no main serves them"),
                                                     HasSubstr("1 service stand")));
}

TEST(Faults, ASourceFarFromTheMainsOutweighsAHydrant) {
  const TestNetwork network = Levelled(kSound);
  MapRecords records = RecordsOf(network);
  DrawnThing hydrant;
  hydrant.key = {"hydrants", "9"};
  hydrant.kind = ThingKind::kHydrant;
  hydrant.at = NetworkPlane().From({100, 300});
  DrawnThing source = hydrant;
  source.kind = ThingKind::kSource;
  source.name = "North well";
  DrawnThing near = hydrant;
  near.at = NetworkPlane().From({50, 3});
  records.drawing.things = {hydrant, source, near};
  const std::vector<Fault> faults = FindFaults(network, records);
  ASSERT_EQ(faults.size(), 2u);
  EXPECT_THAT(faults[0].effect, HasSubstr("the source North well stands 200 m from the nearest main"));
}

TEST(Faults, AMainDrawnTwiceIsToldOnce) {
  const TestNetwork network = Levelled(std::string(kSound) + R"(
    junction C 100.5 5
    junction D 100.5 95
    pipe C-D 150
    pipe A-C 150
    pipe B-D 150)");
  EXPECT_THAT(Only(network, RecordsOf(network), FaultKind::kDoubledMain).effect, HasSubstr("90 m of main"));
}

TEST(Faults, EachHasAMendAndASeverityBetweenNoneAndAll) {
  TestNetwork network(std::string(kSound) + R"(
    junction C 103 50
    junction D 300 50
    junction E 96 50
    junction F 20 50
    pipe C-D 0
    pipe E-F 150)");
  network.links[0].inner_diameter_m->value = 5;
  const std::vector<Fault> faults = FindFaults(network, RecordsOf(network));
  EXPECT_GE(faults.size(), 4u);
  double before = 1;
  for (const Fault& fault : faults) {
    EXPECT_FALSE(fault.mend.empty());
    EXPECT_FALSE(fault.effect.empty());
    EXPECT_TRUE(fault.at || !fault.where.empty()) << fault.effect;
    EXPECT_GE(fault.severity, 0);
    EXPECT_LE(fault.severity, before);
    before = fault.severity;
  }
}

}  // namespace
}  // namespace lastreach
