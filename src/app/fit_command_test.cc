#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "app/test_sheets.h"
#include "core/stated_spread.h"
#include "store/project.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;
using ::testing::HasSubstr;
using ::testing::Not;

constexpr const char* kGrabs =
    "Device,Date,Time,Free mg/L,Temp F\n"
    "D1,2026-07-03,08:00,0.3,77\nD1,2026-07-06,00:30,0.2,77\nD1,2026-07-08,09:00,0.5,77\n"
    "D2,2026-07-14,09:15,0.6,77\nD2,2026-07-15,01:30,0.4,77\nD2,2026-07-16,09:15,ND,77\n";

class FitCommand : public WithAProject {
 protected:
  void ImportWithGrabs() const {
    ImportAll();
    ExpectDone(Import(Write("grabs.csv", kGrabs), "samples"));
  }
  Answer Fit(std::vector<std::string> more = {}) const {
    std::vector<std::string> words = {"fit", project_};
    words.insert(words.end(), more.begin(), more.end());
    return RunProgram(words);
  }
  SupplyZone North() const {
    const auto project = Project::Open(project_);
    EXPECT_TRUE(project.ok());
    return project->SupplyZones()->front();
  }
};

TEST_F(FitCommand, SaysWhatTheReadingsTellAndWhatTheyDoNot) {
  ImportWithGrabs();
  const Answer answer = Fit();
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("Zone North: 6 readings at 2 points."));
  EXPECT_THAT(answer.out, HasSubstr("loss in the bulk"));
  EXPECT_THAT(answer.out, HasSubstr("residual in the main of D2"));
  EXPECT_THAT(answer.out, HasSubstr("D1: lowest "));
  EXPECT_THAT(answer.out, HasSubstr("Worth most next: a sample "));
  EXPECT_THAT(answer.out, Not(HasSubstr("Written")));
}

TEST_F(FitCommand, JsonHasEveryKeyWithItsUnit) {
  ImportWithGrabs();
  const Answer answer = Fit({"--json"});
  ExpectDone(answer);
  const Json json = Json::parse(answer.out);
  ASSERT_EQ(json.at("zones").size(), 1U);
  const Json& zone = json.at("zones")[0];
  EXPECT_EQ(zone.at("zone"), "North");
  EXPECT_TRUE(zone.at("converged").get<bool>());
  EXPECT_EQ(zone.at("readings").size(), 6U);
  EXPECT_TRUE(zone.at("readings")[5].at("below_detection").get<bool>());
  for (const Json& number : zone.at("numbers")) {
    EXPECT_GT(number.at("value").get<double>(), 0);
    EXPECT_LE(number.at("log_sd").get<double>(), number.at("before_log_sd").get<double>() * (1 + 1e-9));
  }
  EXPECT_EQ(zone.at("numbers")[0].at("number"), "bulk_per_day_at_20c");
  for (const Json& end : zone.at("ends"))
    EXPECT_LT(end.at("sd_mg_per_l").get<double>(), end.at("sd_before_mg_per_l").get<double>());
  EXPECT_LT(zone.at("worth").at("sd_then_mg_per_l").get<double>(),
            zone.at("worth").at("sd_now_mg_per_l").get<double>());
}

TEST_F(FitCommand, ApplyWritesForThePlanAndKeepsTheOldInWords) {
  ImportWithGrabs();
  const SupplyZone before = North();
  const Json fitted = Json::parse(Fit({"--json"}).out).at("zones")[0];
  EXPECT_EQ(North(), before);  // without --apply nothing is written
  const Answer answer = Fit({"--apply", "--who", "J. Doe"});
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("Written: "));
  const auto project = Project::Open(project_);
  ASSERT_TRUE(project.ok());
  bool any = false;
  const auto reaches = project->Reaches();
  for (const Reach& reach : *reaches) {
    if (!reach.upstream_residual) continue;
    any = true;
    EXPECT_EQ(reach.upstream_residual->origin.by, "J. Doe");
    EXPECT_TRUE(StatedLogSd(reach.upstream_residual->origin));
    EXPECT_THAT(reach.upstream_residual->origin.note, HasSubstr("before: 1.2 mg/L"));
    EXPECT_EQ(reach.pipes.size(), 1U);
  }
  const SupplyZone after = North();
  if (after != before) {
    any = true;
    EXPECT_NEAR(after.bulk_per_day_at_20c->value, fitted.at("numbers")[0].at("value").get<double>(), 1e-9);
    EXPECT_THAT(after.bulk_per_day_at_20c->origin.note, HasSubstr("before: 0.5 1/d"));
  }
  EXPECT_TRUE(any);
  // What the fit wrote is no news to the next one: the readings do not count twice.
  const Json again = Json::parse(Fit({"--json"}).out).at("zones")[0];
  EXPECT_GE(again.at("numbers")[0].at("before_log_sd"), fitted.at("numbers")[0].at("before_log_sd"));
}

TEST_F(FitCommand, RefusesWhatItCannotFit) {
  ImportAll();
  ExpectRefused(Fit(), {project_, "no point", "samples"});
  ExpectDone(Import(Write("grabs.csv", kGrabs), "samples"));
  ExpectRefused(Fit({"--zone", "South"}), {"South"});
  ExpectRefused(Fit({"--apply"}), {"--who"});
  ExpectRefused(Fit({"--kit", "0"}), {"--kit"});
  ExpectRefused(RunProgram({"fit", Path("nowhere.gpkg")}), {"nowhere.gpkg"});
}

}  // namespace
}  // namespace lastreach
