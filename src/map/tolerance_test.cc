#include "map/tolerance.h"

#include <gtest/gtest.h>

#include <random>

namespace lastreach {
namespace {

std::vector<double> Uniform(size_t count, double from, double to, unsigned seed) {
  std::mt19937 random(seed);
  std::vector<double> values;
  for (size_t i = 0; i < count; ++i) {
    values.push_back(from + (to - from) * static_cast<double>(random()) / 4294967296.0);
  }
  return values;
}

std::vector<double> Together(std::vector<double> a, const std::vector<double>& b) {
  a.insert(a.end(), b.begin(), b.end());
  return a;
}

TEST(GapModel, FindsWhereTheCrowdOfShortFallsEnds) {
  const GapModel model(Together(Uniform(400, 0.05, 2, 1), Uniform(60, 0, 30, 2)));
  EXPECT_GT(model.tolerance_m(), 1.5);
  EXPECT_LT(model.tolerance_m(), 3.5);
}

TEST(GapModel, ClosesLittleWhereEndsLieNearOtherLinesByChanceOnly) {
  const GapModel model(Uniform(300, 0, 30, 3));
  EXPECT_EQ(model.tolerance_m(), GapModel::kLeast_m);
}

TEST(GapModel, TakesAMetreWhereThereIsTooLittleToTell) {
  const GapModel model({0.4, 0.7, 12, 20});
  EXPECT_EQ(model.tolerance_m(), GapModel::kFewData_m);
  EXPECT_NE(model.why().find("too few"), std::string::npos);
}

TEST(GapModel, IsNotCarriedAwayByASecondCrowdFarOut) {
  const GapModel model(Together(Uniform(300, 0.05, 1, 4), Uniform(80, 8, 9.5, 5)));
  EXPECT_LT(model.tolerance_m(), 3);
}

TEST(GapModel, ChanceNeverRisesWithDistance) {
  const GapModel model(Together(Uniform(200, 0.05, 3, 6), Uniform(90, 0, 30, 7)));
  for (double at_m = 0; at_m < 30; at_m += 0.05) EXPECT_GE(model.Chance(at_m), model.Chance(at_m + 0.05));
}

// Of 400 ends that fall short within 2 m and 3 true ones a metre, the share that fall short at 1 m is known.
TEST(GapModel, ChanceIsNearTheShareThatReallyFallsShort) {
  const GapModel model(Together(Uniform(400, 0, 2, 8), Uniform(90, 0, 30, 9)));
  EXPECT_NEAR(model.Chance(1), 200.0 / 203, 0.05);
}

TEST(GapModel, AToleranceSetByHandStands) {
  const GapModel model(Uniform(300, 0, 30, 3), 4.0);
  EXPECT_EQ(model.tolerance_m(), 4);
  EXPECT_EQ(model.why(), "set by hand");
}

}  // namespace
}  // namespace lastreach
