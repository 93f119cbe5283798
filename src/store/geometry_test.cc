#include "store/geometry.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

namespace lastreach {
namespace {

// SOURCE: [OGC 12-128r17] table "GeoPackage SQL Geometry Binary Format" and [OGC 06-103r4] 8.2.3; bytes by
// hand.
TEST(PointBlob, HasTheBytesOfTheStandard) {
  const Blob expected = {'G', 'P', 0, 1, 0xE6, 0x10, 0, 0, 1, 1, 0, 0, 0, 0,   0,
                         0,   0,   0, 0, 0xF0, 0x3F, 0, 0, 0, 0, 0, 0, 0, 0xC0};
  EXPECT_EQ(PointBlob({1, -2}), expected);
}

TEST(PointBlob, IsReadInEitherByteOrderAndPastAnEnvelope) {
  EXPECT_EQ(**ReadPointBlob(PointBlob({-94.1, 38.9})), (Position{-94.1, 38.9}));
  const Blob big = {'G', 'P', 0, 0, 0, 0, 0x10, 0xE6, 0, 0, 0, 0, 1, 0x3F, 0xF0,
                    0,   0,   0, 0, 0, 0, 0xC0, 0,    0, 0, 0, 0, 0, 0};
  EXPECT_EQ(**ReadPointBlob(big), (Position{1, -2}));
  Blob enveloped = PointBlob({1, -2});
  enveloped[3] = 3;  // an envelope of four numbers
  enveloped.insert(enveloped.begin() + 8, 32, 0);
  EXPECT_EQ(**ReadPointBlob(enveloped), (Position{1, -2}));
}

TEST(PointBlob, RubbishIsRefusedAndAnEmptyPointIsNone) {
  EXPECT_FALSE(ReadPointBlob({}).ok());
  EXPECT_FALSE(ReadPointBlob({'G', 'P', 0, 1, 0xE6, 0x10, 0, 0, 1, 1, 0, 0, 0}).ok());
  Blob line = PointBlob({1, 2});
  line[9] = 2;
  EXPECT_FALSE(ReadPointBlob(line).ok());
  EXPECT_FALSE(ReadPointBlob(PointBlob({std::nan(""), std::nan("")}))->has_value());
}

// SOURCE: [OGC 12-128r17] table "GeoPackage SQL Geometry Binary Format" and [OGC 06-103r4] 8.2.3; bytes by
// hand. Flags 3: little-endian, an envelope of min x, max x, min y, max y.
TEST(LineBlob, HasTheBytesOfTheStandard) {
  const Blob one = {0, 0, 0, 0, 0, 0, 0xF0, 0x3F};         // 1
  const Blob two = {0, 0, 0, 0, 0, 0, 0, 0x40};            // 2
  const Blob minus_two = {0, 0, 0, 0, 0, 0, 0, 0xC0};      // -2
  const Blob minus_four = {0, 0, 0, 0, 0, 0, 0x10, 0xC0};  // -4
  Blob expected = {'G', 'P', 0, 3, 0xE6, 0x10, 0, 0};
  const auto add = [&](const Blob& part) { expected.insert(expected.end(), part.begin(), part.end()); };
  for (const Blob& side : {one, two, minus_four, minus_two}) add(side);
  add({1, 2, 0, 0, 0, 2, 0, 0, 0});
  for (const Blob& number : {one, minus_two, two, minus_four}) add(number);
  EXPECT_EQ(LineBlob({{1, -2}, {2, -4}}), expected);
}

rc::Gen<double> Degrees(int most) {
  return rc::gen::map(rc::gen::inRange(-most * 1000000, most * 1000000 + 1),
                      [](int x) { return x / 1e6 / 3; });
}
rc::Gen<Position> AnyPosition() {
  return rc::gen::map(rc::gen::pair(Degrees(540), Degrees(270)), [](const std::pair<double, double>& at) {
    return Position{at.first, at.second};
  });
}
Line AnyLine(size_t least) {
  return *rc::gen::suchThat(rc::gen::container<Line>(AnyPosition()),
                            [=](const Line& line) { return line.size() >= least; });
}

RC_GTEST_PROP(LineBlob, ReadsBackToTheLastBitAndKnowsItsBox, ()) {
  const Line line = AnyLine(2);
  const Blob bytes = LineBlob(line);
  RC_ASSERT(*ReadLineBlob(bytes) == line);
  Extent box;
  for (const Position& position : line) box.Grow(position);
  RC_ASSERT(*ReadExtent(bytes) == box);
}

RC_GTEST_PROP(AreaBlob, ReadsBackToTheLastBit, ()) {
  std::vector<Polygon> polygons(*rc::gen::inRange<size_t>(1, 4));
  for (Polygon& polygon : polygons) {
    polygon.resize(*rc::gen::inRange<size_t>(1, 4));
    for (Line& ring : polygon) ring = AnyLine(4);
  }
  RC_ASSERT(*ReadAreaBlob(AreaBlob(polygons)) == polygons);
}

RC_GTEST_PROP(ReadExtent, NoBytesHarmIt, ()) {
  Blob bytes = LinesBlob({AnyLine(2), AnyLine(2)});
  const auto cut = *rc::gen::inRange<size_t>(0, bytes.size());
  RC_ASSERT(!ReadExtent(Blob(bytes.begin(), bytes.begin() + static_cast<std::ptrdiff_t>(cut))).ok());
  const auto at = *rc::gen::inRange<size_t>(0, bytes.size());
  bytes[at] = *rc::gen::arbitrary<unsigned char>();
  (void)ReadExtent(bytes).ok();  // whatever it says, it comes back
}

// SOURCE: [OGC 06-103r4] table 7: 1002 is a line with heights.
TEST(ReadLineBlob, LeavesOutHeights) {
  Blob bytes = LineBlob({{1, 2}, {3, 4}, {5, 6}});
  bytes[41] = 0xEA;  // 1002 = 0x03EA; three points of two numbers become two of three
  bytes[42] = 0x03;
  bytes[45] = 2;
  EXPECT_EQ(*ReadLineBlob(bytes), (Line{{1, 2}, {4, 5}}));
}

TEST(ReadLineBlob, OtherGeometriesAreRefused) {
  EXPECT_FALSE(ReadLineBlob(PointBlob({1, 2})).ok());
  EXPECT_FALSE(ReadLineBlob(LinesBlob({{{1, 2}, {3, 4}}})).ok());
  EXPECT_FALSE(ReadAreaBlob(LineBlob({{1, 2}, {3, 4}})).ok());
  EXPECT_FALSE(ReadPointBlob(LineBlob({{1, 2}, {3, 4}})).ok());
}

}  // namespace
}  // namespace lastreach
