#include "town/geography.h"

#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "core/quantity.h"
#include "town/town_ends.h"

namespace lastreach {
namespace {

double Cross(TownPoint a, TownPoint b, TownPoint c) {
  return (b.x_m - a.x_m) * (c.y_m - a.y_m) - (b.y_m - a.y_m) * (c.x_m - a.x_m);
}

// Whether two stretches share a point, touching included.
bool Meet(TownPoint a, TownPoint b, TownPoint c, TownPoint d) {
  const double abc = Cross(a, b, c), abd = Cross(a, b, d), cda = Cross(c, d, a), cdb = Cross(c, d, b);
  if (abc * abd > 0 || cda * cdb > 0) return false;
  if (abc != 0 || abd != 0) return true;
  // On one line: they share a point if their boxes do.
  return std::max(a.x_m, b.x_m) >= std::min(c.x_m, d.x_m) &&
         std::max(c.x_m, d.x_m) >= std::min(a.x_m, b.x_m) &&
         std::max(a.y_m, b.y_m) >= std::min(c.y_m, d.y_m) && std::max(c.y_m, d.y_m) >= std::min(a.y_m, b.y_m);
}

bool StreetsMeet(const Street& a, const Street& b) {
  for (size_t i = 1; i < a.line.size(); ++i) {
    for (size_t j = 1; j < b.line.size(); ++j) {
      if (Meet(a.line[i - 1], a.line[i], b.line[j - 1], b.line[j])) return true;
    }
  }
  return false;
}

TEST(TownGeography, ADeadEndStreetMeetsOnlyTheStreetThatFeedsIt) {
  const std::vector<Street> streets = Streets();
  for (const std::vector<TownEnd>& ends : {Devices(), HandEnds()}) {
    for (const TownEnd& end : ends) {
      std::set<std::string> met;
      for (const Street& street : streets) {
        if (street.name != end.street && StreetsMeet(StreetOf(end), street)) met.insert(street.name);
      }
      EXPECT_EQ(met, std::set<std::string>{end.tee_on}) << end.code << " " << end.street;
    }
  }
}

TEST(TownGeography, ThePipesUnderAStreetAreAsLongAsItsLine) {
  for (const Street& street : Streets()) {
    double pipes_m = 0;
    for (const TownPipe& pipe : street.pipes) pipes_m += pipe.length_m;
    EXPECT_NEAR(pipes_m, LineLength_m(street.line), 1e-9) << street.name;
  }
}

TEST(TownGeography, EveryStreetHasItsOwnNameAndLiesInsideTheTown) {
  std::set<std::string> names;
  for (const Street& street : Streets()) {
    EXPECT_TRUE(names.insert(street.name).second) << street.name;
    for (const TownPoint point : street.line) {
      EXPECT_GE(point.x_m, 0) << street.name;
      EXPECT_LE(point.x_m, kTownWidth_m) << street.name;
      EXPECT_GE(point.y_m, 0) << street.name;
      EXPECT_LE(point.y_m, kTownHeight_m) << street.name;
    }
  }
}

TEST(TownGeography, ReachesOfDevicesHoldFromAFewHundredToEightThousandGallons) {
  for (const TownEnd& end : Devices()) {
    Volume volume;
    for (const FeetAndInches& pipe : end.pipes) {
      volume = volume + PipeVolume(Length::Feet(pipe.length_ft), Diameter::Inches(pipe.diameter_in));
    }
    EXPECT_GT(volume.gallons(), 500) << end.code;
    EXPECT_LT(volume.gallons(), 8000) << end.code;
  }
}

// SOURCE: lengths of a degree from the series for WGS 84 (a = 6378137 m, f = 1/298.257223563), from memory.
TEST(TownGeography, ADegreeIsAsLongAsOnTheEllipsoid) {
  const double latitude_rad = 42.25 * std::acos(-1.0) / 180;
  const double e2 = 2 / 298.257223563 - 1 / (298.257223563 * 298.257223563);
  const double w2 = 1 - e2 * std::sin(latitude_rad) * std::sin(latitude_rad);
  const double per_degree_m = 6378137.0 * std::acos(-1.0) / 180;
  const double north_m = per_degree_m * (1 - e2) / (w2 * std::sqrt(w2));
  const double east_m = per_degree_m * std::cos(latitude_rad) / std::sqrt(w2);
  const TownPosition far = PositionOf({1000, 1000});
  EXPECT_NEAR((far.latitude_deg - kTownCorner.latitude_deg) * north_m, 1000, 3);
  EXPECT_NEAR((far.longitude_deg - kTownCorner.longitude_deg) * east_m, 1000, 3);
}

}  // namespace
}  // namespace lastreach
