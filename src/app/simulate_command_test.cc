#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <numbers>

#include "app/test_sheets.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;
using ::testing::HasSubstr;

// 2 L/s through 2000 m of 0.1 m.
constexpr double kVolume_m3 = 2000 * std::numbers::pi / 4 * 0.1 * 0.1;
constexpr double kTravel_h = kVolume_m3 / 2e-3 / 3600;

class SimulateCommand : public WithAProject {
 protected:
  SimulateCommand() {
    std::filesystem::create_directories(Path("plain"));
    Write("plain/nodes.csv",
          "id,kind,elevation_m,demand_l_per_s,head_m,pattern,chlorine_mg_per_l\n"
          "Plant,source,210,0,250,,1.2\n"
          "A,junction,150,0,,,\n"
          "End,junction,148,2,,,\n");
    Write("plain/links.csv",
          "id,kind,from,to,length_m,diameter_mm,roughness,minor_loss\n"
          "1,pipe,Plant,A,1000,100,130,0\n"
          "2,pipe,A,End,1000,100,130,0\n");
    Write("plain/options.toml", "[chlorine]\nbulk_per_day = 1.5\n");
  }

  Json Simulated(std::vector<std::string> words, int code = 0) const {
    words.insert(words.begin(), {"simulate", Path("plain"), "--json"});
    const Answer answer = RunProgram(words);
    EXPECT_EQ(answer.code, code) << answer.err;
    EXPECT_EQ(answer.err, "");
    return Json::parse(answer.out);
  }
};

TEST_F(SimulateCommand, AgeAtTheEndOfASteadyPipeIsItsVolumeOverItsFlow) {
  const Json json = Simulated({"--hours", "4", "--step-minutes", "30", "--track", "age"});
  EXPECT_EQ(json.at("times_h"), Json::parse("[0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5, 4]"));
  ASSERT_EQ(json.at("nodes").size(), 3U);
  const Json& end = json.at("nodes").at("End");
  ASSERT_EQ(end.size(), 9U);
  EXPECT_EQ(end[0], 0);
  EXPECT_NEAR(end[3].get<double>(), 1.5, 1e-6);  // still water of the start
  EXPECT_NEAR(end[8].get<double>(), kTravel_h, 1e-6);
  EXPECT_NEAR(json.at("nodes").at("A")[8].get<double>(), kTravel_h / 2, 1e-6);
  EXPECT_EQ(json.at("nodes").at("Plant")[8], 0);
  const Json& summary = json.at("summary");
  EXPECT_EQ(summary.at("status"), "converged");
  EXPECT_EQ(summary.at("unit"), "h");
  EXPECT_LT(std::abs(summary.at("water").at("imbalance_m3").get<double>()), 1e-9);
  EXPECT_NEAR(summary.at("water").at("drawn_m3").get<double>(), 2e-3 * 4 * 3600, 1e-9);
  EXPECT_EQ(summary.at("lowest_pressure").at("node"), "End");
  EXPECT_GE(summary.at("error_bound").at("age_h").get<double>(), 0);
}

TEST_F(SimulateCommand, ChlorineFallsByItsLossOverTheTimeOnTheWay) {
  const Json json = Simulated({"--hours", "4", "--track", "chlorine", "--at", "End"});
  ASSERT_EQ(json.at("nodes").size(), 1U);
  const Json& end = json.at("nodes").at("End");
  EXPECT_EQ(end[1], 0);
  EXPECT_NEAR(end[4].get<double>(), 1.2 * std::exp(-1.5 * kTravel_h / 24), 1e-6);
  const Json& account = json.at("summary").at("disinfectant");
  EXPECT_NEAR(account.at("entered_g").get<double>(), 1.2 * 2e-3 * 4 * 3600, 1e-6);
  EXPECT_LT(std::abs(account.at("imbalance_g").get<double>()), 1e-9);
}

// One reactant: C - F stays, so C = C0 D / (C0 - F0 exp(-k D t)) with D = C0 - F0 (Clark, J. Environ. Eng.
// 124(1), 1998, from memory).
TEST_F(SimulateCommand, ChlorineBesideAReactantFollowsTheSecondOrderLaw) {
  Write("plain/options.toml", "[chlorine.two_reactants]\nfast_mg_per_l = 0.7\nfast_l_per_mg_per_day = 9\n");
  const Json json = Simulated({"--hours", "4", "--track", "chlorine", "--at", "End"});
  const double left = 0.5;
  const double wanted = 1.2 * left / (1.2 - 0.7 * std::exp(-9 * left * kTravel_h / 24));
  EXPECT_NEAR(json.at("nodes").at("End")[4].get<double>(), wanted, 1e-6);
  EXPECT_FALSE(json.at("summary").contains("disinfectant"));
  EXPECT_TRUE(json.at("summary").at("error_bound").contains("chlorine_mg_per_l"));
}

TEST_F(SimulateCommand, ThmIsWhatItsYieldMakesOfTheChlorineUsedUp) {
  Write("plain/options.toml",
        "[chlorine.two_reactants]\nfast_mg_per_l = 0.7\nfast_l_per_mg_per_day = 9\n"
        "thm_ug_per_mg = 36\nthm_ug_per_l = 5\n");
  const Json json = Simulated({"--hours", "4", "--track", "thm", "--at", "End,Plant"});
  const double left = 0.5;
  const double chlorine = 1.2 * left / (1.2 - 0.7 * std::exp(-9 * left * kTravel_h / 24));
  EXPECT_NEAR(json.at("nodes").at("End")[4].get<double>(), 5 + 36 * (1.2 - chlorine), 1e-4);
  EXPECT_NEAR(json.at("nodes").at("Plant")[4].get<double>(), 5, 1e-9);
  EXPECT_EQ(json.at("summary").at("unit"), "ug/L");
  EXPECT_TRUE(json.at("summary").at("error_bound").contains("thm_ug_per_l"));
}

TEST_F(SimulateCommand, AProjectFromTablesKeepsTheLossesThatCameWithThem) {
  const std::string project = Path("tables.gpkg");
  ASSERT_EQ(RunProgram({"new", project, "--zone", "UTC"}).code, 0);
  ASSERT_EQ(RunProgram({"import", project, Path("plain"), "--as", "network"}).code, 0);
  const Answer answer = RunProgram({"simulate", project, "--track", "chlorine"});
  EXPECT_EQ(answer.code, 0) << answer.err;
  EXPECT_THAT(answer.out, ::testing::ContainsRegex("in the bulk +1.5 per day +came with the network"));
  EXPECT_THAT(answer.out, ::testing::Not(HasSubstr("zone not known")));
}

TEST_F(SimulateCommand, ThmIsToldBesideTwoReactantsOnly) {
  const Answer answer = RunProgram({"simulate", Path("plain"), "--track", "thm"});
  EXPECT_EQ(answer.code, 2);
  EXPECT_THAT(answer.err, HasSubstr("[chlorine.two_reactants]"));
}

TEST_F(SimulateCommand, AllWaterComesFromTheOnlySource) {
  const Json json = Simulated({"--hours", "4", "--track", "source", "--at", "End,A"});
  EXPECT_NEAR(json.at("nodes").at("End")[4].get<double>(), 100, 1e-9);
  EXPECT_EQ(json.at("nodes").at("End")[1], 0);
  EXPECT_EQ(json.at("summary").at("source"), "Plant");
  EXPECT_EQ(json.at("summary").at("source_note"), "the only source");
}

// Both sources lie 1000 m from A, at one head: half of its water comes from each.
TEST_F(SimulateCommand, TwoSourcesShareAndTheSummarySaysWhoseWaterIsTold) {
  Write("plain/nodes.csv",
        "id,kind,elevation_m,demand_l_per_s,head_m,pattern,chlorine_mg_per_l\n"
        "West,source,,0,250,,1\nEast,source,,0,250,,1\nA,junction,150,4,,,\n");
  Write("plain/links.csv",
        "id,kind,from,to,length_m,diameter_mm,roughness,minor_loss\n"
        "1,pipe,West,A,1000,100,130,0\n2,pipe,A,East,1000,100,130,0\n");
  const Json first = Simulated({"--hours", "4", "--track", "source"});
  EXPECT_EQ(first.at("summary").at("source"), "West");
  EXPECT_THAT(first.at("summary").at("source_note").get<std::string>(), HasSubstr("first of 2 sources"));
  EXPECT_NEAR(first.at("nodes").at("A")[4].get<double>(), 50, 1e-4);
  EXPECT_NEAR(first.at("nodes").at("West")[4].get<double>(), 100, 1e-9);
  EXPECT_NEAR(first.at("nodes").at("East")[4].get<double>(), 0, 1e-9);
  const Json asked = Simulated({"--hours", "4", "--track", "source", "--from", "East", "--at", "East"});
  EXPECT_NEAR(asked.at("nodes").at("East")[4].get<double>(), 100, 1e-9);
  ExpectRefused(RunProgram({"simulate", Path("plain"), "--track", "source", "--from", "A"}),
                {"--from A", "junction"});
  ExpectRefused(RunProgram({"simulate", Path("plain"), "--track", "source", "--from", "X"}), {"--from X"});
}

// A device at the end draws from 1:00 to 1:30; the water there is young right after, and older at 3:00.
TEST_F(SimulateCommand, ARunOfADeviceMakesItsEndYounger) {
  Write("plain/nodes.csv",
        "id,kind,elevation_m,demand_l_per_s,head_m,pattern\n"
        "Plant,source,210,0,290,\nA,junction,150,0.05,,\nEnd,junction,148,0,,\n");
  Write("plain/runs.csv", "node,start_hour,minutes,flow_l_per_s\nEnd,24,60,8\n");
  const Json json = Simulated({"--hours", "30", "--track", "age", "--at", "End"});
  const Json& end = json.at("nodes").at("End");
  EXPECT_NEAR(end[24].get<double>(), 24, 1e-6);
  EXPECT_NEAR(end[25].get<double>(), kVolume_m3 / 8e-3 / 3600, 0.01);
  EXPECT_NEAR(end[30].get<double>(), end[25].get<double>() + 5, 1e-3);
}

TEST_F(SimulateCommand, WhatIsNotFedIsNullAndTheAnswerIsNo) {
  Write("plain/links.csv",
        "id,kind,from,to,length_m,diameter_mm,roughness,minor_loss\n"
        "1,pipe,Plant,A,1000,100,130,0\n2,closed,A,End,,,,\n");
  const Json json = Simulated({"--hours", "2", "--track", "age"}, 1);
  EXPECT_TRUE(json.at("nodes").at("End")[2].is_null());
  EXPECT_FALSE(json.at("nodes").at("A")[2].is_null());
  ASSERT_EQ(json.at("summary").at("not_fed_nodes").size(), 1U);
  EXPECT_EQ(json.at("summary").at("not_fed_nodes")[0].at("id"), "End");
}

TEST_F(SimulateCommand, TheTextTellsTheOldestOrTheNodesAskedFor) {
  const Answer oldest = RunProgram({"simulate", Path("plain"), "--hours", "4"});
  ExpectDone(oldest);
  EXPECT_THAT(oldest.out, HasSubstr("Oldest"));
  EXPECT_THAT(oldest.out, HasSubstr("End   2.2 h by hour 4"));
  const Answer series =
      RunProgram({"simulate", Path("plain"), "--hours", "4", "--track", "chlorine", "--at", "A"});
  ExpectDone(series);
  EXPECT_THAT(series.out, HasSubstr("1.12 mg/L"));
  EXPECT_THAT(series.out, HasSubstr("g entered"));
}

TEST_F(SimulateCommand, WhatCannotBeMeantIsRefusedInOneLine) {
  const auto refused = [&](std::vector<std::string> words, const std::vector<std::string>& said) {
    words.insert(words.begin(), {"simulate", Path("plain")});
    ExpectRefused(RunProgram(words), said);
  };
  refused({"--at", "End,Nowhere"}, {"--at Nowhere", "no such node"});
  refused({"--hours", "0"}, {"--hours 0"});
  refused({"--hours", "1", "--step-minutes", "45"}, {"--hours 1", "45 minutes"});
  refused({"--step-minutes", "-5"}, {"--step-minutes -5"});
  refused({"--track", "colour"}, {"--track colour"});
  refused({"--from", "Plant"}, {"--from", "--track source"});
  refused({"--from-date", "2027-07-05"}, {"--from-date", "project"});
  refused({"--keep"}, {"--keep", "project"});
  refused({"--pictures", Path("maps")}, {"no places"});
  ExpectRefused(RunProgram({"simulate", project_}), {project_, "lastreach map"});
  ExpectRefused(RunProgram({"simulate", project_, "--from-date", "soon"}), {"--from-date", "soon"});
}

TEST_F(SimulateCommand, MapsOfATableWithPlacesAreDrawn) {
  Write("plain/nodes.csv",
        "id,kind,elevation_m,demand_l_per_s,head_m,pattern,x_m,y_m\n"
        "Plant,source,210,0,250,,0,0\nA,junction,150,0,,,800,100\nEnd,junction,148,2,,,1500,900\n");
  ExpectDone(RunProgram({"simulate", Path("plain"), "--hours", "4", "--pictures", Path("maps")}));
  EXPECT_EQ(Names("maps"), (std::vector<std::string>{"lowest-pressure.pdf", "lowest-pressure.png",
                                                     "oldest-water.pdf", "oldest-water.png"}));
}

TEST_F(SimulateCommand, CompletionKnowsItsWords) {
  const Answer answer = RunProgram({"completion"});
  ExpectDone(answer);
  for (const char* word : {"simulate) options=", "--step-minutes", "--track", "--pictures", "--from-date"}) {
    EXPECT_THAT(answer.out, HasSubstr(word));
  }
}

}  // namespace
}  // namespace lastreach
