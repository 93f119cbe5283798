#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "app/test_sheets.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;
using ::testing::HasSubstr;
using ::testing::Not;

constexpr const char* kSettingsCsv =
    "Date,Time,Code,Kind,Who,Why,Revert by,Clock off by,State,Percent,P1 starts,P1 minutes,P1 days\n"
    "2026-03-02,09:00,D1,as-left,KB,spring,,0,on,100,01:10,20,Mon Wed Fri\n"
    "2026-03-02,10:00,D2,as-left,KB,free-chlorine weeks,2026-07-01,0,on,100,02:00,10,daily\n";
// D1: 60 gpm for 20 minutes three times a week. D2: 400 gal a day until it stopped in June.
constexpr const char* kReadsCsv =
    "Date,Device,Read,Unit,By\n"
    "2026-04-01,D1,100000,gal,KB\n2026-05-01,D1,115600,gal,KB\n2026-06-01,D1,131200,gal,KB\n"
    "2026-07-01,D1,146800,gal,KB\n"
    "2026-04-01,D2,50000,gal,KB\n2026-05-01,D2,62000,gal,KB\n2026-06-01,D2,74400,gal,KB\n"
    "2026-07-01,D2,77600,gal,KB\n2026-07-15,D2,77600,gal,KB\n";

class EvidenceCommands : public WithAProject {
 protected:
  void ImportTheYear() const {
    ImportAll();
    ExpectDone(Import(Write("settings.csv", kSettingsCsv), "settings"));
    ExpectDone(Import(Write("reads.csv", kReadsCsv), "reads"));
  }
  Answer Ask(const std::string& command, std::vector<std::string> more = {}) const {
    std::vector<std::string> words = {command, project_};
    words.insert(words.end(), more.begin(), more.end());
    return RunProgram(words);
  }
  // Exit 1: somebody has to go.
  static void ExpectSomebodyIsWanted(const Answer& answer) {
    EXPECT_EQ(answer.code, 1) << answer.err;
    EXPECT_EQ(answer.err, "");
  }
};

TEST_F(EvidenceCommands, ReconcileSaysWhatRanAndWhatStopped) {
  ImportTheYear();
  const Answer answer = Ask("reconcile");
  ExpectSomebodyIsWanted(answer);
  EXPECT_TRUE(answer.out.starts_with("1 device needs a person, 1 ran as it was set, and of 0 nobody can"))
      << answer.out;
  EXPECT_THAT(answer.out, HasSubstr("D2: most likely stopped, and still is, since about 2026-06-10"));
  EXPECT_THAT(answer.out, HasSubstr("to settle it: open the lid"));
  EXPECT_THAT(answer.out, HasSubstr("Ran as set: D1"));
  EXPECT_THAT(answer.out, HasSubstr("gal ("));
}

TEST_F(EvidenceCommands, ReconcileJsonHoldsOddsThatSumToOneAndEveryInterval) {
  ImportTheYear();
  const Answer answer = Ask("reconcile", {"--json"});
  ExpectSomebodyIsWanted(answer);
  const Json json = Json::parse(answer.out);
  ASSERT_EQ(json.at("points").size(), 2U);
  for (const Json& point : json.at("points")) {
    double sum = 0;
    for (const Json& verdict : point.at("verdicts")) {
      sum += verdict.at("probability").get<double>();
      EXPECT_TRUE(verdict.at("evidence").is_string());
      EXPECT_TRUE(verdict.at("settle").is_string());
    }
    EXPECT_GT(sum, 0.95);
    EXPECT_LT(sum, 1 + 1e-9);
  }
  const Json& stopped = json.at("points")[1];
  EXPECT_EQ(stopped.at("verdicts")[0].at("verdict"), "stopped");
  EXPECT_EQ(stopped.at("intervals").size(), 4U);
  EXPECT_NEAR(stopped.at("intervals")[0].at("read_m3").get<double>(), 12000 * 3.785411784e-3, 1e-6);
  EXPECT_NEAR(stopped.at("intervals")[0].at("expected_m3").get<double>(), 12000 * 3.785411784e-3, 1e-6);
}

TEST_F(EvidenceCommands, ReconcileCanBeAskedOfOneDeviceAndOfSomeReads) {
  ImportTheYear();
  const Answer one = Ask("reconcile", {"--point", "D1"});
  EXPECT_EQ(one.code, 0) << one.out;
  EXPECT_THAT(one.out, Not(HasSubstr("D2")));
  EXPECT_THAT(one.out, HasSubstr("2026-04-01"));
  // Before June both ran.
  EXPECT_EQ(Ask("reconcile", {"--to", "2026-06-02"}).code, 0);
  // One read is not enough.
  const Answer few = Ask("reconcile", {"--from", "2026-07-10", "--point", "D2"});
  ExpectSomebodyIsWanted(few);
  EXPECT_THAT(few.out, HasSubstr("nobody can know: no read since 2026-07-15"));
}

TEST_F(EvidenceCommands, ReconcileListsWhereSettingsDiffer) {
  ImportTheYear();
  ExpectDone(Import(Write("found.csv",
                          "Date,Time,Code,Kind,Who,Percent,P1 starts,P1 minutes,P1 days\n"
                          "2026-07-16,09:00,D2,as-found,KB,100,02:00,30,daily\n"),
                    "settings"));
  EXPECT_THAT(
      Ask("reconcile", {"--point", "D2"}).out,
      HasSubstr("as-left 2026-03-02: 02:00 10 min, every day; but as-found 2026-07-16: 02:00 30 min"));
}

TEST_F(EvidenceCommands, RunningTellsTheCallerYesByStreetCodeAndClock) {
  ImportTheYear();
  for (const char* near : {"D2", "d2", "Birch Court", "birch ct", "12 Birch Court", "Birsh Court"}) {
    const Answer answer = Ask("running", {"--at", "2026-07-14 02:05", "--near", near});
    // The clock stays on standard time: 02:00 by it is 03:00 on the wall.
    EXPECT_EQ(answer.code, 1) << near << answer.out;
    EXPECT_EQ(Ask("running", {"--at", "2026-07-14 03:05", "--near", near}).code, 0) << near;
  }
  const Answer yes = Ask("running", {"--at", "2026-07-14 03:05", "--near", "Birch Court"});
  EXPECT_TRUE(yes.out.starts_with("Yes: at 2026-07-14 03:05 1 device should be running there.\n")) << yes.out;
  EXPECT_THAT(yes.out, HasSubstr("D2 Birch Court: should run 2026-07-14 03:00 to 03:10"));
  EXPECT_THAT(yes.out, HasSubstr("runs on purpose"));
  const Answer maybe = Ask("running", {"--at", "2026-07-14 02:05", "--near", "Birch Court"});
  EXPECT_THAT(maybe.out, HasSubstr("1 would with a clock that is an hour out"));
  const Answer no = Ask("running", {"--at", "2026-07-14 12:00", "--near", "Birch Court"});
  EXPECT_THAT(no.out, HasSubstr("No: at 2026-07-14 12:00 no device should be running there."));
  EXPECT_THAT(no.out, HasSubstr("send somebody now"));
}

TEST_F(EvidenceCommands, RunningJsonHoldsEachClock) {
  ImportTheYear();
  const Answer answer = Ask("running", {"--at", "2026-07-14T03:05:00-05:00", "--json"});
  ExpectDone(answer);
  const Json json = Json::parse(answer.out);
  EXPECT_EQ(json.at("at"), "2026-07-14T03:05:00-05:00");
  ASSERT_EQ(json.at("devices").size(), 2U);
  const Json& device = json.at("devices")[1];
  EXPECT_EQ(device.at("should_run"), true);
  ASSERT_EQ(device.at("clocks").size(), 4U);
  EXPECT_EQ(device.at("clocks")[0].at("clock"), "right");
  EXPECT_EQ(device.at("clocks")[0].at("running").at("start"), "2026-07-14T03:00:00-05:00");
  EXPECT_EQ(json.at("devices")[0].at("should_run"), false);
}

TEST_F(EvidenceCommands, RunningRefusesWhatCannotBeMeant) {
  ImportTheYear();
  ExpectRefused(Ask("running", {"--at", "tonight"}), {"--at 'tonight'"});
  ExpectRefused(Ask("running", {"--at", "2026-07-14 25:00"}), {"25:00"});
  ExpectRefused(Ask("running", {"--at", "2026-07-14 03:05", "--near", "Cedar Row"}), {"Cedar Row", "Birch"});
  ExpectRefused(Ask("running", {"--at", "2026-07-14 03:05", "--near", "39.1,-93.4"}), {"39.1,-93.4"});
  ExpectRefused(Ask("running"), {"--at"});
}

TEST_F(EvidenceCommands, WatchTellsLowsRevertDatesAndWhatIsDue) {
  ImportTheYear();
  ExpectDone(Import(
      Write("samples.csv", "Device,Date,Time,Free mg/L\nD1,2026-07-10,22:00,0.7\nD2,2026-07-14,03:30,0.1\n"),
      "samples"));
  const Answer answer = Ask("watch", {"--today", "2026-07-20"});
  ExpectSomebodyIsWanted(answer);
  EXPECT_THAT(answer.out, HasSubstr("low after a full run\n  D2 Birch Court: 0.10 mg/L on 2026-07-14 03:30"));
  EXPECT_THAT(answer.out, HasSubstr("were to be put back by 2026-07-01; was due 2026-07-01"));
  EXPECT_THAT(answer.out, HasSubstr("D1, D2: no new battery was ever noted"));
  const Answer told = Ask("watch", {"--today", "2026-07-20", "--json"});
  ExpectSomebodyIsWanted(told);
  const Json json = Json::parse(told.out);
  EXPECT_EQ(json.at("today"), "2026-07-20");
  EXPECT_EQ(json.at("items")[0].at("kind"), "low after a full run");
  EXPECT_EQ(json.at("items")[0].at("overdue"), true);
}

TEST_F(EvidenceCommands, RefuseFilesAndDaysThatCannotBe) {
  ExpectRefused(RunProgram({"reconcile", Path("nowhere.gpkg")}), {"nowhere.gpkg"});
  ExpectRefused(Ask("reconcile"), {"no device"});
  ImportAll();
  ExpectRefused(Ask("reconcile", {"--from", "July"}), {"--from", "July"});
  ExpectRefused(Ask("reconcile", {"--from", "2026-07-01", "--to", "2026-06-01"}), {"--to 2026-06-01"});
  ExpectRefused(Ask("reconcile", {"--point", "D9"}), {"D9"});
  ExpectRefused(Ask("watch", {"--today", "soon"}), {"--today", "soon"});
  ExpectRefused(Ask("watch", {"--nitrite=-1"}), {"--nitrite"});
}

}  // namespace
}  // namespace lastreach
