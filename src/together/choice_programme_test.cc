#include "together/choice_programme.h"

#include <gtest/gtest.h>

#include <optional>
#include <random>

namespace lastreach {
namespace {

ChoiceProgramme RandomProgramme(std::mt19937_64& random) {
  const auto pick = [&](int below) { return std::uniform_int_distribution<int>(0, below - 1)(random); };
  ChoiceProgramme programme;
  for (int d = 2 + pick(3); d > 0; --d) {
    programme.cost.emplace_back();
    for (int k = 1 + pick(4); k > 0; --k) programme.cost.back().push_back(0.25 * pick(20));
  }
  for (int r = pick(6); r > 0; --r) {
    ChoiceProgramme::Row row;
    for (uint32_t d = 0; d < programme.cost.size(); ++d) {
      for (uint32_t k = 0; k < programme.cost[d].size(); ++k) {
        if (pick(2)) row.terms.push_back({d, k, 0.5 * (1 + pick(6))});
      }
    }
    row.most = 0.5 * pick(10);
    programme.rows.push_back(row);
  }
  return programme;
}

// The oracle: every choice.
std::optional<double> LeastCost(const ChoiceProgramme& programme) {
  std::optional<double> least;
  std::vector<uint32_t> way(programme.cost.size(), 0);
  for (;;) {
    bool keeps = true;
    double cost = 0;
    for (size_t d = 0; d < way.size(); ++d) cost += programme.cost[d][way[d]];
    for (const ChoiceProgramme::Row& row : programme.rows) {
      double sum = 0;
      for (const auto& term : row.terms) sum += way[term.device] == term.way ? term.amount : 0;
      keeps = keeps && sum <= row.most;
    }
    if (keeps && (!least || cost < *least)) least = cost;
    size_t d = 0;
    while (d < way.size() && ++way[d] == programme.cost[d].size()) way[d++] = 0;
    if (d == way.size()) return least;
  }
}

TEST(SolveChoice, FindsTheLeastOfAllChoices) {
  std::mt19937_64 random(1);
  int impossible = 0;
  for (int turn = 0; turn < 200; ++turn) {
    const ChoiceProgramme programme = RandomProgramme(random);
    const std::optional<double> least = LeastCost(programme);
    const Choice choice = SolveChoice(programme, {}, {});
    ASSERT_EQ(choice.status, least ? ChoiceStatus::kBest : ChoiceStatus::kImpossible) << turn;
    impossible += least ? 0 : 1;
    if (!least) continue;
    EXPECT_NEAR(choice.cost, *least, 1e-9) << turn;
    EXPECT_LE(choice.bound, *least + 1e-6) << turn;
  }
  EXPECT_GT(impossible, 10);
}

TEST(RelaxedChoice, IsNeverAboveTheLeastOfAllChoicesAndSurplusIsNeverTooMuch) {
  std::mt19937_64 random(2);
  for (int turn = 0; turn < 200; ++turn) {
    ChoiceProgramme programme = RandomProgramme(random);
    RelaxedChoice relaxed(programme.cost);
    for (const auto& row : programme.rows) relaxed.Add(row);
    const std::optional<double> least = LeastCost(programme);
    if (!relaxed.Solve()) {
      EXPECT_FALSE(least.has_value()) << turn;
      continue;
    }
    if (least) {
      EXPECT_LE(relaxed.cost(), *least + 1e-6) << turn;
    }
    // With one way made a must, the least of all choices is at least the surplus above.
    for (uint32_t k = 0; k < programme.cost[0].size(); ++k) {
      ChoiceProgramme forced = programme;
      forced.rows.emplace_back();
      forced.rows.back().most = 0;
      for (uint32_t other = 0; other < programme.cost[0].size(); ++other) {
        if (other != k) forced.rows.back().terms.push_back({0, other, 1});
      }
      const std::optional<double> with = LeastCost(forced);
      if (with) {
        EXPECT_LE(relaxed.cost() + relaxed.Surplus(0, k), *with + 1e-6) << turn;
      }
    }
  }
}

}  // namespace
}  // namespace lastreach
