#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "app/test_sheets.h"
#include "app/what_else_text.h"
#include "store/project.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;
using ::testing::HasSubstr;

// A place east and north of a corner of the town, in metres: a degree is 111.3 km at the equator.
Position Spot(double x_m, double y_m) { return {10 + x_m / 111320, y_m / 110574}; }

DrawnMain Main(const std::string& key, const std::vector<Position>& line) {
  DrawnMain main;
  main.key = {"mains.gpkg", key};
  main.line = line;
  main.diameter = Sourced<Diameter>{Diameter::Millimetres(150), {}};
  return main;
}

// A tank, a main of 400 m with most of the customers and two branches of 300 m; D1 stands at the end of one.
class WhatElseCommand : public WithAProject {
 protected:
  WhatElseCommand() { ImportAll(); }
  void DrawAMap() const {
    Project project = std::move(*Project::Open(project_));
    EXPECT_TRUE(project
                    .PutMains("mains.gpkg", {Main("trunk", {Spot(0, 0), Spot(200, 0), Spot(400, 0)}),
                                             Main("branch", {Spot(200, 0), Spot(200, 300)}),
                                             Main("other", {Spot(400, 0), Spot(400, 300)})})
                    .ok());
    EXPECT_TRUE(project
                    .PutThings("tanks.gpkg", ThingKind::kTank,
                               {{{"tanks.gpkg", "T"}, ThingKind::kTank, Spot(0, 0), "Hill", "", false, 60.0}})
                    .ok());
    EXPECT_TRUE(
        project
            .PutServiceLayer("meters.gpkg", {{{"meters.gpkg", "1"}, Spot(205, 150), "Mill St", 2, {}},
                                             {{"meters.gpkg", "2"}, Spot(100, 5), "Main St", 40, {}},
                                             {{"meters.gpkg", "3"}, Spot(405, 290), "Hill St", 8, {}}})
            .ok());
    FlushPoint device = *project.FindFlushPoint(PointCode("D1"));
    device.position = Spot(200, 300);
    EXPECT_TRUE(project.PutFlushPoint(device).ok());
    ExpectDone(RunProgram({"map", project_}));
  }
  Answer Ask(const std::string& device, std::vector<std::string> more = {}) const {
    std::vector<std::string> words = {"what-else", project_, device};
    words.insert(words.end(), more.begin(), more.end());
    return RunProgram(words);
  }
};

TEST_F(WhatElseCommand, TellsWhatTheNetworkWouldDoWithoutTheDevice) {
  DrawAMap();
  ExpectDone(RunProgram({"plan", project_, "--season", "summer-2027"}));
  const Answer answer = Ask("D1", {"--json"});
  ExpectDone(answer);
  const Json json = Json::parse(answer.out);
  EXPECT_EQ(json.at("device"), "D1");
  EXPECT_EQ(json.at("season"), "summer 2027");
  EXPECT_NEAR(json.at("water_m3_per_year").get<double>(), json.at("water_m3_per_day").get<double>() * 365.25,
              1e-6);
  std::vector<std::string> ways;
  for (const Json& way : json.at("ways")) ways.push_back(way.at("way"));
  EXPECT_THAT(ways, testing::IsSupersetOf({"remove", "smaller main", "loop"}));
  const Json& without = json.at("ways")[0];
  EXPECT_EQ(without.at("water_m3_per_day"), 0.0);
  const Json& loop = json.at("ways").back();
  EXPECT_NEAR(loop.at("main_m").get<double>(), 1.2 * 200, 5);
  EXPECT_GE(loop.at("lowest_mg_per_l"), without.at("lowest_mg_per_l"));
  const Answer text = Ask("D1");
  ExpectDone(text);
  EXPECT_THAT(text.out, HasSubstr("Without the device"));
  EXPECT_THAT(text.out, HasSubstr("the licensed operator in charge decides"));
}

TEST_F(WhatElseCommand, RefusesInOneLineWhatItCannotTell) {
  const Answer no_plan = Ask("D1");
  EXPECT_EQ(no_plan.code, 2);
  EXPECT_THAT(no_plan.err, HasSubstr("no plan yet"));
  ExpectDone(RunProgram({"plan", project_, "--season", "summer-2027"}));
  const Answer no_map = Ask("D1");
  EXPECT_EQ(no_map.code, 2);
  EXPECT_THAT(no_map.err, HasSubstr("no map"));
  DrawAMap();
  const Answer unknown = Ask("D9");
  EXPECT_EQ(unknown.code, 2);
  EXPECT_THAT(unknown.err, HasSubstr("no device 'D9'"));
  const Answer nowhere = Ask("D2");
  EXPECT_EQ(nowhere.code, 2);
  EXPECT_THAT(nowhere.err, HasSubstr("stands at no end of the map"));
}

TEST(WordsOn, SayWhatAPersonWouldDo) {
  OtherWayOutcome outcome;
  outcome.lowest_mg_per_l = 0.12;
  EXPECT_EQ(
      WordsOn(outcome, 0.4, 3, "", SheetUnits::kMetric),
      "Without the device its customers would fall to 0.1 mg/L (target 0.4 mg/L): it is needed as the mains "
      "are now.");
  outcome.way = OtherWay::kLoop;
  outcome.main_m = 96;
  outcome.lowest_mg_per_l = 0.52;
  outcome.holds = true;
  EXPECT_EQ(WordsOn(outcome, 0.4, 3, "Elm Street", SheetUnits::kUs),
            "Joined to Elm Street by 310 ft of main, and no device, its customers would have 0.5 mg/L at the "
            "worst hour: that would do.");
}

}  // namespace
}  // namespace lastreach
