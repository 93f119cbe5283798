#include "map/noding.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <numeric>

#include "map/crossings.h"
#include "map/gaps.h"

namespace lastreach {
namespace {

constexpr double kSame_m = 0.01;

FlatLine LineOf(std::vector<PlanePoint> points) {
  FlatLine line;
  line.points = std::move(points);
  line.along_m = {0};
  for (size_t i = 1; i < line.points.size(); ++i) {
    line.along_m.push_back(line.along_m.back() + Distance_m(line.points[i - 1], line.points[i]));
  }
  return line;
}

// Points on a coarse lattice, so that they coincide, touch and cross often.
std::vector<FlatLine> RandomLines() {
  std::vector<FlatLine> lines;
  const int count = *rc::gen::inRange(2, 14);
  for (int n = 0; n < count; ++n) {
    PlanePoint p{*rc::gen::inRange(0, 6) * 40.0, *rc::gen::inRange(0, 6) * 40.0};
    std::vector<PlanePoint> points = {p};
    const int steps = *rc::gen::inRange(1, 4);
    for (int i = 0; i < steps; ++i) {
      p.x_m += *rc::gen::element(-80.0, -40.0, 40.0, 80.0);
      p.y_m += *rc::gen::element(-80.0, 0.0, 40.0);
      points.push_back(p);
    }
    lines.push_back(LineOf(points));
  }
  return lines;
}

double DistanceToLine_m(PlanePoint p, const FlatLine& line) {
  double least_m = 1e9;
  for (size_t i = 1; i < line.points.size(); ++i) {
    least_m = std::min(least_m, NearestOnSegment(p, line.points[i - 1], line.points[i]).distance_m);
  }
  return least_m;
}

// The ends of every line, and every point that another line, or the same one elsewhere, has too.
std::vector<PlanePoint> JointsByAllPairs(const std::vector<FlatLine>& lines) {
  std::vector<PlanePoint> joints;
  for (size_t i = 0; i < lines.size(); ++i) {
    joints.push_back(lines[i].points.front());
    joints.push_back(lines[i].points.back());
    for (size_t j = 0; j < lines.size(); ++j) {
      for (size_t a = 0; a < lines[i].points.size(); ++a) {
        for (size_t b = 0; b < lines[j].points.size(); ++b) {
          if (i == j && b <= a + 1) continue;
          if (Distance_m(lines[i].points[a], lines[j].points[b]) <= kSame_m) {
            joints.push_back(lines[i].points[a]);
          }
        }
      }
    }
  }
  return joints;
}

// All pairs: lines belong together if a joint lies on both.
std::vector<uint32_t> PartsByAllPairs(const std::vector<FlatLine>& lines) {
  std::vector<uint32_t> part(lines.size());
  std::iota(part.begin(), part.end(), 0U);
  const std::vector<PlanePoint> joints = JointsByAllPairs(lines);
  const auto touch = [&](const FlatLine& a, const FlatLine& b) {
    return std::any_of(joints.begin(), joints.end(), [&](PlanePoint p) {
      return DistanceToLine_m(p, a) <= kSame_m && DistanceToLine_m(p, b) <= kSame_m;
    });
  };
  for (bool changed = true; changed;) {
    changed = false;
    for (size_t i = 0; i < lines.size(); ++i) {
      for (size_t j = 0; j < lines.size(); ++j) {
        if (part[i] == part[j] || !touch(lines[i], lines[j])) continue;
        part[i] = part[j] = std::min(part[i], part[j]);
        changed = true;
      }
    }
  }
  return part;
}

RC_GTEST_PROP(Noding, PartsAgreeWithLookingAtAllPairs, ()) {
  const auto lines = RandomLines();
  const SegmentGrid grid(lines, 25);
  const auto parts = Noding(lines, grid, kSame_m).Parts();
  const auto slow = PartsByAllPairs(lines);
  for (size_t i = 0; i < lines.size(); ++i) {
    for (size_t j = 0; j < lines.size(); ++j) RC_ASSERT((parts[i] == parts[j]) == (slow[i] == slow[j]));
  }
}

// Every proper crossing of two lines that share no node there, by trying all pairs of segments.
RC_GTEST_PROP(Crossings, AgreeWithLookingAtAllPairsOfSegments, ()) {
  const auto lines = RandomLines();
  const SegmentGrid grid(lines, 25);
  const Noding noding(lines, grid, kSame_m);
  const auto found = FindCrossings(noding, grid, 0.05);
  for (size_t i = 0; i < lines.size(); ++i) {
    for (size_t j = i + 1; j < lines.size(); ++j) {
      for (size_t a = 1; a < lines[i].points.size(); ++a) {
        for (size_t b = 1; b < lines[j].points.size(); ++b) {
          const auto cross =
              Cross(lines[i].points[a - 1], lines[i].points[a], lines[j].points[b - 1], lines[j].points[b]);
          const auto inside = [](double share) { return share > 0.001 && share < 0.999; };
          if (!cross || !inside(cross->first_share) || !inside(cross->second_share)) continue;
          const bool listed = std::any_of(found.begin(), found.end(), [&](const LineCrossing& c) {
            return c.first.line == i && c.second.line == j && Distance_m(c.at, cross->at) < 0.3;
          });
          // Where a third line's end makes all three one node there is nothing to judge.
          bool node_there = false;
          for (const Noding::Cut& cut : noding.CutsOf(static_cast<uint32_t>(i))) {
            node_there = node_there || Distance_m(noding.at(cut.node), cross->at) < 0.3;
          }
          RC_ASSERT(listed || node_there);
        }
      }
    }
  }
}

TEST(Gaps, TheNearestPlaceWorthClosingIsFound) {
  const std::vector<FlatLine> lines = {LineOf({{0, 0}, {200, 0}}), LineOf({{50, 2}, {50, 20}}),
                                       LineOf({{0, 0}, {0, 20}, {50, 20}})};
  const SegmentGrid grid(lines, 25);
  const Noding noding(lines, grid, kSame_m);
  const auto gaps = FindGaps(noding, grid, 30);
  ASSERT_EQ(gaps.size(), 1U);  // the far end of the first line has nothing near it
  EXPECT_NEAR(gaps[0].gap_m, 2, 1e-9);
  EXPECT_NEAR(gaps[0].way_m, 18 + 50 + 20 + 50, 1e-9);
  EXPECT_NEAR(gaps[0].aims_off_deg, 0, 1e-6);
}

}  // namespace
}  // namespace lastreach
