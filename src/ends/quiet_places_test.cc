#include "ends/quiet_places.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "map/test_network.h"

namespace lastreach {
namespace {

using testing::AllOf;
using testing::ElementsAre;
using testing::Field;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::UnorderedElementsAre;

constexpr double kM3PerDay = 1.0 / 86400;
constexpr double kPi = 3.14159265358979323846;

// "A: dead end", in order of rank; a null point has its link's name.
std::vector<std::string> Told(const TestNetwork& network, const EndOptions& options = {}) {
  std::vector<std::string> told;
  for (const QuietPlace& place : FindQuietPlaces(network, options)) {
    told.push_back((place.node ? network[*place.node].id : network[place.reach.back().link].id) + ": " +
                   std::string(ToText(place.kind)));
  }
  return told;
}

QuietPlace PlaceOf(const TestNetwork& network, const std::string& id, const EndOptions& options = {}) {
  for (const QuietPlace& place : FindQuietPlaces(network, options)) {
    if (place.node == network.Named(id)) return place;
  }
  ADD_FAILURE() << "no place at " << id;
  return {};
}

// A loop S-A-B-C fed at S, with a branch B-D-E.
constexpr const char* kLoopWithABranch = R"(
    source S 0 0
    junction A 100 0
    junction B 100 100
    junction C 0 100
    junction D 200 100
    junction E 300 100
    pipe S-A 200
    pipe A-B 200 Elm Street
    pipe B-C 200
    pipe C-S 200
    pipe B-D 150
    pipe D-E 150 Oak Street
    house A-B 50 20
    house B-D 50 1
    house D-E 40 1
)";

TEST(Ends, TheReachGoesBackToTheLoopItHangsOn) {
  const TestNetwork network(kLoopWithABranch);
  const QuietPlace place = PlaceOf(network, "E");
  EXPECT_EQ(place.kind, QuietKind::kDeadEnd);
  EXPECT_EQ(place.street, "Oak Street");
  EXPECT_THAT(place.reach, ElementsAre(Field(&ReachPiece::link, network.Between("B-D")),
                                       Field(&ReachPiece::link, network.Between("D-E"))));
  EXPECT_NEAR(place.length_m, 200, 1e-3);
  EXPECT_NEAR(place.volume_m3, kPi / 4 * 0.15 * 0.15 * 200, 1e-4);
  EXPECT_EQ(place.services, 2);
  EXPECT_EQ(place.services_beyond, 0);
  EXPECT_NEAR(place.demand_m3_per_s, 2 * kM3PerDay, 1e-15);
  EXPECT_NEAR(place.tail_m, 60, 1e-3);
  EXPECT_NEAR(place.tail_m3, kPi / 4 * 0.15 * 0.15 * 60, 1e-4);
  // 50 m at 2 m3/d, then 90 m at 1 m3/d.
  EXPECT_NEAR(*place.days_to_last_customer, kPi / 4 * 0.15 * 0.15 * (50 / 2.0 + 90 / 1.0), 1e-4);
}

TEST(Ends, SaysWhatFeedsIt) {
  TestNetwork network(R"(
    tank Hilltop 0 0
    junction B 500 0
    junction C 500 100
    junction D 600 0
    pipe Hilltop-B 203.2 Elm Street
    pipe B-C 100
    pipe B-D 150
    house B-C 10 1
    house B-D 10 60)");
  EXPECT_EQ(PlaceOf(network, "C").fed_by, "203 mm (8 in) main in Elm Street, from tank Hilltop");
}

// 100 houses' water, 61 m3/d, in 203 mm covers 1,880 m a day.
TEST(Ends, AMainThatIsFastIsWellFedUnlessTheBranchTakesMostOfIt) {
  const TestNetwork network(R"(
    source S 0 0
    junction A 500 0
    junction B 500 100
    junction C 600 0
    pipe S-A 203.2
    pipe A-B 100
    pipe A-C 100
    house A-B 10 1
    house A-C 10 60)");
  EXPECT_NEAR(PlaceOf(network, "B").length_m, 100, 1e-3);
  EXPECT_NEAR(PlaceOf(network, "C").length_m, 600, 1e-3);
  EndOptions slow;
  slow.fast_m_per_day = 5000;
  EXPECT_NEAR(PlaceOf(network, "B", slow).length_m, 600, 1e-3);
}

TEST(Ends, AStubPastTheLastServiceIsToldApart) {
  const TestNetwork network(R"(
    source S 0 0
    junction A 100 0
    junction B 200 0
    junction C 100 50
    junction D 300 0
    pipe S-A 200
    pipe A-B 150
    pipe A-C 150
    pipe B-D 150
    house A-B 90 1)");
  EXPECT_THAT(Told(network), UnorderedElementsAre("D: dead end", "C: stub"));
  EXPECT_NEAR(PlaceOf(network, "D").tail_m, 110, 1e-3);
  // The customers of the other branch are beyond, where the main from the source forks.
  const QuietPlace stub = PlaceOf(network, "C");
  EXPECT_EQ(stub.services, 0);
  EXPECT_EQ(stub.services_beyond, 1);
  EXPECT_NEAR(stub.tail_m, 50, 1e-3);
}

TEST(Ends, AFewMetresToAHydrantAreNoMain) {
  const TestNetwork network(R"(
    source S 0 0
    junction A 100 0
    junction H 100 8 hydrant
    junction B 200 0
    pipe S-A 200
    pipe A-H 150
    pipe A-B 150
    house A-B 90 1)");
  EXPECT_THAT(Told(network), ElementsAre("B: dead end", "H: hydrant lead"));
  EndOptions shorter;
  shorter.hydrant_lead_m = 5;
  EXPECT_THAT(Told(network, shorter), ElementsAre("B: dead end", "H: stub"));
}

TEST(Ends, AMainThatEndsInTwoHydrantsEndsWhereTheyFork) {
  const TestNetwork network(R"(
    source S 0 0
    junction A 100 0
    junction H 100 8 hydrant
    junction G 100 -8 hydrant
    pipe S-A 200
    pipe A-H 150
    pipe A-G 150
    house S-A 90 1)");
  EXPECT_THAT(Told(network), UnorderedElementsAre("A: dead end", "H: hydrant lead", "G: hydrant lead"));
  EXPECT_EQ(PlaceOf(network, "A").outlet, "hydrant");
}

TEST(Ends, AHydrantAtTheEndOrABlowOffJustBeforeItIsTheOutlet) {
  const TestNetwork network(R"(
    source S 0 0
    junction A 100 0 hydrant
    junction B -90 0 blow-off
    junction C -100 0
    junction D 0 90
    pipe S-A 200
    pipe S-B 200
    pipe B-C 200
    pipe S-D 200)");
  EXPECT_EQ(PlaceOf(network, "A").outlet, "hydrant");
  EXPECT_EQ(PlaceOf(network, "C").outlet, "blow-off");
  EXPECT_EQ(PlaceOf(network, "D").outlet, "");
}

TEST(Ends, AShutValveMakesAnEndOnEitherSide) {
  const TestNetwork network(R"(
    source S 0 0
    junction A 100 0
    junction V 200 0
    junction W 200 0
    junction B 300 0
    source T 400 0
    pipe S-A 200
    pipe A-V 200
    closed V-W 200
    pipe W-B 200
    pipe B-T 200
    house A-V 50 1
    house W-B 50 1)");
  EXPECT_THAT(Told(network), UnorderedElementsAre("V: shut valve", "W: shut valve"));
}

TEST(Ends, AnEndCloseToAMainItIsNotJoinedToMayBeAGap) {
  const std::string drawing = R"(
    source S 0 0
    junction A 100 0
    junction B 100 200
    junction C 0 200
    junction D 4 100 %
    pipe S-A 200
    pipe A-B 200
    pipe B-C 200
    pipe S-C 200 Oak Street
    junction M 100 100
    pipe A-M 200
    pipe M-D 100
    house M-D 50 1)";
  const auto with = [&](const char* thing) {
    std::string text = drawing;
    return TestNetwork(text.replace(text.find('%'), 1, thing));
  };
  const QuietPlace place = PlaceOf(with(""), "D");
  EXPECT_EQ(place.kind, QuietKind::kMaybeGap);
  EXPECT_THAT(place.notes,
              testing::Contains("ends 4.0 m from the 200 mm (8 in) main in Oak Street, not joined "
                                "there: perhaps only the drawing stops"));
  EXPECT_EQ(PlaceOf(with("blow-off"), "D").kind, QuietKind::kDeadEnd);
  EndOptions nearer;
  nearer.gap_look_m = 3;
  EXPECT_EQ(PlaceOf(with(""), "D", nearer).kind, QuietKind::kDeadEnd);
}

TEST(Ends, AShortPieceOffAMainIsNoGapFromIt) {
  const TestNetwork network(R"(
    source S 0 0
    junction A 100 0
    junction B 100 6
    junction C 200 0
    pipe S-A 200
    pipe A-B 200
    pipe A-C 200
    house A-C 90 1)");
  EXPECT_EQ(PlaceOf(network, "B").kind, QuietKind::kStub);
}

TEST(Ends, WhereNoCustomerIsKnownNoEndIsCalledAStub) {
  EXPECT_THAT(Told(TestNetwork("source S 0 0\njunction A 100 0\npipe S-A 200\n")),
              ElementsAre("A: dead end"));
}

// One house beyond a long way round each side: both arms are slow.
TEST(Ends, WaterThatMeetsInAQuietLoopIsTold) {
  const TestNetwork network(R"(
    source S 0 0
    junction A 400 0
    junction B 400 400
    junction C 0 400
    pipe S-A 200
    pipe A-B 200
    pipe B-C 200
    pipe C-S 200
    house S-A 10 500
    house A-B 200 1
    house C-S 300 1)");
  const std::vector<QuietPlace> places = FindQuietPlaces(network);
  ASSERT_EQ(places.size(), 1u);
  const QuietPlace& place = places[0];
  EXPECT_EQ(place.kind, QuietKind::kNullPoint);
  EXPECT_FALSE(place.node);
  // The two ways are equally long at B, 800 m from the source either way.
  EXPECT_NEAR(Distance_m(NetworkPlane().To(place.at), {400, 400}), 0, 1e-3);
  EXPECT_EQ(place.services, 3);
  EXPECT_NEAR(place.volume_m3, kPi / 4 * 0.04 * 1600, 1e-3);
  EXPECT_NEAR(place.tail_m, 200 + 700, 1e-2);
  // Slower is the arm by A: 10 m at 501 m3/d, 590 m at 1 m3/d. The other: 100 m at 1 m3/d.
  EXPECT_NEAR(*place.days_to_last_customer, kPi / 4 * 0.04 * (10 / 501.0 + 590 / 1.0), 1e-3);
  ASSERT_LT(FirstArm(place), place.reach.size());
  EXPECT_EQ(place.reach[0].link, network.Between("S-A"));
  EXPECT_EQ(place.reach[FirstArm(place)].link, network.Between("C-S"));
}

TEST(Ends, WhereNothingIsKnownToBeDrawnNoMeetingPlaceIsTold) {
  const TestNetwork network(R"(
    source S 0 0
    junction A 400 0
    junction B 400 400
    pipe S-A 200
    pipe A-B 200
    pipe B-S 200)");
  EXPECT_THAT(Told(network), IsEmpty());
}

TEST(Ends, ALoopThatCustomersKeepMovingIsNotTold) {
  std::string drawing = R"(
    source S 0 0
    junction A 100 0
    junction B 100 100
    junction C 0 100
    pipe S-A 150
    pipe A-B 150
    pipe B-C 150
    pipe C-S 150
)";
  for (const char* link : {"S-A", "A-B", "B-C", "C-S"}) {
    for (int k = 10; k <= 90; k += 20)
      drawing += "house " + std::string(link) + " " + std::to_string(k) + " 2\n";
  }
  EXPECT_THAT(Told(TestNetwork(drawing)), IsEmpty());
}

// B and F wait equally long; more water stands at B.
TEST(Ends, RankPutsTheOldestWaterOfCustomersFirstAndHydrantsLast) {
  const TestNetwork network(R"(
    source S 0 0
    junction A 100 0
    junction B 100 500
    junction C 100 -200
    junction D 200 0
    junction H 100 -209 hydrant
    junction F 150 -200
    pipe S-A 300
    pipe A-B 150
    pipe A-C 150
    pipe A-D 300
    pipe C-H 150
    pipe C-F 150
    house A-B 100 1
    house A-C 100 1
    house A-D 50 400
    house S-A 50 400)");
  EXPECT_THAT(Told(network), ElementsAre("B: dead end", "F: dead end", "D: dead end", "H: hydrant lead"));
}

TEST(Ends, APartThatNothingFeedsSaysSo) {
  const TestNetwork network(R"(
    junction A 0 0
    junction B 100 0
    junction C 200 0
    pipe A-B 200
    pipe B-C 150
    house B-C 50 1)");
  EXPECT_THAT(PlaceOf(network, "C").notes,
              testing::Contains(HasSubstr("nothing on the map feeds this part")));
  EXPECT_FALSE(PlaceOf(network, "C").days_from_source);
  EXPECT_EQ(FindQuietPlaces(network).size(), 2u);
}

TEST(Ends, OfAPlainTableWhateverDrawsWaterIsACustomer) {
  const TestNetwork network(R"(
    source S 0 0
    junction A 100 0
    junction B 200 0
    pipe S-A 100
    pipe A-B 100
    draw A 2)");
  const QuietPlace place = PlaceOf(network, "B");
  EXPECT_NEAR(place.tail_m, 100, 1e-3);
  EXPECT_NEAR(*place.days_to_last_customer, kPi / 4 * 0.01 * 100 / 2, 1e-6);
  EXPECT_NEAR(*place.days_from_source, kPi / 4 * 0.01 * 100 / 2, 1e-6);
}

TEST(Ends, AnEmptyHouseAtTheEndDoesNotHideTheDaysOfTheOneBeforeIt) {
  const TestNetwork network(R"(
    source S 0 0
    junction A 100 0
    pipe S-A 100
    house S-A 50 2
    house S-A 90 0)");
  const QuietPlace place = PlaceOf(network, "A");
  EXPECT_NEAR(place.tail_m, 10, 1e-3);
  EXPECT_NEAR(*place.days_to_last_customer, kPi / 4 * 0.01 * 50 / 2, 1e-6);
  EXPECT_THAT(place.notes, testing::Contains(HasSubstr("draws nothing")));
}

// Three metres of main after a fitting, with its share of a demand spread by length: no customer is there.
TEST(Ends, DemandSpreadByLengthPutsNoCustomerOnTheLastMetres) {
  TestNetwork network(R"(
    source S 0 0
    junction A 100 0
    junction B 200 0
    junction C 203 0
    pipe S-A 150
    pipe A-B 150
    pipe B-C 150
    house S-A 50 2
    house A-B 50 2
    house B-C 1.5 0.06)");
  for (Connection& share : network.connections) share.count = 0;
  const QuietPlace place = PlaceOf(network, "C");
  EXPECT_NEAR(place.tail_m, 53, 1e-3);
  EXPECT_NEAR(*place.days_to_last_customer, kPi / 4 * 0.15 * 0.15 * (50 / 4.06 + 100 / 2.06), 1e-4);
}

// Uniform demand q along a main of volume V: the flow falls as q (1 - y), so that water reaches the share y
// of it after  t = V/q * -ln(1 - y)  (closed form). A thousand houses come within a thousandth of it.
TEST(Ends, DaysOfEvenDemandFollowTheLogarithm) {
  std::string drawing = "source S 0 0\njunction A 1000 0\npipe S-A 100\n";
  for (int k = 0; k < 900; ++k) drawing += "house S-A " + std::to_string(k + 0.5) + " 0.01\n";
  for (int k = 900; k < 1000; ++k) drawing += "house S-A 900 0.01\n";
  const QuietPlace place = PlaceOf(TestNetwork(drawing), "A");
  const double v_over_q = kPi / 4 * 0.01 * 1000 / 10;
  EXPECT_NEAR(*place.days_to_last_customer, v_over_q * -std::log(1 - 0.9), 1e-3 * v_over_q);
}

// --- against a slow oracle on random trees ---

}  // namespace
}  // namespace lastreach
