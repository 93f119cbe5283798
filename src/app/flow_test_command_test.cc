#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "app/test_sheets.h"
#include "store/project.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;
using ::testing::HasSubstr;

class FlowTestCommand : public WithAProject {
 protected:
  FlowTestCommand() { ImportAll(); }
  Answer Ask(std::vector<std::string> more) const {
    std::vector<std::string> words = {"flow-test", project_, "D1"};
    words.insert(words.end(), more.begin(), more.end());
    return RunProgram(words);
  }
};

TEST_F(FlowTestCommand, IsAVolumeOverATime) {
  const Answer drum = Ask({"--drum", "55 gal", "--seconds", "60", "--json"});
  ExpectDone(drum);
  EXPECT_NEAR(Json::parse(drum.out).at("flow_m3_per_s").get<double>(), 55 * 3.785411784e-3 / 60, 1e-9);
  const Answer meter = Ask({"--before", "41200 gal", "--after", "41500 gal", "--minutes", "5"});
  ExpectDone(meter);
  EXPECT_THAT(meter.out, HasSubstr("D1: 60 gpm (3.79 L/s), give or take 2 %; on the lid stands 60 gpm"));
}

// SOURCE: NFPA 291, q = 29.84 c d^2 sqrt(p): 29.84 x 0.9 x 2.5^2 x sqrt(16) = 671.4 gpm.
TEST_F(FlowTestCommand, OfAPitotGaugeIsThatOfTheHydrantFlowFormula) {
  const Answer pitot = Ask({"--pitot", "16 psi", "--outlet", "2.5 in", "--json"});
  ExpectDone(pitot);
  const Json json = Json::parse(pitot.out);
  EXPECT_NEAR(json.at("flow_m3_per_s").get<double>() / 6.30901964e-5, 671.4, 0.7);
  EXPECT_EQ(json.at("by"), "pitot");
}

TEST_F(FlowTestCommand, IsKeptWithWhoMeasuredAndHowWell) {
  ExpectDone(Ask({"--drum", "200 L", "--seconds", "50", "--keep", "--who", "J. Doe"}));
  const auto project = Project::Open(project_);
  const auto tests = project->FlowTestsOf(PointCode("D1"));
  ASSERT_TRUE(tests.ok());
  ASSERT_EQ(tests->size(), 1U);
  EXPECT_NEAR(tests->front().flow.litres_per_second(), 4, 1e-9);
  EXPECT_EQ(tests->front().by, MeasuredBy::kDrum);
  EXPECT_EQ(tests->front().who, "J. Doe");
  EXPECT_GT(*tests->front().accuracy, 0.04);
}

TEST_F(FlowTestCommand, RefusesInOneLineWhatItCannotMean) {
  EXPECT_EQ(Ask({}).code, 2);
  EXPECT_THAT(Ask({"--drum", "55", "--seconds", "60"}).err, HasSubstr("--drum '55': a number and its unit"));
  EXPECT_EQ(Ask({"--drum", "55 gal"}).code, 2);
  EXPECT_EQ(Ask({"--drum", "55 gal", "--seconds", "60", "--pitot", "9 psi"}).code, 2);
  EXPECT_THAT(Ask({"--drum", "55 gal", "--seconds", "60", "--keep"}).err, HasSubstr("--who"));
  EXPECT_EQ(RunProgram({"flow-test", project_, "D9", "--drum", "55 gal", "--seconds", "60"}).code, 2);
}

}  // namespace
}  // namespace lastreach
