#include "year/change_table.h"

#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <functional>
#include <numeric>

namespace lastreach {
namespace {

// Every assignment of candidates to parts.
void ForEveryAssignment(const ChangeTable& table, const std::function<void(const ChangeSchedule&)>& visit) {
  std::vector<size_t> candidate(table.parts(), 0);
  while (true) {
    visit(Summed(table, candidate));
    size_t part = 0;
    while (part < candidate.size() && ++candidate[part] == table.water_m3.size()) candidate[part++] = 0;
    if (part == candidate.size()) return;
  }
}

// Whole numbers, so that sums are exact; a fifth of the cells may not stand.
ChangeTable AnyTable() {
  ChangeTable table;
  const int parts = *rc::gen::inRange(1, 6).as("parts");
  const int candidates = *rc::gen::inRange(1, 5).as("candidates");
  table.water_m3.resize(static_cast<size_t>(candidates));
  for (auto& row : table.water_m3) {
    for (int p = 0; p < parts; ++p) {
      const int water = *rc::gen::inRange(0, 50);
      row.push_back(water < 10 ? kMayNotStand : water);
    }
  }
  for (int p = 0; p < parts; ++p) table.visits_to_change.push_back(*rc::gen::inRange(0, 4) == 0 ? 0 : 1);
  return table;
}

TEST(LeastWaterByVisits, IsThatOfEveryAssignmentTried) {
  EXPECT_TRUE(rc::check([] {
    const ChangeTable table = AnyTable();
    const auto best = LeastWaterByVisits(table);
    const int most = std::accumulate(table.visits_to_change.begin(), table.visits_to_change.end(), 0);
    RC_ASSERT(best.size() == static_cast<size_t>(most) + 1);
    std::vector<double> least(best.size(), kMayNotStand);
    std::vector<int> changes(best.size(), 99);
    ForEveryAssignment(table, [&](const ChangeSchedule& schedule) {
      for (size_t v = static_cast<size_t>(schedule.visits); v < least.size(); ++v) {
        if (schedule.water_m3 > least[v]) continue;
        changes[v] = schedule.water_m3 < least[v] ? schedule.changes : std::min(changes[v], schedule.changes);
        least[v] = schedule.water_m3;
      }
    });
    for (size_t v = 0; v < best.size(); ++v) {
      RC_ASSERT(best[v].exists() == (least[v] < kMayNotStand));
      if (!best[v].exists()) continue;
      RC_ASSERT(best[v].water_m3 == least[v]);
      RC_ASSERT(best[v].changes == changes[v]);
      RC_ASSERT(best[v].visits <= static_cast<int>(v));
      RC_ASSERT(Summed(table, best[v].candidate).water_m3 == least[v]);
    }
  }));
}

TEST(LeastWaterByVisits, NeverRisesWithVisits) {
  EXPECT_TRUE(rc::check([] {
    const auto best = LeastWaterByVisits(AnyTable());
    for (size_t v = 1; v < best.size(); ++v) RC_ASSERT(best[v].water_m3 <= best[v - 1].water_m3);
  }));
}

TEST(LeastWaterByChanges, IsThatOfEveryAssignmentTried) {
  EXPECT_TRUE(rc::check([] {
    const ChangeTable table = AnyTable();
    const int most = *rc::gen::inRange(0, 5);
    const ChangeSchedule best = LeastWaterByChanges(table, most);
    std::vector<double> least(table.parts() + 1, kMayNotStand);
    ForEveryAssignment(table, [&](const ChangeSchedule& schedule) {
      for (size_t k = static_cast<size_t>(schedule.changes); k < least.size(); ++k)
        least[k] = std::min(least[k], schedule.water_m3);
    });
    auto allowed = std::min(static_cast<size_t>(most), table.parts());
    while (allowed < table.parts() && least[allowed] == kMayNotStand) ++allowed;
    RC_ASSERT(best.exists() == (least[allowed] < kMayNotStand));
    if (best.exists()) {
      RC_ASSERT(best.water_m3 == least[allowed]);
      RC_ASSERT(static_cast<size_t>(best.changes) <= allowed);
    }
  }));
}

TEST(LeastWaterByVisits, TakesTheYearAsComingRound) {
  // Hard in the first and the last part only: one change down and one up, not two of each.
  const ChangeTable table{{{10, 10, 10, 10}, {kMayNotStand, 2, 2, kMayNotStand}}, {1, 1, 1, 1}};
  const auto best = LeastWaterByVisits(table);
  EXPECT_DOUBLE_EQ(best[0].water_m3, 40);
  EXPECT_DOUBLE_EQ(best[1].water_m3, 40);
  EXPECT_DOUBLE_EQ(best[2].water_m3, 24);
  EXPECT_EQ(best[2].candidate, (std::vector<size_t>{0, 1, 1, 0}));
  EXPECT_EQ(best[4].changes, 2);
}

TEST(LeastWaterByVisits, ChangesForNothingWhereSomebodyIsThereAnyway) {
  const ChangeTable table{{{10, 10, 10}, {kMayNotStand, 2, kMayNotStand}}, {1, 0, 0}};
  const auto best = LeastWaterByVisits(table);
  EXPECT_DOUBLE_EQ(best[0].water_m3, 22);
  EXPECT_EQ(best[0].visits, 0);
  EXPECT_EQ(best[0].changes, 2);
}

TEST(LeastWaterByChanges, TakesMoreWhereSoFewWillNotDo) {
  const ChangeTable off_in_frost{{{5, kMayNotStand, 5}, {kMayNotStand, 0, kMayNotStand}}, {1, 1, 1}};
  EXPECT_EQ(LeastWaterByChanges(off_in_frost, 0).changes, 2);
  const ChangeTable nothing{{{kMayNotStand, 1}}, {1, 1}};
  EXPECT_FALSE(LeastWaterByChanges(nothing, 2).exists());
}

}  // namespace
}  // namespace lastreach
