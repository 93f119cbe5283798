#include "plan/joint_bleed.h"

#include <gsl/gsl_multimin.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "plan/random_trees.h"
#include "quality/steady_bound.h"

namespace lastreach {
namespace {

constexpr double kDay = 86400;

std::vector<double> Lost(const TreeShape& shape, const std::vector<double>& flow) {
  std::vector<double> through = shape.DemandBeyond();
  for (size_t e = 0; e < flow.size(); ++e) {
    for (const size_t s : shape.WayTo(shape.ends[e])) through[s] += flow[e];
  }
  std::vector<double> lost;
  for (const TreeShape::End& end : shape.ends) {
    double sum = 0;
    for (const size_t s : shape.WayTo(end))
      sum += shape.stretches[s].loss_per_s * shape.stretches[s].volume_m3 / through[s];
    lost.push_back(sum);
  }
  return lost;
}

bool Holds(const TreeShape& shape, const std::vector<double>& flow, double slack = 0) {
  const std::vector<double> lost = Lost(shape, flow);
  for (size_t e = 0; e < flow.size(); ++e) {
    if (lost[e] > shape.ends[e].log_budget * (1 + slack)) return false;
  }
  return true;
}

// The least sum of flows in given proportions that holds.
double LeastInProportion(const TreeShape& shape, const std::vector<double>& share) {
  double low = 0;
  double high = 1;
  while (high - low > 1e-14) {
    const double middle = (low + high) / 2;
    std::vector<double> flow = share;
    for (double& f : flow) f *= middle;
    (Holds(shape, flow) ? high : low) = middle;
    if (middle == low && middle == high) break;
  }
  return high;
}

struct Asked {
  const TreeShape* shape;
};
double Objective(const gsl_vector* x, void* asked) {
  std::vector<double> share;
  for (size_t e = 0; e < x->size; ++e) share.push_back(std::exp(gsl_vector_get(x, e)));
  const double sum = std::accumulate(share.begin(), share.end(), 0.0);
  for (double& s : share) s /= sum;
  return LeastInProportion(*static_cast<Asked*>(asked)->shape, share) * 1e5;
}

// A general optimiser that knows nothing of slopes or convexity: Nelder and Mead over proportions.
double LeastByNelderMead(const TreeShape& shape, const std::vector<double>& start) {
  Asked asked{&shape};
  gsl_multimin_function function{Objective, shape.ends.size(), &asked};
  gsl_vector* x = gsl_vector_alloc(shape.ends.size());
  gsl_vector* size = gsl_vector_alloc(shape.ends.size());
  for (size_t e = 0; e < shape.ends.size(); ++e) gsl_vector_set(x, e, std::log(start[e] + 1e-9));
  gsl_vector_set_all(size, 1);
  gsl_multimin_fminimizer* minimizer =
      gsl_multimin_fminimizer_alloc(gsl_multimin_fminimizer_nmsimplex2, shape.ends.size());
  double best = 1e300;
  for (int again = 0; again < 3; ++again) {
    gsl_multimin_fminimizer_set(minimizer, &function, x, size);
    for (int step = 0; step < 200; ++step) gsl_multimin_fminimizer_iterate(minimizer);
    best = std::min(best, gsl_multimin_fminimizer_minimum(minimizer));
    gsl_vector_memcpy(x, gsl_multimin_fminimizer_x(minimizer));
  }
  gsl_multimin_fminimizer_free(minimizer);
  gsl_vector_free(x);
  gsl_vector_free(size);
  return best / 1e5;
}

TEST(JointBleed, OfOneEndIsTheSteadyBleed) {
  Branch branch;
  TreeShape shape;
  for (size_t j = 0; j < 5; ++j) {
    branch.segments.push_back({.length_m = 60 + 10.0 * static_cast<double>(j),
                               .diameter_m = 0.15,
                               .tap_demand_m3_per_s = 4e-6,
                               .bulk_per_s = 0.6 / kDay});
    shape.stretches.push_back({j > 0 ? std::optional<size_t>(j - 1) : std::nullopt,
                               branch.segments[j].volume_m3(), 0.6 / kDay, 4e-6});
  }
  shape.ends.push_back({4, 0.9});
  const JointBleed bleed = *SolveJointBleed(shape);
  EXPECT_NEAR(bleed.total_m3_per_s / *SteadyBleed_m3_per_s(branch, 0.9), 1, 1e-7);
  EXPECT_NEAR(bleed.certified_m3_per_s / *SteadyBleed_m3_per_s(branch, 0.9), 1, 1e-7);
}

// Two equal arms of V1 on a trunk of V0, nobody drawing: the trunk takes V0 / (2 F), the arms V1 / F, so that
// 2 F = (V0 + 2 V1) k / Lambda: what all of it would take as one pipe.
TEST(JointBleed, OfTwoEqualArmsIsThatOfOnePipeOfAllTheirVolume) {
  TreeShape shape;
  shape.stretches = {{{}, 6, 0.5 / kDay, 0}, {0, 2, 0.5 / kDay, 0}, {0, 2, 0.5 / kDay, 0}};
  shape.ends = {{1, 1}, {2, 1}};
  const JointBleed bleed = *SolveJointBleed(shape);
  EXPECT_NEAR(bleed.total_m3_per_s * kDay, 5, 5e-8);
  EXPECT_NEAR(bleed.flow_m3_per_s[0], bleed.flow_m3_per_s[1], 1e-12);
}

TEST(JointBleed, NeedsNothingWhereCustomersKeepTheTreeFreshAndHasNoAnswerWhereNothingHelps) {
  TreeShape shape;
  shape.stretches = {{{}, 1, 0.5 / kDay, 0}, {0, 1, 0.5 / kDay, 1e-4}, {0, 1, 0.5 / kDay, 1e-4}};
  shape.ends = {{1, 1}, {2, 1}};
  EXPECT_EQ(SolveJointBleed(shape)->total_m3_per_s, 0);
  shape.ends[1].log_budget = 0;
  EXPECT_FALSE(SolveJointBleed(shape).has_value());
}

TEST(JointBleed, HoldsEveryEndAndNoOptimiserFindsLess) {
  for (uint64_t seed = 1; seed <= 60; ++seed) {
    SCOPED_TRACE(seed);
    const TreeShape shape = MakeRandomTree(seed, 5, seed % 2 == 0);
    const JointBleed bleed = *SolveJointBleed(shape);
    ASSERT_TRUE(Holds(shape, bleed.flow_m3_per_s, 1e-9));
    ASSERT_LE(bleed.certified_m3_per_s, bleed.total_m3_per_s * (1 + 1e-12));
    ASSERT_NEAR(bleed.certified_m3_per_s, bleed.total_m3_per_s, 1e-6 * bleed.total_m3_per_s + 1e-13);
    if (seed > 12 || bleed.total_m3_per_s < 1e-7) continue;
    const double found = LeastByNelderMead(shape, std::vector<double>(shape.ends.size(), 1));
    ASSERT_GE(found, bleed.certified_m3_per_s * (1 - 1e-9));
    ASSERT_LE(found, bleed.total_m3_per_s * 1.01);
  }
}

// What sharing saves: each end's own bleed, added up, is never less than all of them together.
TEST(JointBleed, IsNeverMoreThanTheEndsNeedAlone) {
  for (uint64_t seed = 1; seed <= 100; ++seed) {
    const TreeShape shape = MakeRandomTree(seed, 5, false);
    double alone = 0;
    for (const TreeShape::End& end : shape.ends) {
      TreeShape one = shape;
      one.ends = {end};
      alone += SolveJointBleed(one)->total_m3_per_s;
    }
    ASSERT_LE(SolveJointBleed(shape)->certified_m3_per_s, alone * (1 + 1e-9)) << seed;
  }
}

}  // namespace
}  // namespace lastreach
