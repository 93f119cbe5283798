#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <nlohmann/json.hpp>

#include "app/test_program.h"
#include "store/project.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;

constexpr double kHours = 72;

// Three days of the invented town, simulated once by the program itself and read from what it prints and
// keeps.
class TownSimulation : public ::testing::Test {
 protected:
  static void SetUpTestSuite() {
    folder_ = std::filesystem::path(::testing::TempDir()) /
              ("lastreach_town_simulation_" + std::to_string(getpid()));
    ExpectDone(RunProgram({"demo", folder_.string()}));
    file_ = (folder_ / "town.gpkg").string();
    ExpectDone(RunProgram({"map", file_}));
    const Answer answer = RunProgram({"simulate", file_, "--hours", "72", "--from-date", "2027-07-05",
                                      "--keep", "--pictures", (folder_ / "maps").string(), "--json"});
    ExpectDone(answer);
    json_ = Json::parse(answer.out);
  }
  static void TearDownTestSuite() {
    std::filesystem::remove_all(folder_);
    json_ = Json();
  }

  static double WarmHours() { return 168 * json_.at("summary").at("warm_up").at("weeks").get<double>(); }

  static std::filesystem::path folder_;
  static std::string file_;
  static Json json_;
};

std::filesystem::path TownSimulation::folder_;
std::string TownSimulation::file_;
Json TownSimulation::json_;

TEST_F(TownSimulation, NoWaterIsOlderThanTheSimulation) {
  size_t known = 0;
  const auto& times = json_.at("times_h");
  for (const auto& [node, values] : json_.at("nodes").items()) {
    ASSERT_EQ(values.size(), times.size()) << node;
    for (size_t i = 0; i < values.size(); ++i) {
      if (values[i].is_null()) continue;
      ++known;
      ASSERT_GE(values[i].get<double>(), 0) << node;
      ASSERT_LE(values[i].get<double>(), WarmHours() + times[i].get<double>() + 1e-3) << node;
    }
  }
  EXPECT_GT(known, 6000 * times.size());
}

TEST_F(TownSimulation, NoResidualIsAboveThatOfTheSources) {
  const double most_mg_per_l = 2.2;  // zones.csv of the demo
  ASSERT_GT(json_.at("services").size(), 5000U);
  for (const Json& service : json_.at("services")) {
    const double lowest = service.at("lowest_mg_per_l").get<double>();
    EXPECT_GE(lowest, 0) << service;
    EXPECT_LE(lowest, service.at("chlorine_worst_week_mg_per_l").get<double>() + 1e-6) << service;
    EXPECT_LE(service.at("chlorine_worst_week_mg_per_l").get<double>(), most_mg_per_l) << service;
    EXPECT_GE(service.at("oldest_h").get<double>(), service.at("age_worst_week_h").get<double>() - 1e-6)
        << service;
  }
}

// The residual that a device finds when it opens is lower, and the water older, than an hour after it began.
TEST_F(TownSimulation, EndsAreFreshRightAfterTheirRun) {
  int looked = 0;
  for (const Json& end : json_.at("ends")) {
    if (end.at("judged") != "end of the longest gap") continue;
    const Instant begins = *ParseRfc3339(json_.at("summary").at("begins").get<std::string>());
    const Instant judged = *ParseRfc3339(end.at("judged_at").get<std::string>());
    const auto hour = static_cast<size_t>((judged - begins).count() / 3600 + 1);
    const Json& ages = json_.at("nodes").at(end.at("node").get<std::string>());
    if (hour >= ages.size()) continue;
    ++looked;
    EXPECT_LT(ages[hour].get<double>(), end.at("age_h").get<double>()) << end;
    EXPECT_GE(end.at("age_h").get<double>(), end.at("longest_gap_h").get<double>()) << end;
  }
  EXPECT_GE(looked, 12);
}

TEST_F(TownSimulation, WaterAndDisinfectantAreAllAccountedFor) {
  const Json& summary = json_.at("summary");
  EXPECT_EQ(summary.at("status"), "converged");
  EXPECT_TRUE(summary.at("not_fed_nodes").empty());
  const Json& water = summary.at("water");
  EXPECT_LT(std::abs(water.at("imbalance_m3").get<double>()), 1e-9 * water.at("given_m3").get<double>());
  const Json& mass = summary.at("disinfectant");
  EXPECT_LT(std::abs(mass.at("imbalance_g").get<double>()), 1e-9 * mass.at("entered_g").get<double>());
  EXPECT_GT(summary.at("numbers").size(), 20U);
}

TEST_F(TownSimulation, WhatIsKeptIsWhatIsTold) {
  auto project = Project::Open(file_);
  ASSERT_TRUE(project.ok());
  const auto network = project->LoadNetwork();
  const auto results = project->Results();
  ASSERT_EQ(results->size(), 4U);
  std::map<ResultKind, NetworkResult> of_kind;
  for (const NetworkResult& result : *results) {
    of_kind[result.kind] = result;
    EXPECT_EQ(result.steps, static_cast<int>(kHours) + 1);
    EXPECT_EQ(result.of_links, result.kind == ResultKind::kFlow);
  }
  const std::vector<float> ages = *project->ResultStep(of_kind[ResultKind::kAge].id, 50);
  ASSERT_EQ(ages.size(), (*network)->nodes.size());
  size_t compared = 0;
  for (size_t i = 0; i < ages.size(); ++i) {
    const auto told = json_.at("nodes").find((*network)->nodes[i].id);
    if (told == json_.at("nodes").end() || (*told)[50].is_null())
      continue;  // sources have names of their own
    ++compared;
    EXPECT_NEAR((*told)[50].get<double>(), ages[i], 1e-5 * (1 + ages[i]));
  }
  EXPECT_GT(compared, 900U);
}

TEST_F(TownSimulation, PicturesAreDrawn) {
  for (const char* name : {"lowest-pressure", "oldest-water", "lowest-residual", "six-ends"}) {
    for (const char* kind : {".pdf", ".png"}) {
      EXPECT_GT(std::filesystem::file_size(folder_ / "maps" / (std::string(name) + kind)), 10000U);
    }
  }
}

}  // namespace
}  // namespace lastreach
