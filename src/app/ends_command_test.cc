#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <iterator>
#include <nlohmann/json.hpp>
#include <sstream>

#include "app/test_sheets.h"
#include "map/test_network.h"
#include "store/project.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::Not;

// A tee with two ends: B with two houses, H a hydrant 8 m off.
constexpr const char* kDrawn = R"(
    source Well 0 0
    junction A 100 0
    junction H 100 8 hydrant
    junction B 300 0 blow-off
    pipe Well-A 150 Elm Street
    pipe A-H 150
    pipe A-B 150 Alder Way
    house A-B 50 1
    house A-B 150 1
)";

class EndsCommand : public WithAProject {
 protected:
  void PutNetwork() const {
    auto project = Project::Open(project_);
    ASSERT_TRUE(project.ok());
    const Status put = project->PutNetwork(TestNetwork(kDrawn), "map");
    ASSERT_TRUE(put.ok()) << put.error().ToString();
  }
  Json Ends(std::vector<std::string> more = {}) const {
    std::vector<std::string> words = {"ends", project_, "--json"};
    words.insert(words.end(), more.begin(), more.end());
    const Answer answer = RunProgram(words);
    ExpectDone(answer);
    return Json::parse(answer.out).at("ends");
  }
};

TEST_F(EndsCommand, ListsEveryEndWithUnitsInItsKeys) {
  PutNetwork();
  const Json ends = Ends();
  ASSERT_EQ(ends.size(), 1u);
  EXPECT_EQ(ends[0].at("id"), "E0001");
  EXPECT_EQ(ends[0].at("kind"), "dead end");
  EXPECT_EQ(ends[0].at("node"), "B");
  EXPECT_EQ(ends[0].at("street"), "Alder Way");
  EXPECT_EQ(ends[0].at("services"), 2);
  EXPECT_NEAR(ends[0].at("length_m"), 300, 1e-2);
  EXPECT_NEAR(ends[0].at("demand_m3_per_day"), 2, 1e-9);
  EXPECT_EQ(ends[0].at("outlet"), "blow-off");
  EXPECT_EQ(ends[0].at("fed_by"), "source Well");
  EXPECT_EQ(ends[0].at("reach").size(), 2u);
  EXPECT_NEAR(ends[0].at("longitude_deg"), NetworkPlane().From({300, 0}).longitude_deg, 1e-6);
}

TEST_F(EndsCommand, HydrantsOwnPipesAreListedOnlyIfAskedFor) {
  PutNetwork();
  EXPECT_EQ(Ends({"--all"}).size(), 2u);
}

TEST_F(EndsCommand, KeepsAllPlacesInTheProject) {
  PutNetwork();
  (void)Ends();
  const auto project = Project::Open(project_);
  const auto places = project->QuietPlaces();
  ASSERT_TRUE(places.ok());
  EXPECT_EQ(places->size(), 2u);
}

TEST_F(EndsCommand, PredictsTheLowestResidualWithItsBandWhereTheWaterIsKnown) {
  PutNetwork();
  EXPECT_TRUE(Ends()[0].at("lowest_mg_per_l").is_null());
  EXPECT_THAT(Ends()[0].at("no_residual_because"), HasSubstr("upstream"));
  ExpectDone(Import(Write("zones.csv", kZonesCsv), "zones"));
  const Json end = Ends()[0];
  EXPECT_LE(end.at("lowest_low_mg_per_l"), end.at("lowest_mg_per_l"));
  EXPECT_LE(end.at("lowest_mg_per_l"), end.at("lowest_high_mg_per_l"));
  EXPECT_LT(end.at("lowest_high_mg_per_l"), 1.2);  // what comes in
}

TEST_F(EndsCommand, ADeviceAtAnEndTakesItsReachFromTheMapAndItsFlushingIsCounted) {
  PutNetwork();
  ExpectDone(Import(Write("timers.csv", kTimersCsv), "controllers"));
  ExpectDone(Import(Write("zones.csv", kZonesCsv), "zones"));
  const double without = Ends()[0].at("lowest_mg_per_l");
  const Position at = NetworkPlane().From({303, 4});
  char sheet[256];
  std::snprintf(sheet, sizeof sheet,
                "Device,Zone,Timer,Flow (gpm),P1 starts,P1 minutes,P1 days,Latitude,Longitude\n"
                "D9,North,grey box,60,1:10,40,daily,%.7f,%.7f\n",
                at.latitude_deg, at.longitude_deg);
  ExpectDone(Import(Write("d9.csv", sheet), "devices"));
  const Json end = Ends()[0];
  EXPECT_EQ(end.at("device"), "D9");
  EXPECT_GT(end.at("lowest_mg_per_l"), without);
  const Answer plan = RunProgram({"plan", project_});
  EXPECT_THAT(plan.out, HasSubstr("The reach of D9 is the map's, to E0001, 5 m from where it stands."));
  EXPECT_THAT(plan.out, Not(HasSubstr("the reach has no pipe")));
}

TEST_F(EndsCommand, ReadsAFolderOfPlainTables) {
  std::filesystem::create_directory(Path("net"));
  Write("net/nodes.csv",
        "id,kind,elevation_m,demand_l_per_s,head_m,pattern\nS,source,0,0,50,\nA,junction,0,0.1,,\n"
        "B,junction,0,0,,\n");
  Write("net/links.csv",
        "id,kind,from,to,length_m,diameter_mm,roughness,minor_loss\nP1,pipe,S,A,100,100,130,0\n"
        "P2,pipe,A,B,50,100,130,0\n");
  const Answer answer = RunProgram({"ends", Path("net"), "--json"});
  ExpectDone(answer);
  const Json ends = Json::parse(answer.out).at("ends");
  ASSERT_EQ(ends.size(), 1u);
  EXPECT_EQ(ends[0].at("node"), "B");
  EXPECT_TRUE(ends[0].at("longitude_deg").is_null());
  EXPECT_NEAR(ends[0].at("tail_m"), 50, 1e-9);
}

TEST_F(EndsCommand, AProjectWithLayersAndNoNetworkGetsOneFirst) {
  {
    auto project = Project::Open(project_);
    DrawnMain main;
    main.key = {"mains", "1"};
    main.line = {NetworkPlane().From({0, 0}), NetworkPlane().From({200, 0})};
    DrawnMain side = main;
    side.key.key = "2";
    side.line = {NetworkPlane().From({100, 0}), NetworkPlane().From({100, 90})};
    ASSERT_TRUE(project->PutMains("mains", {main, side}).ok());
  }
  EXPECT_EQ(Ends().size(), 3u);
  EXPECT_TRUE((*Project::Open(project_)->LoadNetwork()).has_value());
}

TEST_F(EndsCommand, WithoutANetworkSaysHowToMakeOne) {
  ExpectRefused(RunProgram({"ends", project_}), {"mill.gpkg", "lastreach map"});
}

TEST_F(EndsCommand, TextNamesWhatFeedsTheEndAndWhatItIsFlushedBy) {
  PutNetwork();
  const Answer answer = RunProgram({"ends", project_, "--detail"});
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("E0001  dead end, Alder Way, node B"));
  EXPECT_THAT(answer.out, HasSubstr("fed by source Well"));
  EXPECT_THAT(answer.out, HasSubstr("outlet: blow-off"));
}

std::string LineWith(const std::string& text, const std::string& word) {
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    if (line.find(word) != std::string::npos) return line;
  }
  return "";
}

// 300 m of 150 mm hold 5.3 m3. 150 m at 2 m3/d, then 100 m at 1 m3/d: pi/4 0.0225 (150/2 + 100/1) = 3.1 days.
TEST_F(EndsCommand, TextHasOneLineAPlaceWithItsNumbers) {
  PutNetwork();
  const Answer answer = RunProgram({"ends", project_});
  ExpectDone(answer);
  std::istringstream cells(LineWith(answer.out, "E0001"));
  std::vector<std::string> words{std::istream_iterator<std::string>(cells), {}};
  EXPECT_THAT(words, ElementsAre("E0001", "dead", "end", "Alder", "Way", "300", "5.3", "2", "3.1", "50",
                                 "blow-off", "source", "Well"));
  EXPECT_THAT(answer.out, HasSubstr("No residual predicted for 1 of them"));
}

// A comb of 40 teeth: its ends are more than a screen holds.
TEST_F(EndsCommand, TextShowsTheThirtyOldestAndSaysHowManyMore) {
  {
    std::string drawing = "source S0 0 0\n";
    for (int i = 1; i <= 40; ++i) {
      const std::string n = std::to_string(i);
      drawing += "junction S" + n + " " + std::to_string(100 * i) + " 0\njunction T" + n + " " +
                 std::to_string(100 * i) + " 60\npipe S" + std::to_string(i - 1) + "-S" + n + " 150\npipe S" +
                 n + "-T" + n + " 150\nhouse S" + n + "-T" + n + " 30 1\n";
    }
    ASSERT_TRUE(Project::Open(project_)->PutNetwork(TestNetwork(drawing), "map").ok());
  }
  const auto lines = [&](std::vector<std::string> more) {
    more.insert(more.begin(), {"ends", project_});
    const Answer answer = RunProgram(more);
    ExpectDone(answer);
    size_t ends = 0;
    std::istringstream text(answer.out);
    for (std::string line; std::getline(text, line);) {
      ends += line.starts_with("  E00") ? 1 : 0;
      EXPECT_LE(line.size(), 100U) << line;
    }
    return std::make_pair(ends, answer.out);
  };
  EXPECT_EQ(lines({}).first, 30U);
  EXPECT_THAT(lines({}).second, HasSubstr("and 10 more (--all lists them; --detail tells all of each)"));
  EXPECT_EQ(lines({"--all"}).first, 40U);
  EXPECT_EQ(Ends().size(), 40U);
}

// A house on either way round, ten metres before they meet: 14.0 m3 at 10 m3/d, 1.4 days.
TEST_F(EndsCommand, ALoopIsToldFromTheAgeAskedFor) {
  constexpr const char* kLoop = R"(
    source Well 0 0
    junction A 400 0
    junction B 400 400
    junction C 0 400
    pipe Well-A 150
    pipe A-B 150
    pipe B-C 150
    pipe C-Well 150
    house A-B 390 10
    house B-C 10 10)";
  ASSERT_TRUE(Project::Open(project_)->PutNetwork(TestNetwork(kLoop), "map").ok());
  const auto summary = [&](const char* days) {
    const Answer answer = RunProgram({"ends", project_, "--json", "--quiet-days", days});
    ExpectDone(answer);
    return Json::parse(answer.out).at("summary");
  };
  EXPECT_EQ(summary("1").at("loops_looked_at"), 1);
  EXPECT_EQ(summary("1").at("loops_quiet"), 1);
  EXPECT_EQ(summary("2").at("loops_looked_at"), 1);
  EXPECT_EQ(summary("2").at("loops_quiet"), 0);
  ExpectRefused(RunProgram({"ends", project_, "--quiet-days", "0"}), {"--quiet-days"});
}

}  // namespace
}  // namespace lastreach
