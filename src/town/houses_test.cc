#include "town/houses.h"

#include <gtest/gtest.h>

#include <set>

#include "town/town_ground.h"
#include "town/town_lines.h"

namespace lastreach {
namespace {

// Brute force: every house against every street.
TEST(Houses, StandEightToFifteenMetresOffTheirMainAndFartherFromAnyOther) {
  for (const House& house : Houses()) {
    const double own_m = Distance_m(house.at, StreetPlan()[house.street].line);
    EXPECT_GT(own_m, 7.9);
    EXPECT_LT(own_m, 15.001);
    for (size_t i = 0; i < StreetPlan().size(); ++i) {
      if (i == house.street || StreetPlan()[i].kind == StreetKind::kHydrantLead) continue;
      ASSERT_GT(Distance_m(house.at, StreetPlan()[i].line), own_m + 5.999) << StreetPlan()[i].name;
    }
  }
}

TEST(Houses, NoTwoShareAStreetAndANumber) {
  std::set<std::pair<std::string, int>> seen;
  for (const House& house : Houses()) {
    const std::string& street = StreetPlan()[house.street].name;
    EXPECT_TRUE(seen.insert({street, house.number}).second) << house.number << " " << street;
  }
}

TEST(Houses, EvenNumbersAreOnTheLeft) {
  for (const House& house : Houses()) {
    const PlaceOnLine place = PlaceAt(StreetPlan()[house.street].line, house.along_m);
    const TownPoint aside = house.at - place.at, left = LeftOf(place.ahead);
    EXPECT_EQ(aside.x_m * left.x_m + aside.y_m * left.y_m > 0, house.number % 2 == 0) << house.number;
  }
}

TEST(TownGround, IsSteepNowhere) {
  for (double x_m = 0; x_m < kTownWidth_m; x_m += 50) {
    for (double y_m = 0; y_m < kTownHeight_m; y_m += 50) {
      EXPECT_LT(std::abs(GroundAt_m({x_m + 1, y_m}) - GroundAt_m({x_m, y_m})), 0.12);
      EXPECT_LT(std::abs(GroundAt_m({x_m, y_m + 1}) - GroundAt_m({x_m, y_m})), 0.12);
    }
  }
}

}  // namespace
}  // namespace lastreach
