#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "store/database.h"
#include "store/map_fixture.h"

namespace lastreach {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

TEST_F(ProjectFile, RepairsReadBackAndAreReplacedAsAWhole) {
  Project project = New();
  Repair crossing = FullRepair();
  crossing.id = "R0013";
  crossing.kind = RepairKind::kCrossing;
  crossing.other = crossing.at;
  crossing.made = false;
  crossing.decision.reset();
  ASSERT_TRUE(project.PutRepairs({crossing, FullRepair()}).ok());
  EXPECT_THAT(*project.Repairs(), ElementsAre(crossing, FullRepair()));
  ASSERT_TRUE(project.PutRepairs({crossing}).ok());
  EXPECT_THAT(*project.Repairs(), ElementsAre(crossing));
}

TEST_F(ProjectFile, DecisionsReadBackInTheOrderTheyWereMade) {
  Project project = New();
  RepairDecision later = FullDecision();
  later.decision = Decision::kLocked;
  later.when -= std::chrono::hours(24);  // the order of entry counts, not the clock's
  ASSERT_TRUE(project.AddRepairDecision(FullDecision()).ok());
  ASSERT_TRUE(project.AddRepairDecision(later).ok());
  EXPECT_THAT(*project.RepairDecisions(), ElementsAre(FullDecision(), later));
  ASSERT_TRUE(project.PutRepairs({}).ok());
  ASSERT_TRUE(project.PutNetwork({}, "map").ok());
  EXPECT_EQ(project.RepairDecisions()->size(), 2U);
}

TEST_F(ProjectFile, TheFileItselfRefusesToChangeADecision) {
  {
    Project project = New();
    ASSERT_TRUE(project.AddRepairDecision(FullDecision()).ok());
  }
  const auto raw = Database::Open(Path(), 100);
  for (const char* sql : {"UPDATE repair_decisions SET decision = 'accepted'", "DELETE FROM repair_decisions",
                          "INSERT OR REPLACE INTO repair_decisions SELECT * FROM repair_decisions"}) {
    const Status done = (*raw)->RunScript(sql);
    ASSERT_FALSE(done.ok()) << sql;
    EXPECT_THAT(done.error().ToString(), HasSubstr("repair_decisions is append-only"));
  }
  EXPECT_THAT(*Project::Open(Path())->RepairDecisions(), ElementsAre(FullDecision()));
}

}  // namespace
}  // namespace lastreach
