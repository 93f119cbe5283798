#include "hydraulics/core_matrix.h"

#include <gtest/gtest.h>

#include <Eigen/SparseCholesky>
#include <numeric>
#include <random>

#include "hydraulics/patch_matrix.h"

namespace lastreach {
namespace {

// A tree over all nodes and further links, rings and doubles among them; some nodes fixed.
struct Case {
  uint32_t unknowns = 0;
  std::vector<LinkEnds> links;
  std::vector<double> conductance, right;
  explicit Case(unsigned seed) {
    std::mt19937_64 random(seed);
    const auto pick = [&](uint32_t below) {
      return std::uniform_int_distribution<uint32_t>(0, below - 1)(random);
    };
    const uint32_t nodes = 2 + pick(seed % 10 == 0 ? 3000 : 60);
    unknowns = nodes - 1 - pick(std::min(nodes - 1, 4U));
    std::vector<uint32_t> number(nodes);
    std::iota(number.begin(), number.end(), 0U);
    std::shuffle(number.begin(), number.end(), random);
    const uint32_t near = seed % 3 == 0 ? nodes : 40;
    for (uint32_t i = 1; i < nodes; ++i)
      links.emplace_back(number[i - 1 - pick(std::min(i, near))], number[i]);
    for (uint32_t i = pick(nodes); i > 0; --i) {
      const uint32_t a = pick(nodes);
      links.emplace_back(number[a], number[a - pick(std::min(a + 1, near))]);
    }
    std::normal_distribution<double> log_conductance(0, 2);
    for (size_t i = 0; i < links.size(); ++i) conductance.push_back(std::exp(log_conductance(random)));
    for (uint32_t i = 0; i < unknowns; ++i)
      right.push_back(std::uniform_real_distribution<double>(-1, 1)(random));
  }
};

Eigen::SparseMatrix<double> MatrixOf(const Case& one) {
  std::vector<Eigen::Triplet<double>> entries;
  for (size_t i = 0; i < one.links.size(); ++i) {
    const auto [a, b] = one.links[i];
    if (a == b) continue;
    const double g = one.conductance[i];
    if (a < one.unknowns) entries.emplace_back(a, a, g);
    if (b < one.unknowns) entries.emplace_back(b, b, g);
    if (a >= one.unknowns || b >= one.unknowns) continue;
    entries.emplace_back(a, b, -g);
    entries.emplace_back(b, a, -g);
  }
  Eigen::SparseMatrix<double> matrix(one.unknowns, one.unknowns);
  matrix.setFromTriplets(entries.begin(), entries.end());
  return matrix;
}

void Renumber(Case& one) {
  const std::vector<uint32_t> number = EliminationOrder(one.unknowns, one.links);
  for (LinkEnds& ends : one.links) {
    if (ends.first < one.unknowns) ends.first = number[ends.first];
    if (ends.second < one.unknowns) ends.second = number[ends.second];
  }
}

TEST(CoreMatrix, SolvesAsALibrarysFactorisationDoes) {
  for (unsigned seed = 1; seed <= 120; ++seed) {
    Case one(seed);
    if (one.unknowns == 0) continue;
    Renumber(one);
    CoreMatrix matrix(one.unknowns, one.links);
    for (int again = 0; again < 2; ++again) {
      ASSERT_TRUE(matrix.Factor(one.conductance)) << seed;
      std::vector<double> x = one.right;
      matrix.Solve(x);
      const Eigen::SparseMatrix<double> plain = MatrixOf(one);
      const Eigen::Map<const Eigen::VectorXd> right(one.right.data(), one.unknowns);
      const Eigen::VectorXd expected = Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>>(plain).solve(right);
      const Eigen::Map<const Eigen::VectorXd> ours(x.data(), one.unknowns);
      // Conductances over nine decades: the condition is what both lose digits by.
      EXPECT_LT((ours - expected).norm(), 1e-8 * expected.norm()) << seed;
      EXPECT_LT((plain * ours - right).norm(), 1e-10 * (right.norm() + plain.norm() * ours.norm())) << seed;
      for (double& g : one.conductance) g *= 3;
    }
  }
}

// Single precision of differences: what links would carry, against what the greatest of them does.
TEST(CoreMatrix, AnswersFewNodesAsItAnswersAll) {
  for (unsigned seed = 1; seed <= 120; ++seed) {
    Case one(seed);
    if (one.unknowns == 0) continue;
    Renumber(one);
    CoreMatrix matrix(one.unknowns, one.links);
    ASSERT_TRUE(matrix.Factor(one.conductance));
    std::mt19937_64 random(seed);
    std::vector<double> all(one.unknowns, 0), from, within;
    std::vector<uint32_t> nodes, reach;
    for (int k = 0; k < 3; ++k) nodes.push_back(static_cast<uint32_t>(random() % one.unknowns));
    for (const uint32_t node : nodes) all[node] += one.right[node];
    from = within = all;
    matrix.Solve(all);
    matrix.FindReach(nodes, reach);
    matrix.SolveFrom(reach, from);
    matrix.SolveWithin(reach, within);
    double greatest = 0, worst = 0;
    for (size_t i = 0; i < one.links.size(); ++i) {
      const auto head = [&](const std::vector<double>& x, uint32_t node) {
        return node < one.unknowns ? x[node] : 0;
      };
      const auto [a, b] = one.links[i];
      const double plain = one.conductance[i] * (head(all, a) - head(all, b));
      greatest = std::max(greatest, std::abs(plain));
      worst = std::max(worst, std::abs(one.conductance[i] * (head(from, a) - head(from, b)) - plain));
    }
    // 6e-8 each, over nine decades of conductances.
    EXPECT_LT(worst, 2e-5 * greatest) << seed;
    double highest = 0;
    for (const double x : all) highest = std::max(highest, std::abs(x));
    std::vector<char> is_reached(one.unknowns, 0);
    for (const uint32_t front : reach) {
      const auto [begin, end] = matrix.Columns(front);
      for (uint32_t column = begin; column < end; ++column) is_reached[column] = 1;
    }
    for (const uint32_t node : nodes) EXPECT_EQ(is_reached[node], 1);
    for (uint32_t i = 0; i < one.unknowns; ++i) {
      EXPECT_EQ(within[i], is_reached[i] != 0 ? from[i] : 0) << seed;
      EXPECT_NEAR(from[i], all[i], 1e-5 * highest) << seed;
    }
  }
}

TEST(PatchMatrix, SolvesAsALibrarysFactorisationDoes) {
  PatchMatrix matrix;
  for (unsigned seed = 1; seed <= 120; ++seed) {
    Case one(seed);
    Renumber(one);
    matrix.LayOut(one.unknowns, one.links);
    for (int again = 0; again < 2 && one.unknowns > 0; ++again) {
      ASSERT_TRUE(matrix.Factor(one.conductance)) << seed;
      std::vector<double> x = one.right;
      matrix.Solve(x);
      const Eigen::SparseMatrix<double> plain = MatrixOf(one);
      const Eigen::Map<const Eigen::VectorXd> right(one.right.data(), one.unknowns),
          ours(x.data(), one.unknowns);
      EXPECT_LT((plain * ours - right).norm(), 1e-10 * (right.norm() + plain.norm() * ours.norm())) << seed;
      for (double& g : one.conductance) g *= 3;
    }
  }
  const std::vector<LinkEnds> links = {{0, 1}, {2, 3}};
  matrix.LayOut(3, links);
  EXPECT_FALSE(matrix.Factor(std::vector<double>{1, 1}));
}

TEST(CoreMatrix, SaysSoWhereANodeHasNoWayToAFixedOne) {
  const std::vector<LinkEnds> links = {{0, 1}, {2, 3}};
  CoreMatrix matrix(3, links);
  EXPECT_FALSE(matrix.Factor(std::vector<double>{1, 1}));
  CoreMatrix none(0, {});
  EXPECT_TRUE(none.Factor({}));
}

TEST(EliminationOrder, IsAPermutationThatKeepsATreeWithoutFill) {
  std::vector<LinkEnds> links;
  constexpr uint32_t kNodes = 500;
  std::mt19937_64 random(3);
  for (uint32_t i = 1; i < kNodes; ++i) links.emplace_back(static_cast<uint32_t>(random() % i), i);
  std::vector<uint32_t> number = EliminationOrder(kNodes, links);
  for (LinkEnds& ends : links) ends = {number[ends.first], number[ends.second]};
  std::sort(number.begin(), number.end());
  for (uint32_t i = 0; i < kNodes; ++i) EXPECT_EQ(number[i], i);
  // Fronts may let a few zeros in, no more.
  EXPECT_LT(PlanElimination(kNodes, links).panel_size, 14 * kNodes);
}

}  // namespace
}  // namespace lastreach
