// Sheets about the whole system and the year, from the file to the project and into the facts of planning.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>

#include "app/device_facts.h"
#include "app/test_sheets.h"

namespace lastreach {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

class ImportOfTheYear : public WithAProject {
 protected:
  ImportOfTheYear() { ImportAll(); }
  Project Opened() const {
    auto project = Project::Open(project_);
    EXPECT_TRUE(project.ok());
    return *std::move(project);
  }
};

TEST_F(ImportOfTheYear, ASheetOfTemperaturesLeavesTheUseThatAnotherGave) {
  ExpectDone(
      Import(Write("use.csv", "Zone,Month,Use factor\nNorth,July,1.4\nNorth,August,1.3\n"), "temperatures"));
  ExpectDone(Import(Write("warm.csv", "Zone,Month,Temp\nnorth,July,25 C\n"), "temperatures"));
  const std::vector<MonthWater> months = *Opened().MonthWaters();
  ASSERT_EQ(months.size(), 2U);
  EXPECT_EQ(months[0].zone, "North");
  EXPECT_EQ(months[0].month, 7);
  EXPECT_NEAR(months[0].temperature->value.celsius(), 25, 1e-9);
  EXPECT_EQ(months[0].use_factor->value, 1.4);
  EXPECT_FALSE(months[1].temperature.has_value());
}

TEST_F(ImportOfTheYear, DatedTemperaturesSayHowTheMonthWasFound) {
  const Answer answer = Import(
      Write("log.csv", "Date,Temp (C)\n2026-06-03,19\n2026-06-20,21\n2025-07-04,23\n"), "temperatures");
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("North, June: 21.0 C, highest of 2 readings, 2026-06-20"));
  EXPECT_EQ(Opened().MonthWaters()->size(), 2U);  // the only zone is meant
}

TEST_F(ImportOfTheYear, TripsAndPricesComeInOnce) {
  const std::string trips = Write("trips.csv", "Where,When,Why\nall,monthly,reads\nD1,May,battery\n");
  const std::string prices = Write("prices.csv", "What,Price,Per\nwater,1.2 EUR,m3\n");
  for (int i = 0; i < 2; ++i) {
    ExpectDone(Import(trips, "trips"));
    ExpectDone(Import(prices, "prices"));
  }
  ExpectDone(Import(Write("visit.csv", "What,Price\nvisit,60\n"), "prices"));
  EXPECT_EQ(Opened().Trips()->size(), 2U);
  const Prices now = *Opened().PricesNow();
  EXPECT_EQ(now.currency, "EUR");
  EXPECT_NEAR(now.water_per_m3->value, 1.2, 1e-12);
  EXPECT_EQ(now.visit->value, 60);
}

TEST_F(ImportOfTheYear, PricesInAnotherCurrencyTakeThePlaceOfAll) {
  ExpectDone(Import(Write("old.csv", "What,Price,Per\nwater,1.2 EUR,m3\nvisit,60 EUR,\n"), "prices"));
  ExpectDone(Import(Write("new.csv", "What,Price\nvisit,$65\n"), "prices"));
  const Prices now = *Opened().PricesNow();
  EXPECT_EQ(now.currency, "$");
  EXPECT_FALSE(now.water_per_m3.has_value());
}

TEST_F(ImportOfTheYear, LimitsGoToTheDevicesTheyBindOrToAllOfThemTogether) {
  ExpectDone(Import(Write("places.csv",
                          "Device,Where,Zone,Timer,Discharge to\n"
                          "D1,Alder Way,North,grey box,road\nD2,Birch Court,North,grey box,grass\n"),
                    "devices"));
  ExpectDone(Import(Write("limits.csv",
                          "Subject,Limit,Value,Discharge to,Source\n"
                          ",frost months,Nov to Mar,road,crew\n,least pressure,20 psi,,state\n"
                          "North,most devices at once,1,,us\n,drought stage 2,9000 gal,,council\n"
                          "D2,most volume between refills,5 m3,,label\n"
                          ",flush at least every,30 days,,state\n"),
                    "limits"));
  const auto facts = FactsOf(Opened());
  ASSERT_TRUE(facts.ok());
  const auto words = [](const std::vector<Limit>& limits) {
    std::vector<std::string> list;
    for (const Limit& limit : limits) list.push_back(Describe(limit.rule));
    return list;
  };
  EXPECT_THAT(words(facts->together),
              ElementsAre("pressure at least 14.1 m of water", "at most 1 device open at once",
                          "in drought stage 2 at most 34.1 m3 a day"));
  ASSERT_EQ(facts->devices.size(), 2U);
  EXPECT_THAT(
      words(facts->devices[0].limits),
      ElementsAre("not from November to March, where water goes to: road", "flushed at least every 30 days"));
  EXPECT_THAT(
      words(facts->devices[1].limits),
      ElementsAre("at most 5 m3 between refills of the dechlorination", "flushed at least every 30 days"));
}

TEST_F(ImportOfTheYear, TheTownsSheetsComeInWhole) {
  ExpectDone(RunProgram({"demo", Path("town")}));
  const auto project = Project::Open(Path("town/town.gpkg"));
  ASSERT_TRUE(project.ok());
  EXPECT_EQ(project->MonthWaters()->size(), 24U);
  EXPECT_EQ(project->Trips()->size(), 8U);
  EXPECT_EQ(project->Limits()->size(), 20U);
  EXPECT_EQ(project->PricesNow()->currency, "$");
  const std::vector<FlushPoint> points = *project->FlushPoints();
  EXPECT_EQ(std::count_if(points.begin(), points.end(), [](const FlushPoint& p) { return p.stays_on; }), 2);
  const std::vector<ImportEntry> log = *project->Imports();
  const std::set<std::string> whole = {"limits", "temperatures", "trips", "prices"};
  for (const ImportEntry& entry : log) {
    if (whole.count(entry.kind) > 0) {
      EXPECT_THAT(*project->RejectedRows(entry.id), IsEmpty()) << entry.kind;
    }
  }
}

}  // namespace
}  // namespace lastreach
