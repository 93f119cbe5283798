#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "map/join_up.h"
#include "map/test_drawings.h"

namespace lastreach {
namespace {

// A town of rows drawn through and columns drawn block by block, jittered, with culs-de-sac; some blocks fall
// short of the row they belong to, or run past it.
std::vector<DrawnMain> RandomTown() {
  const int rows = *rc::gen::inRange(2, 6);
  const int columns = *rc::gen::inRange(2, 6);
  std::vector<DrawnMain> mains;
  const auto jitter = [] { return *rc::gen::inRange(-100, 101) / 10.0; };
  const auto name = [&] { return "m" + std::to_string(mains.size()); };
  for (int i = 0; i < rows; ++i) {
    mains.push_back(
        MainOf(name(), {{0, 120.0 * i}, {60.0 * columns, 120.0 * i + 3}, {120.0 * columns, 120.0 * i}}));
  }
  for (int j = 0; j < columns; ++j) {
    for (int i = 0; i + 1 < rows; ++i) {
      if (*rc::gen::inRange(0, 5) == 0) continue;
      // Blocks of one column never end nearer than some metres from one another.
      const double x = 120.0 * j + 60 + (i % 2 == 0 ? 8 : -8) + jitter() / 2;
      const double low = 120.0 * i + 3 * (1 - std::abs(x / (60.0 * columns) - 1));
      const double high = low + 120;
      const int fault = *rc::gen::inRange(0, 6);
      const double off = *rc::gen::inRange(2, 9) / 10.0;
      mains.push_back(MainOf(name(), {{x, low},
                                      {x, fault == 0   ? high - off
                                          : fault == 1 ? high + off
                                                       : high}}));
    }
    if (*rc::gen::inRange(0, 2) == 0) {
      const double x = 120.0 * j + 20 + jitter();
      const double low = 3 * (1 - std::abs(x / (60.0 * columns) - 1));
      mains.push_back(MainOf(name(), {{x, low}, {x, low - 80}}));
    }
  }
  return mains;
}

Shape ShapeOfDrawing(std::vector<DrawnMain> mains) {
  const auto joined = JoinUp(DrawingOf(std::move(mains)));
  RC_ASSERT(joined.ok());
  return ShapeOf(*joined);
}

void ExpectSame(const Shape& one, const Shape& other, double within_m = 0.02) {
  RC_ASSERT(one.parts == other.parts);
  RC_ASSERT(std::abs(one.length_m - other.length_m) < 0.05);
  RC_ASSERT(SamePoints(one.ends, other.ends, within_m));
  RC_ASSERT(SamePoints(one.junctions, other.junctions, within_m));
}

RC_GTEST_PROP(JoinUp, ShuffledLinesGiveTheSameNetwork, ()) {
  const auto town = RandomTown();
  auto shuffled = town;
  for (size_t i = shuffled.size(); i > 1; --i) {
    std::swap(shuffled[i - 1], shuffled[*rc::gen::inRange<size_t>(0, i)]);
  }
  ExpectSame(ShapeOfDrawing(town), ShapeOfDrawing(shuffled));
}

RC_GTEST_PROP(JoinUp, ReversedLinesGiveTheSameNetwork, ()) {
  const auto town = RandomTown();
  auto reversed = town;
  for (DrawnMain& main : reversed) {
    if (*rc::gen::arbitrary<bool>()) std::reverse(main.line.begin(), main.line.end());
  }
  ExpectSame(ShapeOfDrawing(town), ShapeOfDrawing(reversed));
}

RC_GTEST_PROP(JoinUp, SplitLinesGiveTheSameNetwork, ()) {
  const auto town = RandomTown();
  std::vector<DrawnMain> split;
  for (const DrawnMain& main : town) {
    if (main.line.size() != 2 || *rc::gen::arbitrary<bool>()) {
      split.push_back(main);
      continue;
    }
    const PlanePoint a = TestPlane().To(main.line[0]);
    const PlanePoint b = TestPlane().To(main.line[1]);
    const PlanePoint middle{(a.x_m + b.x_m) / 2, (a.y_m + b.y_m) / 2};
    split.push_back(MainOf(main.key.key + "a", {a, middle}));
    split.push_back(MainOf(main.key.key + "b", {middle, b}));
  }
  ExpectSame(ShapeOfDrawing(town), ShapeOfDrawing(split));
}

RC_GTEST_PROP(JoinUp, DoubledLayersGiveTheSameNetwork, ()) {
  const auto town = RandomTown();
  auto doubled = town;
  for (DrawnMain main : town) {
    main.key.layer = "again";
    doubled.push_back(main);
  }
  ExpectSame(ShapeOfDrawing(town), ShapeOfDrawing(doubled));
}

// What a trip through another coordinate system leaves: a tenth of a millimetre of noise on every point.
RC_GTEST_PROP(JoinUp, AnotherProjectionGivesTheSameNetwork, ()) {
  const auto town = RandomTown();
  auto projected = town;
  for (DrawnMain& main : projected) {
    for (Position& p : main.line) {
      PlanePoint q = TestPlane().To(p);
      q.x_m += *rc::gen::inRange(-10, 11) * 1e-5;
      q.y_m += *rc::gen::inRange(-10, 11) * 1e-5;
      p = TestPlane().From(q);
    }
  }
  ExpectSame(ShapeOfDrawing(town), ShapeOfDrawing(projected));
}

RC_GTEST_PROP(JoinUp, NoRepairJoinsWhatLiesFartherApartThanShown, ()) {
  const auto joined = JoinUp(DrawingOf(RandomTown()));
  RC_ASSERT(joined.ok());
  for (const Repair& repair : joined->repairs) {
    if (!repair.made) continue;
    const double apart_m = Distance_m(TestPlane().To(repair.at), TestPlane().To(repair.other));
    RC_ASSERT(std::abs(apart_m - repair.gap_m) < 1e-4);
    RC_ASSERT(repair.gap_m <= (repair.kind == RepairKind::kIsland ? joined->summary.island_reach_m
                                                                  : joined->summary.tolerance_m));
  }
}

RC_GTEST_PROP(JoinUp, EveryLineIsInTheNetworkWholeOrSetAside, ()) {
  auto town = RandomTown();
  const auto joined = JoinUp(DrawingOf(town));
  RC_ASSERT(joined.ok());
  std::map<std::string, double> in_m;
  for (const Link& link : joined->network.links) in_m[link.main->key] += link.length_m.value;
  for (const DrawnMain& main : town) {
    double drawn_m = 0;
    for (size_t i = 1; i < main.line.size(); ++i) {
      drawn_m += Distance_m(TestPlane().To(main.line[i - 1]), TestPlane().To(main.line[i]));
    }
    double aside_m = 0;
    for (const SetAside& line : joined->set_aside) {
      if (line.key == main.key) aside_m += line.length_m;
    }
    RC_ASSERT(std::abs(in_m[main.key.key] + aside_m - drawn_m) < 0.5);
  }
}

}  // namespace
}  // namespace lastreach
