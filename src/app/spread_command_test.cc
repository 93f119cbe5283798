#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "app/spread_report.h"
#include "app/test_sheets.h"
#include "map/test_network.h"
#include "store/project.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;
using ::testing::HasSubstr;

// A well-fed tee with three ends: B with two houses and 150 m of main past the last of them, C with none, D
// with all others.
constexpr const char* kDrawn = R"(
    source Well 0 0
    junction A 100 0
    junction B 300 0 blow-off
    junction C 100 200
    junction D 100 -200
    pipe Well-A 150 Elm Street
    pipe A-B 150 Alder Way
    pipe A-C 150
    pipe A-D 150
    house A-B 20 1
    house A-B 50 1
    house A-D 200 30
)";

// A short reach, flushed every night, and two that lack something.
constexpr const char* kReachesCsv =
    "Device,Where,Zone,Timer,Length (ft),Pipe dia (in),Material,Services,Flow (gpm),P1 starts,P1 minutes,P1 "
    "days\n"
    "D2,Birch Court,North,grey box,about 120,4,PVC,3,40,2:00,10,daily\n"
    "D4,Fir Lane,,grey box,100,6,PVC,2,40,2:00,10,daily\n"
    "D5,Oak Lane,North,grey box,100,6,PVC,0,40,2:00,10,daily\n";

class SpreadCommand : public WithAProject {
 protected:
  static std::vector<std::string> Words(const std::string& file, std::vector<std::string> more) {
    std::vector<std::string> words = {"spread", file, "--weeks", "8"};
    words.insert(words.end(), more.begin(), more.end());
    return words;
  }
  Answer Text(std::vector<std::string> more) const { return RunProgram(Words(project_, std::move(more))); }
  Json Spread(std::vector<std::string> more) const {
    more.emplace_back("--json");
    const Answer answer = Text(std::move(more));
    ExpectDone(answer);
    return Json::parse(answer.out);
  }
  void ImportReaches() const {
    ExpectDone(Import(Write("timers.csv", kTimersCsv), "controllers"));
    ExpectDone(Import(Write("zones.csv", kZonesCsv), "zones"));
    ExpectDone(Import(Write("devices.csv", kReachesCsv), "devices"));
  }
  void PutNetwork() const {
    auto project = Project::Open(project_);
    ASSERT_TRUE(project.ok());
    ASSERT_TRUE(project->PutNetwork(TestNetwork(kDrawn), "map").ok());
  }
};

TEST_F(SpreadCommand, TellsEveryServiceInOrderWithUnitsInItsKeys) {
  ImportReaches();
  const Json spread = Spread({"--device", "D2"});
  EXPECT_EQ(spread.at("id"), "D2");
  EXPECT_EQ(spread.at("where"), "Birch Court");
  EXPECT_EQ(spread.at("season"), "summer 2026");
  EXPECT_EQ(spread.at("weeks"), 8);
  EXPECT_EQ(spread.at("name"), "households");
  EXPECT_EQ(spread.at("runs_in_the_week"), 7);
  EXPECT_EQ(spread.at("target_mg_per_l"), 0.4);
  EXPECT_FALSE(spread.at("older_than_warm_up"));
  const Json& places = spread.at("places");
  ASSERT_EQ(places.size(), 3u);
  for (size_t i = 0; i < places.size(); ++i) {
    const Json& place = places[i];
    EXPECT_EQ(place.at("service"), i + 1);
    EXPECT_GT(place.at("lowest_5_percent_mg_per_l"), 0);
    EXPECT_LE(place.at("lowest_5_percent_mg_per_l"), place.at("lowest_50_percent_mg_per_l"));
    EXPECT_LT(place.at("lowest_5_percent_mg_per_l"), place.at("lowest_95_percent_mg_per_l"));
    EXPECT_LT(place.at("lowest_95_percent_mg_per_l"), spread.at("upstream_mg_per_l"));
    EXPECT_LT(place.at("oldest_5_percent_h"), place.at("oldest_95_percent_h"));
    EXPECT_LE(place.at("weeks_below_target"), 8);
    if (i == 0) continue;
    EXPECT_LT(place.at("lowest_50_percent_mg_per_l"), places[i - 1].at("lowest_50_percent_mg_per_l"));
    EXPECT_GT(place.at("oldest_50_percent_h"), places[i - 1].at("oldest_50_percent_h"));
  }
}

// Each use is small beside what stands in the main, so that chance moves a residual by less than its loss.
TEST_F(SpreadCommand, TheMiddleOfTheWeeksIsNearSmoothUse) {
  ImportReaches();
  for (const Json& place : Spread({"--device", "D2"}).at("places")) {
    EXPECT_NEAR(place.at("lowest_50_percent_mg_per_l"), place.at("lowest_smooth_mg_per_l"), 0.1);
    EXPECT_NEAR(place.at("oldest_50_percent_h"), place.at("oldest_smooth_h"), 6);
  }
}

TEST_F(SpreadCommand, TheSameNameGivesTheSameAnswerAndAnotherNameAnother) {
  ImportReaches();
  const Json summer = Spread({"--device", "D2", "--name", "summer"});
  EXPECT_EQ(summer, Spread({"--device", "D2", "--name", "summer"}));
  EXPECT_NE(summer.at("places"), Spread({"--device", "D2", "--name", "autumn"}).at("places"));
}

TEST_F(SpreadCommand, SpreadingAlongThePipeCanBeLeftOut) {
  ImportReaches();
  const Json with = Spread({"--device", "D2"});
  const Json without = Spread({"--device", "D2", "--no-dispersion"});
  EXPECT_TRUE(with.at("dispersion"));
  EXPECT_FALSE(without.at("dispersion"));
  EXPECT_NE(with.at("places"), without.at("places"));
  EXPECT_EQ(with.at("places")[0].at("lowest_smooth_mg_per_l"),
            without.at("places")[0].at("lowest_smooth_mg_per_l"));
}

TEST_F(SpreadCommand, TextSaysItAsAPersonWould) {
  ImportReaches();
  const Answer answer = Text({"--device", "D2", "--name", "summer"});
  ExpectDone(answer);
  EXPECT_THAT(answer.out,
              HasSubstr("In 8 random weeks the lowest residual at the last service (Birch Court)"));
  EXPECT_THAT(answer.out, HasSubstr("drawn under the name 'summer'"));
  EXPECT_THAT(answer.out, HasSubstr("D2 runs 7 times in the week"));
  EXPECT_THAT(answer.out, HasSubstr("below 0.4"));
  EXPECT_THAT(answer.out, HasSubstr("length is about right; use of a service 150 gal/d"));
  EXPECT_THAT(answer.out, HasSubstr("The licensed operator in charge decides."));
}

TEST_F(SpreadCommand, NothingIsKept) {
  ImportReaches();
  const std::string before = Bytes(project_);
  ExpectDone(Text({"--device", "D2"}));
  EXPECT_EQ(Bytes(project_), before);
}

TEST_F(SpreadCommand, AnEndWithoutADeviceIsToldToItsLastService) {
  PutNetwork();
  ExpectDone(Import(Write("zones.csv", kZonesCsv), "zones"));
  const Json spread = Spread({"--end", "E0001"});
  EXPECT_EQ(spread.at("device"), "");
  EXPECT_EQ(spread.at("runs_in_the_week"), 0);
  EXPECT_EQ(spread.at("places").size(), 2u);
  EXPECT_NEAR(spread.at("standing_m"), 150, 0.1);
  EXPECT_THAT(spread.at("notes")[0], HasSubstr("150 m, past the last service, only stand"));
}

TEST_F(SpreadCommand, AnEndWithADeviceIsThatDevicesReachToItsEnd) {
  PutNetwork();
  ExpectDone(Import(Write("timers.csv", kTimersCsv), "controllers"));
  ExpectDone(Import(Write("zones.csv", kZonesCsv), "zones"));
  const Position at = NetworkPlane().From({303, 4});
  char sheet[256];
  std::snprintf(sheet, sizeof sheet,
                "Device,Zone,Timer,Flow (gpm),P1 starts,P1 minutes,P1 days,Latitude,Longitude\n"
                "D9,North,grey box,60,1:10,40,daily,%.7f,%.7f\n",
                at.latitude_deg, at.longitude_deg);
  ExpectDone(Import(Write("d9.csv", sheet), "devices"));
  const Json end = Spread({"--end", "E0001"});
  EXPECT_EQ(end.at("device"), "D9");
  EXPECT_EQ(end.at("places"), Spread({"--device", "D9"}).at("places"));
  ASSERT_EQ(end.at("places").size(), 3u);
  EXPECT_EQ(end.at("places")[2].at("place"), "the end");
  // Water stands there from run to run: a day less the run, and the way through the reach.
  EXPECT_NEAR(end.at("places")[2].at("oldest_50_percent_h"), 24, 1.5);
}

TEST_F(SpreadCommand, ADeviceWithoutSettingsIsTakenNotToRunAndSaysSo) {
  ExpectDone(Import(Write("zones.csv", kZonesCsv), "zones"));
  ExpectDone(Import(Write("d.csv",
                          "Device,Zone,Length (ft),Pipe dia (in),Material,Services\n"
                          "D3,North,100,6,PVC,2\n"),
                    "devices"));
  const Json spread = Spread({"--device", "D3"});
  EXPECT_EQ(spread.at("runs_in_the_week"), 0);
  EXPECT_THAT(spread.at("notes")[0], HasSubstr("No settings found or left are recorded for D3"));
}

TEST_F(SpreadCommand, RefusesWhatItCannotMeanInOneLine) {
  ImportReaches();
  ExpectRefused(Text({"--device", "D99"}), {"no device 'D99'"});
  ExpectRefused(Text({"--end", "E0044"}), {"mill.gpkg", "no network"});
  ExpectRefused(Text({}), {"--device", "--end"});
  ExpectRefused(Text({"--device", "D2", "--end", "E0001"}), {"--device", "--end"});
  ExpectRefused(Text({"--device", "D2", "--season", "monsoon"}), {"monsoon"});
  ExpectRefused(Text({"--device", "D2", "--name", ""}), {"--name"});
  ExpectRefused(RunProgram({"spread", project_, "--device", "D2", "--weeks", "7"}), {"--weeks 7"});
  ExpectRefused(RunProgram({"spread", Path("none.gpkg"), "--device", "D2"}), {"none.gpkg"});
  PutNetwork();
  ExpectRefused(Text({"--end", "E0044"}), {"no end 'E0044'", "lastreach ends"});
  ExpectRefused(Text({"--end", "E0003"}), {"no customer draws at E0003"});
}

TEST_F(SpreadCommand, SaysWhatNumberIsMissing) {
  ImportReaches();
  ExpectRefused(Text({"--device", "D4"}), {"D4", "the residual in the main upstream is not known"});
  ExpectRefused(Text({"--device", "D5"}), {"D5", "no customer draws on the reach"});
}

TEST(Differences, AreInWordsAndNoFinerThanWhatIsRead) {
  EXPECT_EQ(ResidualDifference(0.43, 0.45), "about the same");
  EXPECT_EQ(ResidualDifference(0.46, 0.54), "about the same");
  EXPECT_EQ(ResidualDifference(0.22, 0.46), "0.3 lower");
  EXPECT_EQ(ResidualDifference(0.6, 0.3), "0.3 higher");
  EXPECT_EQ(AgeDifference(25 * kSecondsPerHour, 24 * kSecondsPerHour), "about the same");
  EXPECT_EQ(AgeDifference(2.5 * kSecondsPerHour, 2 * kSecondsPerHour), "about the same");
  EXPECT_EQ(AgeDifference(30 * kSecondsPerHour, 24 * kSecondsPerHour), "6 h older");
  EXPECT_EQ(AgeDifference(3 * kSecondsPerDay, 6 * kSecondsPerDay), "3.0 d younger");
}

}  // namespace
}  // namespace lastreach
