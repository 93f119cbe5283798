#include "app/reach_from_map.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "ends/quiet_places.h"
#include "map/test_network.h"

namespace lastreach {
namespace {

QuietPlace PlaceAt(const TestNetwork& network, const std::string& id) {
  for (const QuietPlace& place : FindQuietPlaces(network)) {
    if (place.node == network.Named(id)) return place;
  }
  ADD_FAILURE() << "no place at " << id;
  return {};
}

// 100 m of 150 mm and 100 m of 100 mm with a side branch between, the last house 40 m before the end.
constexpr const char* kReach = R"(
    source S 0 0
    junction A 100 0
    junction B 200 0
    junction C 100 50
    pipe S-A 150
    pipe A-B 100
    pipe A-C 100
    house S-A 50 1
    house A-B 20 1
    house A-B 60 2
    house A-C 10 3
)";

TEST(ReachFromMap, HoldsTheWaterCustomersAndUseOfThePlace) {
  const TestNetwork network(kReach);
  const QuietPlace place = PlaceAt(network, "B");
  const std::vector<ReachPipe> pipes = PipesOf(network, place);
  ASSERT_EQ(pipes.size(), 3u);
  EXPECT_NEAR(*VolumeOf_m3(pipes), place.volume_m3, 1e-9);
  double use_m3_per_day = 0;
  int services = 0;
  for (const ReachPipe& pipe : pipes) {
    services += pipe.services.value;
    if (pipe.demand) use_m3_per_day += pipe.demand->value.cubic_metres_per_day();
  }
  EXPECT_EQ(services, 3);
  EXPECT_NEAR(use_m3_per_day, 7, 1e-9);
  EXPECT_NEAR(pipes[0].demand->value.cubic_metres_per_day(), 4, 1e-9);  // with the side branch at its end
  EXPECT_NEAR(pipes[0].inner_diameter.value.millimetres(), 150, 1e-9);
}

TEST(ReachFromMap, NothingIsDrawnPastTheLastCustomer) {
  const std::vector<ReachPipe> pipes = PipesOf(TestNetwork(kReach), PlaceAt(TestNetwork(kReach), "B"));
  EXPECT_NEAR(pipes[1].length.value.metres(), 60, 1e-3);
  EXPECT_EQ(pipes[1].services.value, 2);
  EXPECT_NEAR(pipes[2].length.value.metres(), 40, 1e-3);
  EXPECT_EQ(pipes[2].services.value, 0);
  EXPECT_FALSE(pipes[2].demand);
}

TEST(ReachFromMap, NeighboursAlikeAreOnePipe) {
  const TestNetwork network(R"(
    source S 0 0
    junction A 100 0
    junction B 200 0
    pipe S-A 150
    pipe A-B 150
    house S-A 50 1
    house A-B 100 1)");
  const std::vector<ReachPipe> pipes = PipesOf(network, PlaceAt(network, "B"));
  ASSERT_EQ(pipes.size(), 1u);
  EXPECT_NEAR(pipes[0].length.value.metres(), 200, 1e-3);
  EXPECT_EQ(pipes[0].services.value, 2);
}

TEST(ReachFromMap, AWidthNobodyKnowsIsLeftForPlanningToAssume) {
  const TestNetwork network("source S 0 0\njunction A 100 0\npipe S-A 0\nhouse S-A 50 1\n");
  const std::vector<ReachPipe> pipes = PipesOf(network, PlaceAt(network, "A"));
  EXPECT_EQ(pipes[0].inner_diameter.value.metres(), 0);
  EXPECT_EQ(pipes[0].inner_diameter.origin.kind, OriginKind::kAssumed);
  EXPECT_EQ(pipes[0].length.origin.kind, OriginKind::kEstimated);
  EXPECT_FALSE(VolumeOf_m3(pipes));
}

TEST(ReachFromMap, APointStandsAtTheNearestDeadEndWithinFortyMetres) {
  const TestNetwork network(R"(
    source S 0 0
    junction A 100 0
    junction H 100 8 hydrant
    junction B 130 0
    junction C 100 -30
    pipe S-A 150
    pipe A-H 150
    pipe A-B 150
    pipe A-C 150)");
  const std::vector<QuietPlace> places = FindQuietPlaces(network);
  const auto near = [&](double x_m, double y_m) {
    const QuietPlace* place = PlaceNear(places, NetworkPlane().From({x_m, y_m}));
    return place == nullptr ? "none" : network[*place->node].id;
  };
  EXPECT_EQ(near(130, 5), "B");
  EXPECT_EQ(near(105, -30), "C");
  EXPECT_EQ(near(100, 9), "B");  // not the hydrant's own pipe
  EXPECT_EQ(near(130, 41), "none");
}

}  // namespace
}  // namespace lastreach
