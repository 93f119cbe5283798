#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "app/device_facts.h"
#include "app/test_sheets.h"
#include "app/year_records.h"
#include "year/planned_parts.h"
#include "year/year_json.h"

namespace lastreach {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

constexpr const char* kMonthsCsv =
    "Zone,Month,Temp (C)\nNorth,January,6\nNorth,February,6\nNorth,March,8\nNorth,April,12\nNorth,May,16\n"
    "North,June,20\nNorth,July,24\nNorth,August,25\nNorth,September,22\nNorth,October,17\nNorth,November,11\n"
    "North,December,7\n";
constexpr const char* kHandCsv =
    "End,Where,Kind,Zone,Length (ft),Pipe dia (in),Services,Flow (gpm)\n"
    "H1,End of Cedar Row,hand,North,400,6,5,150\n";

class YearCommand : public WithAProject {
 protected:
  Answer Year(std::vector<std::string> more = {}) const {
    std::vector<std::string> words = {"year", project_, "--from", "2027-04-01"};
    words.insert(words.end(), more.begin(), more.end());
    return RunProgram(words);
  }
  void ImportTheYear() const {
    ImportAll();
    ExpectDone(Import(Write("months.csv", kMonthsCsv), "temperatures"));
  }
  Project Opened() const {
    auto project = Project::Open(project_);
    EXPECT_TRUE(project.ok());
    return *std::move(project);
  }
};

TEST_F(YearCommand, JsonIsAPlanThroughTheYearAndIsKeptBesideThatOfTheSeason) {
  ImportTheYear();
  const Answer answer = Year({"--json"});
  ExpectDone(answer);
  const Result<YearAnswer> read = YearFromJson(answer.out, "year");
  ASSERT_TRUE(read.ok()) << read.error().ToString();
  EXPECT_EQ(read->name, "April 2027 to March 2028");
  EXPECT_EQ(read->zone, "America/Chicago");
  const YearPlan& plan = read->plan;
  ASSERT_EQ(plan.parts.size(), 4U);
  ASSERT_EQ(plan.devices.size(), 2U);
  double water_m3 = 0;
  int visits = 0;
  for (const DeviceYear& device : plan.devices) {
    ASSERT_EQ(device.parts.size(), 4U);
    for (const PartOfDevice& part : device.parts) {
      EXPECT_EQ(part.state, PartState::kHeld);
      if (part.outcome) {
        EXPECT_GE(part.outcome->sureness, 0.9);
      }
    }
    water_m3 += device.water_m3;
    visits += device.visits;
  }
  EXPECT_NEAR(plan.water_m3, water_m3, 1e-9);
  EXPECT_EQ(plan.visits, visits);
  EXPECT_FALSE(plan.cost.has_value());
  for (const FrontierPoint& point : plan.frontier) {
    if (point.visits == plan.visits) {
      EXPECT_NEAR(point.water_m3, plan.water_m3, 1e-6);
    }
  }
  const Project project = Opened();
  const auto kept = *project.LatestYearPlan();
  ASSERT_TRUE(kept.has_value());
  EXPECT_EQ(YearToJson(*YearFromJson(kept->json, "kept")), YearToJson(*read));
  EXPECT_FALSE(project.LatestPlan(PointCode())->has_value());
}

// The settings of each part are judged again with the facts read anew and other draws.
TEST_F(YearCommand, WhatStandsInAPartHoldsInIt) {
  ImportTheYear();
  const YearAnswer answer = *YearFromJson(Year({"--json"}).out, "year");
  const Project project = Opened();
  const ProjectFacts facts = *FactsOf(project);
  const auto water = *project.MonthWaters();
  PlanOptions options;
  options.zone = *Zone::Find("America/Chicago");
  options.seed = 7;
  for (size_t d = 0; d < facts.devices.size(); ++d) {
    const auto parts = PlannedParts(facts.devices[d], options, answer.plan.parts, water);
    for (size_t p = 0; p < answer.plan.parts.size(); ++p) {
      const Outcome outcome = parts->Judge(p, answer.plan.devices[d].parts[p].settings, 0);
      // Two sets of 1,000 draws differ by 0.013 in one standard error.
      EXPECT_GE(outcome.sureness, 0.9 - 0.04) << answer.plan.parts[p].name;
    }
  }
}

TEST_F(YearCommand, NoVisitsIsOneSettingAllYearAndTakesMoreWater) {
  ImportTheYear();
  const YearAnswer free = *YearFromJson(Year({"--json"}).out, "year");
  const YearAnswer none = *YearFromJson(Year({"--json", "--visits", "0"}).out, "year");
  EXPECT_EQ(none.plan.visits, 0);
  EXPECT_TRUE(none.plan.changes.empty());
  EXPECT_GE(none.plan.water_m3, free.plan.water_m3 - 1e-9);
  EXPECT_EQ(none.plan.named.at(0).name, "one setting all year");
  EXPECT_NEAR(none.plan.named[0].water_m3, none.plan.water_m3, 1e-6);
}

TEST_F(YearCommand, FrostTripsPricesDroughtAndHandEndsAreSaid) {
  ImportTheYear();
  ExpectDone(Import(Write("hand.csv", kHandCsv), "points"));
  ExpectDone(Import(Write("limits.csv",
                          "Subject,Limit,Value,Source\n"
                          "D1,frost months,December to February,road office\n"
                          ",drought stage 1,3 m3,ordinance 7\n"
                          "H1,flush at least every,31 days,state rule 4\n"),
                    "limits"));
  ExpectDone(Import(Write("trips.csv", "Where,When,Why\nall,June,meter reads\n"), "trips"));
  ExpectDone(Import(Write("prices.csv", "What,Price,Per\nwater,1.2 USD,m3\nvisit,60 USD,\n"), "prices"));
  const Answer text = Year();
  ExpectDone(text);
  for (const char* words :
       {"Settings from April 2027 to March 2028", "1 end flushed by hand", "one setting all year",
        "Water against visits", "Change each year", "Shut for frost", "road office", "off for frost",
        "December to February (source: road office)", "Trips made anyway", "June: D1, D2",
        "Ends flushed by hand", "End of Cedar Row", "state rule 4",
        "Drought stage 1: at most 3.0 m3 a day (source: ordinance 7)", " USD", "licensed operator"}) {
    EXPECT_THAT(text.out, HasSubstr(words));
  }
  EXPECT_THAT(text.out, Not(HasSubstr("The whole network")));
  const YearAnswer answer = *YearFromJson((*Opened().LatestYearPlan())->json, "kept");
  EXPECT_EQ(answer.frost.at(PointCode("D1")).months, (std::set<int>{1, 2, 12}));
  EXPECT_EQ(answer.trip_months.at(PointCode("D2")), (std::set<int>{6}));
  EXPECT_NEAR(answer.plan.worth_m3_a_visit, 50, 1e-9);
  EXPECT_NEAR(*answer.plan.cost, 1.2 * answer.plan.water_m3 + 60 * answer.plan.visits, 1e-6);
  for (size_t p = 0; p < answer.plan.parts.size(); ++p) {
    const bool in_frost = LiesIn(answer.plan.parts[p], {1, 2, 12});
    EXPECT_EQ(answer.plan.devices[0].parts[p].state == PartState::kFrost, in_frost);
  }
  ASSERT_EQ(answer.hand_ends.size(), 1U);
  for (const HandFlushPlan& part : answer.hand_ends[0].year.parts) {
    EXPECT_LE(part.days_between.value_or(31), 31);
  }
  ASSERT_EQ(answer.drought.size(), 1U);
  EXPECT_LE(answer.drought[0].water_m3_per_day, 3);
}

TEST_F(YearCommand, SheetsPrintThePlanOfTheSeasonAndTheLatestYear) {
  ImportTheYear();
  ExpectDone(Import(Write("limits.csv", "Subject,Limit,Value,Source\n,drought stage 1,3 m3,ordinance 7\n"),
                    "limits"));
  const auto sheets = [&](const std::string& out) {
    return RunProgram({"sheets", project_, "--out", Path(out)});
  };
  ExpectDone(Year());
  ExpectRefused(sheets("none"), {"no plan yet", "lastreach plan"});
  ExpectDone(RunProgram({"plan", project_}));
  ExpectDone(Year());
  const Answer answer = sheets("printed");
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("for summer 2026"));
  const std::vector<std::string> names = Names("printed");
  for (const char* name :
       {"season-calendar.pdf", "year-changes.pdf", "drought.pdf", "council.pdf", "key-in-D1.pdf"}) {
    EXPECT_THAT(names, ::testing::Contains(name));
    EXPECT_TRUE(Bytes(Path(std::string("printed/") + name)).starts_with("%PDF")) << name;
  }
}

TEST_F(YearCommand, MonthsNobodyKnowsCountAsTheWorstWeekAndAreSaidToBe) {
  ImportAll();
  const Answer answer = Year();
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("is taken as in the worst week"));
  EXPECT_THAT(answer.out, HasSubstr("Change each year, as it comes round: nothing"));
}

TEST_F(YearCommand, AnswersNoWhereNoDeviceCanHold) {
  ImportTheYear();
  const Answer answer = Year({"--target", "1.15"});
  EXPECT_EQ(answer.code, 1);
  EXPECT_EQ(answer.err, "");
}

TEST_F(YearCommand, RefusesWhatCannotBeMeant) {
  ExpectRefused(Year(), {project_, "no flush point", "import"});
  ImportAll();
  ExpectRefused(Year({"--parts", "weeks"}), {"--parts weeks", "seasons", "months"});
  ExpectRefused(Year({"--visits", "-1"}), {"--visits -1"});
  ExpectRefused(Year({"--visits", "some"}), {"--visits", "some"});
  for (const char* target : {"0", "5", "nan"}) ExpectRefused(Year({"--target", target}), {"--target"});
  for (const char* sureness : {"0.49", "1", "nan"}) {
    ExpectRefused(Year({"--sureness", sureness}), {"--sureness"});
  }
  ExpectRefused(RunProgram({"year", project_, "--from", "2027-02-30"}), {"--from", "2027-02-30"});
  EXPECT_FALSE(Opened().LatestYearPlan()->has_value());
  const std::string nowhere = Path("nowhere.gpkg");
  ExpectRefused(RunProgram({"year", nowhere}), {nowhere});
}

}  // namespace
}  // namespace lastreach
