#include "town/map_lines.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "town/town_lines.h"
#include "town/true_network.h"

namespace lastreach {
namespace {

bool IsListedNear(const MainsAsDrawn& drawn, TownPoint at, double within_m) {
  return std::any_of(drawn.faults.begin(), drawn.faults.end(), [&](const MapFault& fault) {
    return fault.kind != "diameter unknown" && fault.kind != "material unknown" &&
           Distance_m(fault.at, at) < within_m;
  });
}

// Brute force over every joint and every line of the street that should reach it.
TEST(MapLines, EveryStreetReachesItsJointsButWhereAFaultIsListed) {
  constexpr double kLongestGap_m = 3.1;
  const MainsAsDrawn drawn = DrawMains();
  const TrueNetwork& network = TheTrueNetwork();
  int missed = 0;
  for (const TruePipe& pipe : network.pipes) {
    for (const size_t node : {pipe.from, pipe.to}) {
      const TownPoint at = network.nodes[node].at;
      const bool reached = std::any_of(drawn.lines.begin(), drawn.lines.end(), [&](const MapLine& line) {
        return line.street == StreetPlan()[pipe.street].name &&
               std::any_of(line.parts.begin(), line.parts.end(),
                           [&](const auto& part) { return Distance_m(at, part) < 1e-3; });
      });
      if (reached) continue;
      ++missed;
      EXPECT_TRUE(IsListedNear(drawn, at, kLongestGap_m)) << StreetPlan()[pipe.street].name;
    }
  }
  EXPECT_GT(missed, 15);
}

TEST(MapLines, NoVertexLiesOffItsStreetButWhereAFaultIsListed) {
  const MainsAsDrawn drawn = DrawMains();
  for (const MapLine& line : drawn.lines) {
    if (line.status != "active" || line.contents != "drinking water") continue;
    for (const std::vector<TownPoint>& part : line.parts) {
      for (const TownPoint point : part) {
        const bool on_street =
            std::any_of(StreetPlan().begin(), StreetPlan().end(), [&](const PlannedStreet& street) {
              return street.name == line.street && Distance_m(point, street.line) < 1e-3;
            });
        EXPECT_TRUE(on_street || IsListedNear(drawn, point, 0.01)) << line.id;
      }
    }
  }
}

TEST(MapLines, MostRunOnThroughTheirTees) {
  const MainsAsDrawn drawn = DrawMains();
  // Were each pipe from joint to joint a line, there would be as many lines as pipes.
  EXPECT_LT(drawn.lines.size(), 0.7 * static_cast<double>(TheTrueNetwork().pipes.size()));
}

TEST(MapLines, EachHasItsOwnId) {
  std::vector<std::string> ids;
  for (const MapLine& line : DrawMains().lines) ids.push_back(line.id);
  std::sort(ids.begin(), ids.end());
  EXPECT_EQ(std::adjacent_find(ids.begin(), ids.end()), ids.end());
}

}  // namespace
}  // namespace lastreach
