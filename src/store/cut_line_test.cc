#include "store/cut_line.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

namespace lastreach {
namespace {

// On the equator, where a degree of longitude is one of latitude: lengths by hand.
const Line kCorner = {{0, 0}, {0.03, 0}, {0.03, 0.01}};

void ExpectLine(const Line& line, const Line& expected) {
  ASSERT_EQ(line.size(), expected.size());
  for (size_t i = 0; i < line.size(); ++i) {
    EXPECT_NEAR(line[i].longitude_deg, expected[i].longitude_deg, 1e-8);  // 1 mm; the cosine is 1 to 1e-8
    EXPECT_NEAR(line[i].latitude_deg, expected[i].latitude_deg, 1e-8);
  }
}

TEST(CutLine, KeepsTheCornersBetweenTheCuts) {
  ExpectLine(CutLine(kCorner, 0.25, 1), {{0.01, 0}, {0.03, 0}, {0.03, 0.01}});
  ExpectLine(CutLine(kCorner, 0.25, 0.5), {{0.01, 0}, {0.02, 0}});
  ExpectLine(CutLine(kCorner, 0.75, 1), {{0.03, 0}, {0.03, 0.01}});
}

TEST(CutLine, WalksBackwardsWhereFromIsGreater) {
  ExpectLine(CutLine(kCorner, 1, 0.25), {{0.03, 0.01}, {0.03, 0}, {0.01, 0}});
}

TEST(CutLine, ADegreeOfLongitudeIsShorterFarFromTheEquator) {
  // At 60 degrees half as long, so the corner is at 0.02 of 0.03.
  ExpectLine(CutLine({{0, 60}, {0.04, 60}, {0.04, 60.01}}, 0, 2.0 / 3), {{0, 60}, {0.04, 60}});
}

TEST(CutLine, IsEmptyWithoutLength) {
  EXPECT_TRUE(CutLine(kCorner, 0.5, 0.5).empty());
  EXPECT_TRUE(CutLine(kCorner, 1, 2).empty());
  EXPECT_TRUE(CutLine({}, 0, 1).empty());
  EXPECT_TRUE(CutLine({{1, 1}}, 0, 1).empty());
  EXPECT_TRUE(CutLine({{1, 1}, {1, 1}}, 0, 1).empty());
  EXPECT_TRUE(CutLine(kCorner, std::nan(""), 1).empty());
}

RC_GTEST_PROP(CutLine, TheWholeIsTheLine, ()) {
  Line line = {{0, 0}};
  for (int i = *rc::gen::inRange(1, 8); i-- > 0;) {
    line.push_back({line.back().longitude_deg + *rc::gen::inRange(1, 100) / 1e4,
                    line.back().latitude_deg + *rc::gen::inRange(-100, 100) / 1e4});
  }
  RC_ASSERT(CutLine(line, 0, 1) == line);
}

}  // namespace
}  // namespace lastreach
