#include "app/record_findings.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "app/test_sheets.h"

namespace lastreach {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

MeterRead Read(const char* day, double gallons) {
  MeterRead read;
  read.point = PointCode("D1");
  read.day = *ParseDate(day);
  read.total = Volume::Gallons(gallons);
  return read;
}

TEST(WentBack, IsARiseOfNothingUnlessTheMeterIsNewOrTheDialTurned) {
  std::vector<MeterRead> reads = {Read("2026-05-01", 900), Read("2026-06-01", 950), Read("2026-07-01", 20)};
  EXPECT_FALSE(WentBack({reads[0], reads[1]}, {}));
  EXPECT_TRUE(WentBack(reads, {}));
  EXPECT_FALSE(WentBack(reads, Volume::Gallons(1000)));
  EXPECT_TRUE(WentBack(reads, Volume::Gallons(1e6)));
  reads[1].new_meter_at = Volume::Gallons(5);
  EXPECT_FALSE(WentBack(reads, {}));
  reads[1].new_meter_at = Volume::Gallons(25);
  EXPECT_TRUE(WentBack(reads, {}));
}

TEST(WentBack, LeavesEstimatesOut) {
  std::vector<MeterRead> reads = {Read("2026-05-01", 900), Read("2026-06-01", 990), Read("2026-07-01", 950)};
  EXPECT_TRUE(WentBack(reads, {}));
  reads[1].is_estimate = true;
  EXPECT_FALSE(WentBack(reads, {}));
  reads[2].total = Volume::Gallons(890);
  EXPECT_TRUE(WentBack(reads, {}));
  reads[2].is_estimate = true;
  EXPECT_FALSE(WentBack(reads, {}));
}

class FlushFaults : public WithAProject {
 protected:
  FlushFaults() { ImportAll(); }
  std::vector<Finding> Found() const {
    const auto project = Project::Open(project_);
    EXPECT_TRUE(project.ok());
    auto found = FindFlushFaults(*project, *ParseRfc3339(kTestNow));
    EXPECT_TRUE(found.ok());
    return *found;
  }
};

TEST_F(FlushFaults, OfSoundRecordsThereAreNone) {
  ExpectDone(Import(Write("r.csv", "Device,Date,Start,Minutes\nD1,2026-07-20,9:05,22\n"), "runs"));
  ExpectDone(
      Import(Write("f.csv", "Device,Date,Flow (gpm)\nD1,2026-07-03,175\nD1,2026-07-04,59\n"), "flow-tests"));
  ExpectDone(Import(Write("m.csv", "Device,Date,Read (gal)\nD1,2026-07-03,10\nD1,2026-07-04,10\n"), "reads"));
  EXPECT_THAT(Found(), IsEmpty());
}

TEST_F(FlushFaults, EachKindNamesItsPointsAndAMend) {
  ExpectDone(Import(Write("r.csv", "Device,Date,Start,Minutes\nD1,2026-07-21,9:05,22\n"), "runs"));
  ExpectDone(Import(
      Write("f.csv", "Device,Date,Flow (gpm)\nD1,2026-07-03,60\nD1,2026-07-04,181\nD2,2026-07-04,13\n"),
      "flow-tests"));
  ExpectDone(Import(Write("m.csv", "Device,Date,Read (gal)\nD2,2026-07-03,10\nD2,2026-07-04,9\n"), "reads"));
  {
    auto project = Project::Open(project_);
    FlushPoint point = *project->FindFlushPoint(PointCode("D1"));
    point.meter_turns_over_at = Volume::Gallons(1000);
    ASSERT_TRUE(project->PutFlushPoint(point).ok());
  }
  const std::vector<Finding> before = Found();
  std::vector<std::string> kinds;
  for (const Finding& finding : before) {
    kinds.push_back(finding.kind);
    EXPECT_FALSE(finding.mend.empty());
    EXPECT_GT(finding.severity, 0);
    EXPECT_LE(finding.severity, 1);
  }
  EXPECT_THAT(kinds, ElementsAre("run in the future", "meter went back", "flow unlike the lid's"));
  EXPECT_THAT(before[0].points, ElementsAre("D1"));
  EXPECT_THAT(before[1].points, ElementsAre("D2"));
  ExpectDone(Import(Write("n.csv", "Device,Date,Read (gal)\nD1,2026-07-03,1000\n"), "reads"));
  const std::vector<Finding> after = Found();
  EXPECT_THAT(after[2].kind, "dial beyond its turn");
  EXPECT_THAT(RunProgram({"check", project_, "--json", "--all"}).out, HasSubstr("dial beyond its turn"));
}

}  // namespace
}  // namespace lastreach
