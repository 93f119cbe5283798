#include "map/zones.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "map/hand_map.h"

namespace lastreach {
namespace {

DrawnArea Area(const std::string& name, std::vector<std::vector<Position>> rings) {
  DrawnArea area;
  area.name = name;
  area.polygons = {std::move(rings)};
  return area;
}
std::vector<Position> Square(double x_m, double y_m, double side_m) {
  return {Spot(x_m, y_m), Spot(x_m + side_m, y_m), Spot(x_m + side_m, y_m + side_m), Spot(x_m, y_m + side_m),
          Spot(x_m, y_m)};
}

// A polygon round a point holds a place if the angles its corners turn by, seen from there, add up to a whole
// turn.
bool IsInByTurning(const std::vector<Position>& ring, Position at) {
  double turned = 0;
  for (size_t i = 1; i < ring.size(); ++i) {
    const double ax = ring[i - 1].longitude_deg - at.longitude_deg,
                 ay = ring[i - 1].latitude_deg - at.latitude_deg;
    const double bx = ring[i].longitude_deg - at.longitude_deg, by = ring[i].latitude_deg - at.latitude_deg;
    turned += std::atan2(ax * by - ay * bx, ax * bx + ay * by);
  }
  return std::abs(turned) > 3;
}

TEST(Zones, APlaceIsInsideAsTheAnglesAddUp) {
  std::mt19937 random(8);
  std::uniform_real_distribution<double> anywhere(-1, 1);
  for (int trial = 0; trial < 50; ++trial) {
    std::vector<Position> ring;  // a star without crossings
    for (int i = 0; i < 12; ++i) {
      const double radius = 0.55 + 0.45 * anywhere(random);
      ring.push_back({radius * std::cos(i * 0.5236), radius * std::sin(i * 0.5236)});
    }
    ring.push_back(ring.front());
    const DrawnArea area = Area("star", {ring});
    for (int i = 0; i < 200; ++i) {
      const Position at{anywhere(random), anywhere(random)};
      EXPECT_EQ(IsIn(area, at), IsInByTurning(ring, at));
    }
  }
}

TEST(Zones, AHoleIsOutsideAndASecondPolygonInside) {
  DrawnArea area = Area("A", {Square(0, 0, 100), Square(40, 40, 20)});
  area.polygons.push_back({Square(200, 0, 10)});
  EXPECT_TRUE(IsIn(area, Spot(10, 10)));
  EXPECT_FALSE(IsIn(area, Spot(50, 50)));
  EXPECT_TRUE(IsIn(area, Spot(205, 5)));
  EXPECT_FALSE(IsIn(area, Spot(150, 5)));
}

TEST(Zones, GoToWhatHasNoneAndTheMainsOwnWordStays) {
  Network network =
      HandNetwork({{"A", 10, 10}, {"B", 90, 10}, {"C", 190, 10}, {"D", 900, 10}, {"E", 990, 10}},
                  {{"low", "A", "B"}, {"across", "B", "C"}, {"own", "C", "D"}, {"out", "D", "E"}});
  network.links[2].zone = "By hand";
  const ZoneSummary summary =
      GiveZones(network, {Area("Low", {Square(0, 0, 100)}), Area("High", {Square(100, 0, 100)})});
  EXPECT_EQ(network.links[0].zone, "Low");
  EXPECT_EQ(network.links[1].zone, "High");  // its middle is at 140 m
  EXPECT_EQ(network.links[2].zone, "By hand");
  EXPECT_EQ(network.links[3].zone, "");
  EXPECT_EQ(network.nodes[1].zone, "Low");
  EXPECT_EQ(network.nodes[3].zone, "By hand");  // in no area; its only link with a zone says so
  EXPECT_EQ(network.nodes[4].zone, "");
  EXPECT_EQ(summary.links_given, 2);
  EXPECT_EQ(summary.links_without, 1);
  EXPECT_EQ(summary.nodes_given, 4);
  EXPECT_EQ(summary.nodes_without, 1);
}

}  // namespace
}  // namespace lastreach
