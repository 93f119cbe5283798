// Sheets of what was done and seen, from the file to the project.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "app/test_sheets.h"
#include "store/project.h"

namespace lastreach {
namespace {

using ::testing::HasSubstr;
using ::testing::SizeIs;

class ImportOfRecords : public WithAProject {
 protected:
  ImportOfRecords() { ImportAll(); }
  Project Opened() const {
    auto project = Project::Open(project_);
    EXPECT_TRUE(project.ok());
    return *std::move(project);
  }
};

TEST_F(ImportOfRecords, EachKindComesInOnceHoweverOftenItIsImported) {
  const std::vector<std::pair<std::string, std::string>> sheets = {
      {"runs", "Device,Date,Start,Minutes,Gallons\nD1,2026-07-03,9:05,22,1350\n"},
      {"flow-tests", "Device,Date,Flow (gpm),Method\nD1,2026-07-03,57,drum\n"},
      {"test-flushes", "Device,Date,Opened,Minutes,Free\nD1,2026-07-03,9:05,0,0.1\nD1,2026-07-03,,10,0.6\n"},
      {"visits", "Device,Date,Time,Why,Battery\nD1,2026-07-03,9:00,rounds,new\n"},
      {"byproducts", "Site,Date,TTHM (ug/L),HAA5 (ug/L)\nSchool,2026-05-12,61,22\n"},
      {"production", "Month,Produced (MG)\nJun 2026,28.1\n"}};
  for (int round = 0; round < 2; ++round) {
    for (const auto& [kind, text] : sheets) {
      const Answer answer = Import(Write(kind + ".csv", text), kind);
      ExpectDone(answer);
      EXPECT_EQ(answer.out.find("known already") != std::string::npos, round == 1) << kind;
    }
  }
  const Project project = Opened();
  EXPECT_THAT(*project.FlushRuns(), SizeIs(1));
  EXPECT_THAT(*project.FlowTests(), SizeIs(1));
  ASSERT_THAT(*project.TestFlushes(), SizeIs(1));
  EXPECT_THAT(project.TestFlushes()->front().readings, SizeIs(2));
  ASSERT_THAT(*project.Visits(), SizeIs(1));
  EXPECT_TRUE(project.Visits()->front().new_battery);
  EXPECT_THAT(*project.Byproducts(), SizeIs(2));
  ASSERT_THAT(*project.SuppliedMonths(), SizeIs(1));
  EXPECT_NEAR(project.SuppliedMonths()->front().supplied.gallons(), 28.1e6, 1e-3);
}

TEST_F(ImportOfRecords, OtherReadingsOfAFlushCorrectIt) {
  const std::string head = "Device,Date,Opened,Minutes,Free\n";
  ExpectDone(Import(Write("a.csv", head + "D1,2026-07-03,9:05,0,0.1\n"), "test-flushes"));
  ExpectDone(
      Import(Write("b.csv", head + "D1,2026-07-03,9:05,0,0.2\nD1,2026-07-03,,10,0.6\n"), "test-flushes"));
  const std::vector<TestFlush> flushes = *Opened().TestFlushes();
  ASSERT_THAT(flushes, SizeIs(1));
  ASSERT_THAT(flushes[0].readings, SizeIs(2));
  EXPECT_EQ(flushes[0].readings[0].residual, Concentration::MilligramsPerLitre(0.2));
}

TEST_F(ImportOfRecords, AMonthPutRightTakesThePlaceOfTheOldOne) {
  ExpectDone(Import(Write("a.csv", "Month,Produced (MG)\nJun 2026,28.1\n"), "production"));
  ExpectDone(Import(Write("b.csv", "Month,Produced (MG)\n2026-06,29\n"), "production"));
  ASSERT_THAT(*Opened().SuppliedMonths(), SizeIs(1));
  EXPECT_NEAR(Opened().SuppliedMonths()->front().supplied.gallons(), 29e6, 1e-3);
}

TEST_F(ImportOfRecords, AVisitWithAClockLeavesTheSettingsAsFoundWithIt) {
  const PointCode d1("D1");
  const size_t before = Opened().SettingsOf(d1)->size();
  const Answer answer = Import(Write("v.csv", "Device,Date,Time,Clock\nD1,2026-07-21,9:30 am,12 min fast\n"),
                               "visits", {}, "2026-07-22T15:00:00Z");
  ExpectDone(answer);
  const std::vector<SettingsRecord> settings = *Opened().SettingsOf(d1);
  ASSERT_EQ(settings.size(), before + 1);
  EXPECT_EQ(settings.back().kind, SettingsKind::kAsFound);
  EXPECT_EQ(settings.back().clock_fast_minutes, 12);
  EXPECT_EQ(settings.back().settings, settings.front().settings);
}

TEST_F(ImportOfRecords, TheHeadingsOfEachKindAreListedAndItsWordIsCompleted) {
  const Answer script = RunProgram({"completion"});
  ExpectDone(script);
  for (const char* kind :
       {"runs", "flow-tests", "test-flushes", "visits", "byproducts", "production", "blow-offs", "network"}) {
    EXPECT_THAT(script.out, HasSubstr(std::string(" ") + kind)) << kind;
    if (std::string_view(kind) == "network") continue;
    const Answer headings = RunProgram({"import", "--as", kind, "--headings"});
    ExpectDone(headings);
    EXPECT_THAT(headings.out, HasSubstr("Headings understood"));
  }
  EXPECT_THAT(RunProgram({"import", "--as", "test-flushes", "--headings"}).out,
              HasSubstr("after: minutes after opening"));
}

}  // namespace
}  // namespace lastreach
