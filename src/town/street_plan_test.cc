#include "town/street_plan.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>

#include "town/town_ends.h"
#include "town/town_lines.h"
#include "town/true_network.h"

namespace lastreach {
namespace {

double Plan_m(StreetKind kind) {
  double length_m = 0;
  for (const PlannedStreet& street : StreetPlan()) {
    if (street.kind == kind) length_m += LineLength_m(street.line);
  }
  return length_m;
}

TEST(StreetPlan, HoldsAboutAHundredAndEightyKilometresOfMains) {
  double length_m = 0;
  for (const PlannedStreet& street : StreetPlan()) length_m += LineLength_m(street.line);
  EXPECT_GT(length_m, 170e3);
  EXPECT_LT(length_m, 190e3);
}

TEST(StreetPlan, KeepsEveryStreetTheSheetsWereTypedFrom) {
  std::map<std::string, double> planned_m;
  for (const PlannedStreet& street : StreetPlan()) planned_m[street.name] += LineLength_m(street.line);
  // Eight hydrant leads bear the name of the street they stand on.
  for (const Street& street : Streets())
    EXPECT_NEAR(planned_m[street.name], LineLength_m(street.line), 5.001) << street.name;
  EXPECT_NEAR(Plan_m(StreetKind::kHydrantLead), 40, 1e-9);
}

// Brute force over every two stretches of different streets.
TEST(StreetPlan, StreetsCrossOnlyWhereTheyAreJoinedOrThePlantsMainPassesUnder) {
  const std::vector<PlannedStreet>& plan = StreetPlan();
  const TrueNetwork& network = TheTrueNetwork();
  int bridged = 0;
  for (size_t a = 0; a < plan.size(); ++a) {
    for (size_t b = 0; b < a; ++b) {
      for (size_t i = 1; i < plan[a].line.size(); ++i) {
        for (size_t j = 1; j < plan[b].line.size(); ++j) {
          const auto crossing =
              Crossing(plan[a].line[i - 1], plan[a].line[i], plan[b].line[j - 1], plan[b].line[j]);
          if (!crossing) continue;
          const bool joined = std::any_of(network.nodes.begin(), network.nodes.end(), [&](const TrueNode& n) {
            return Distance_m(n.at, *crossing) < 1e-3 && n.pipes > 1;
          });
          if (joined) continue;
          ++bridged;
          EXPECT_EQ(plan[std::max(a, b)].name, "Plant main") << plan[a].name << " x " << plan[b].name;
        }
      }
    }
  }
  EXPECT_EQ(bridged, kBridgedCrossings);
}

TEST(StreetPlan, StreetsThatDoNotMeetAreAtLeastTenMetresApart) {
  const std::vector<PlannedStreet>& plan = StreetPlan();
  for (size_t a = 0; a < plan.size(); ++a) {
    for (size_t b = 0; b < a; ++b) {
      if (plan[a].kind == StreetKind::kTransmission || plan[b].kind == StreetKind::kTransmission) continue;
      const double apart_m = Distance_m(plan[a].line, plan[b].line);
      if (apart_m > 1e-6) {
        EXPECT_GT(apart_m, 9.99) << plan[a].name << ", " << plan[b].name;
      }
    }
  }
}

TEST(StreetPlan, EveryStreetLiesInsideTheTownAndHasPipesAsLongAsItsLine) {
  for (const PlannedStreet& street : StreetPlan()) {
    EXPECT_FALSE(street.name.empty());
    EXPECT_GT(street.year_laid, 1930) << street.name;
    double pipes_m = 0;
    for (const TownPipe& pipe : street.pipes) pipes_m += pipe.length_m;
    EXPECT_NEAR(pipes_m, LineLength_m(street.line), 1e-6) << street.name;
    for (const TownPoint point : street.line) {
      EXPECT_TRUE(point.x_m >= 0 && point.x_m <= kTownWidth_m && point.y_m >= 0 && point.y_m <= kTownHeight_m)
          << street.name;
    }
  }
}

TEST(StreetPlan, NoTwoStreetsShareAName) {
  std::map<std::string, std::set<std::string>> zones;
  for (const PlannedStreet& street : StreetPlan()) {
    if (street.kind == StreetKind::kHydrantLead) continue;
    // Only a street cut by the valve between the waters is there twice, once in each.
    EXPECT_TRUE(zones[street.name].insert(street.zone).second) << street.name;
  }
  const auto twice =
      std::count_if(zones.begin(), zones.end(), [](const auto& z) { return z.second.size() > 1; });
  EXPECT_EQ(static_cast<size_t>(twice), BoundaryValves().size());
}

TEST(StreetPlan, HasThirtyCulsDeSacMoreAndTenCrescents) {
  std::map<StreetKind, int> count;
  for (const PlannedStreet& street : StreetPlan()) ++count[street.kind];
  EXPECT_EQ(count[StreetKind::kFlushed], 64);
  EXPECT_EQ(count[StreetKind::kCulDeSac], 32);  // with the two of Larkspur
  EXPECT_EQ(count[StreetKind::kCrescent], 10);
  EXPECT_EQ(count[StreetKind::kHydrantLead], 8);
}

TEST(TrueNetwork, IsOnePartAndTwoWhenTheValvesBetweenTheWatersAreShut) {
  EXPECT_EQ(CountParts(TheTrueNetwork(), true), 1);
  EXPECT_EQ(CountParts(TheTrueNetwork(), false), 2);
}

TEST(TrueNetwork, NoPipeIsInTwoZones) {
  const TrueNetwork& network = TheTrueNetwork();
  std::vector<std::set<std::string>> zones(network.nodes.size());
  for (const TruePipe& pipe : network.pipes) {
    for (const size_t node : {pipe.from, pipe.to}) zones[node].insert(StreetPlan()[pipe.street].zone);
  }
  for (size_t i = 0; i < zones.size(); ++i)
    EXPECT_EQ(zones[i].size(), network.nodes[i].shut_valve ? 2U : 1U) << network.nodes[i].at.x_m;
}

TEST(TrueNetwork, EndsAtEveryFlushPointAndEveryCulDeSac) {
  std::set<std::string> ends;
  for (const size_t node : MainEnds(TheTrueNetwork())) {
    for (const TruePipe& pipe : TheTrueNetwork().pipes) {
      if (pipe.to == node || pipe.from == node) ends.insert(StreetPlan()[pipe.street].name);
    }
  }
  int expected = 0;
  for (const PlannedStreet& street : StreetPlan()) {
    if (street.kind != StreetKind::kFlushed && street.kind != StreetKind::kCulDeSac) continue;
    EXPECT_TRUE(ends.count(street.name)) << street.name;
    ++expected;
  }
  EXPECT_EQ(static_cast<int>(ends.size()), expected + 6);  // through streets that end on the open range
}

TEST(TrueNetwork, IsAsLongAsItsStreets) {
  double pipes_m = 0, streets_m = 0;
  for (const TruePipe& pipe : TheTrueNetwork().pipes) pipes_m += pipe.to_m - pipe.from_m;
  for (const PlannedStreet& street : StreetPlan()) streets_m += LineLength_m(street.line);
  EXPECT_NEAR(pipes_m, streets_m, 0.01);
}

TEST(TrueNetwork, ChangesDiameterWhereTheLidSays) {
  // Mason Road, off D15's lid: 1,200 ft of 8 in, then 400 ft of 6 in.
  double eight_m = 0, six_m = 0;
  for (const TruePipe& pipe : TheTrueNetwork().pipes) {
    if (StreetPlan()[pipe.street].name != "Mason Road") continue;
    (pipe.diameter_in == 8 ? eight_m : six_m) += pipe.to_m - pipe.from_m;
  }
  EXPECT_NEAR(eight_m, 1200 * 0.3048, 0.01);
  EXPECT_NEAR(six_m, 400 * 0.3048, 0.01);
}

}  // namespace
}  // namespace lastreach
