#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "app/test_sheets.h"
#include "map/test_network.h"
#include "store/project.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;
using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::Not;

class CheckCommand : public WithAProject {
 protected:
  void Put(const std::string& drawing) const {
    TestNetwork network(drawing);
    for (Node& node : network.nodes) node.elevation_m = Sourced<double>{10, {}};
    auto project = Project::Open(project_);
    ASSERT_TRUE(project.ok());
    ASSERT_TRUE(project->PutNetwork(network, "map").ok());
  }
  Json Faults(int code = 1) const {
    const Answer answer = RunProgram({"check", project_, "--json"});
    EXPECT_EQ(answer.code, code) << answer.err;
    EXPECT_EQ(answer.err, "");
    return Json::parse(answer.out).at("faults");
  }
  std::vector<std::string> Kinds() const {
    std::vector<std::string> kinds;
    for (const Json& fault : Faults()) kinds.push_back(fault.at("kind"));
    return kinds;
  }
};

constexpr const char* kSound = R"(
    source Well 0 0
    junction B 300 0 blow-off
    pipe Well-B 150 Alder Way
    house Well-B 50 1
    house Well-B 150 1
)";

TEST_F(CheckCommand, ASoundMapWithoutDevicesHasNoFaultAndEndsWithZero) {
  Put(kSound);
  EXPECT_TRUE(Faults(0).empty());
  EXPECT_EQ(RunProgram({"check", project_}).out, "No faults found.\n");
}

TEST_F(CheckCommand, AProjectWithNothingInItIsNotCalledSound) {
  EXPECT_THAT(Kinds(), testing::ElementsAre("nothing to check"));
}

TEST_F(CheckCommand, EveryFaultHasAMendAndTheWorstComesFirst) {
  Put(std::string(kSound) + R"(
    junction C 100 3
    junction D 100 200
    junction E 303 0
    junction F 303 20
    pipe C-D 150
    pipe E-F 150)");
  const Json faults = Faults();
  ASSERT_GE(faults.size(), 2u);
  EXPECT_EQ(faults[0].at("kind"), "island");
  EXPECT_THAT(faults[0].at("effect"), HasSubstr("lie behind a 3.0 m gap"));
  double before = 1;
  for (const Json& fault : faults) {
    EXPECT_FALSE(fault.at("mend").get<std::string>().empty());
    EXPECT_LE(fault.at("severity"), before);
    before = fault.at("severity");
  }
}

// Forty mains by themselves: forty faults.
TEST_F(CheckCommand, TextShowsTheThirtyWorstInTwoLinesEachAndSaysHowManyMore) {
  std::string drawing = kSound;
  for (int i = 1; i <= 40; ++i) {
    const std::string n = std::to_string(i);
    drawing += "\njunction P" + n + " 0 " + std::to_string(1000 * i) + "\njunction Q" + n + " 50 " +
               std::to_string(1000 * i) + "\npipe P" + n + "-Q" + n + " 150";
  }
  Put(drawing);
  const auto lines_of = [&](std::vector<std::string> words) {
    words.insert(words.begin(), {"check", project_});
    const std::string out = RunProgram(words).out;
    return std::make_pair(std::count(out.begin(), out.end(), '\n'), out);
  };
  EXPECT_EQ(lines_of({}).first, 2 + 2 * 30 + 1);
  EXPECT_THAT(lines_of({}).second, HasSubstr("and 10 more (--all lists them)"));
  EXPECT_EQ(lines_of({"--all"}).first, 2 + 2 * 40);
  EXPECT_EQ(Faults().size(), 40U);
}

TEST_F(CheckCommand, OnDayOneSaysWhatTheDevicesLack) {
  ExpectDone(Import(Write("devices.csv", "Device,Zone,Timer\nD1,North,grey box\nD2,,\n"), "devices"));
  const std::vector<std::string> kinds = Kinds();
  for (const char* kind : {"timer not described", "zone not described", "no zone", "no timer", "no flow",
                           "no reach", "no position", "no settings"}) {
    EXPECT_THAT(kinds, Contains(kind));
  }
}

TEST_F(CheckCommand, ATypedReachUnlikeTheMapsAndADeviceFarFromAnyEndAreTold) {
  Put(kSound);
  ExpectDone(Import(Write("timers.csv", kTimersCsv), "controllers"));
  ExpectDone(Import(Write("zones.csv", kZonesCsv), "zones"));
  const auto place = [](double x_m) {
    const Position at = NetworkPlane().From({x_m, 0});
    char text[64];
    std::snprintf(text, sizeof text, "%.7f,%.7f", at.latitude_deg, at.longitude_deg);
    return std::string(text);
  };
  // The map has 300 m of 150 mm to the end: 984 ft.
  ExpectDone(
      Import(Write("devices.csv",
                   "Device,Zone,Timer,Length (ft),Pipe dia (in),Services,Flow (gpm),Latitude,Longitude\n"
                   "D1,North,grey box,400,6,2,60," +
                       place(300) +
                       "\n"
                       "D2,North,grey box,984,6,2,60," +
                       place(302) +
                       "\n"
                       "D3,North,grey box,400,6,2,60," +
                       place(100) + "\n"),
             "devices"));
  const Json faults = Faults();
  std::vector<std::string> unlike, far;
  for (const Json& fault : faults) {
    if (fault.at("kind") == "reach unlike the map's") unlike.push_back(fault.at("points")[0]);
    if (fault.at("kind") == "far from any end") far.push_back(fault.at("points")[0]);
  }
  EXPECT_THAT(unlike, testing::ElementsAre("D1"));
  EXPECT_THAT(far, testing::ElementsAre("D3"));
}

TEST_F(CheckCommand, RowsThatDidNotComeInAreToldUntilTheyDo) {
  ImportAll();
  const std::string sheet = Write("samples.csv",
                                  "Device,Date,Time,Free mg/L\nD1,2026-07-03,08:00,0.3\n"
                                  "D7,2026-07-03,08:00,0.3\n");
  (void)Import(sheet, "samples");
  EXPECT_THAT(Kinds(), Contains("rows not taken"));
  Write("samples.csv", kSamplesCsv);
  ExpectDone(Import(sheet, "samples", {}, "2026-07-21T15:00:00Z"));
  EXPECT_THAT(Kinds(), Not(Contains("rows not taken")));
}

TEST_F(CheckCommand, ReadsAFolderOfPlainTables) {
  std::filesystem::create_directory(Path("net"));
  Write("net/nodes.csv",
        "id,kind,elevation_m,demand_l_per_s,head_m,pattern\nS,source,0,0,50,\nA,junction,0,0.1,,\n"
        "B,junction,0,0,,\nC,junction,0,0.1,,\n");
  Write("net/links.csv",
        "id,kind,from,to,length_m,diameter_mm,roughness,minor_loss\nP1,pipe,S,A,100,100,130,0\n"
        "P2,pipe,B,C,50,100,130,0\n");
  const Answer answer = RunProgram({"check", Path("net")});
  EXPECT_EQ(answer.code, 1);
  EXPECT_THAT(answer.out, HasSubstr("island"));
}

}  // namespace
}  // namespace lastreach
