#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "app/test_sheets.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;
using ::testing::HasSubstr;

class SolveCommand : public WithAProject {
 protected:
  SolveCommand() {
    std::filesystem::create_directories(Path("plain"));
    Write("plain/nodes.csv",
          "id,kind,elevation_m,demand_l_per_s,head_m,pattern\n"
          "Plant,source,210,0,214,\n"
          "A,junction,150,20,,day\n"
          "End,junction,,10,,\n");
    Write("plain/links.csv",
          "id,kind,from,to,length_m,diameter_mm,roughness,minor_loss\n"
          "1,pipe,Plant,A,1000,200,130,0\n"
          "2,pipe,End,A,1000,100,100,0\n");
    Write("plain/patterns.csv", "pattern,hour,factor\nday,0,1\nday,1,1.5\n");
  }
};

// 0.03 m3/s through 1000 m of 0.2 m, C 130, lose 4.98116 m; 0.01 m3/s through 1000 m of 0.1 m, C 100, lose
// 30.97721 m: worked out by hand from the law with w = 10.667.
TEST_F(SolveCommand, GivesHeadsPressuresFlowsAndLosses) {
  const Answer answer = RunProgram({"solve", Path("plain"), "--json"});
  ExpectDone(answer);
  const Json json = Json::parse(answer.out);
  const Json& nodes = json.at("nodes");
  ASSERT_EQ(nodes.size(), 3U);
  EXPECT_EQ(nodes[0].at("id"), "Plant");
  EXPECT_NEAR(nodes[0].at("demand_l_per_s").get<double>(), -30, 1e-9);
  EXPECT_NEAR(nodes[1].at("head_m").get<double>(), 214 - 4.98116, 1e-5);
  EXPECT_NEAR(nodes[1].at("pressure_m").get<double>(), 64 - 4.98116, 1e-5);
  EXPECT_NEAR(nodes[2].at("head_m").get<double>(), 214 - 4.98116 - 30.97721, 1e-5);
  EXPECT_TRUE(nodes[2].at("pressure_m").is_null());
  const Json& links = json.at("links");
  EXPECT_NEAR(links[0].at("flow_l_per_s").get<double>(), 30, 1e-9);
  EXPECT_NEAR(links[1].at("flow_l_per_s").get<double>(), -10, 1e-9);
  EXPECT_NEAR(links[1].at("head_loss_m").get<double>(), -30.97721, 1e-5);
  EXPECT_NEAR(links[1].at("velocity_m_per_s").get<double>(), 1.27324, 1e-5);
  EXPECT_EQ(json.at("summary").at("status"), "converged");
  EXPECT_LT(json.at("summary").at("mass_imbalance_m3_per_s").get<double>(), 1e-12);
}

// Of the pattern the second hour has 1.5 times the demand of A.
TEST_F(SolveCommand, AnHourHasItsOwnFactors) {
  const Answer answer = RunProgram({"solve", Path("plain"), "--json", "--hour", "1"});
  ExpectDone(answer);
  const Json json = Json::parse(answer.out);
  EXPECT_NEAR(json.at("links")[0].at("flow_l_per_s").get<double>(), 40, 1e-9);
  EXPECT_EQ(json.at("summary").at("hour"), 1);
}

TEST_F(SolveCommand, TheTextTellsTheLowestPressures) {
  const Answer answer = RunProgram({"solve", Path("plain")});
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("converged"));
  EXPECT_THAT(answer.out, HasSubstr("give 30.00 L/s"));
  EXPECT_THAT(answer.out, HasSubstr("  A  59.0 m"));
}

TEST_F(SolveCommand, APartThatNothingFeedsIsNamedAndTheAnswerIsNo) {
  Write("plain/links.csv",
        "id,kind,from,to,length_m,diameter_mm,roughness,minor_loss\n"
        "1,pipe,Plant,A,1000,200,130,0\n"
        "2,closed,End,A,,,,\n");
  const Answer text = RunProgram({"solve", Path("plain")});
  EXPECT_EQ(text.code, 1);
  EXPECT_THAT(text.out, HasSubstr("not fed: 1 node, End"));
  const Answer answer = RunProgram({"solve", Path("plain"), "--json"});
  EXPECT_EQ(answer.code, 1);
  const Json json = Json::parse(answer.out);
  EXPECT_EQ(json.at("summary").at("not_fed_nodes"), Json::parse(R"(["End"])"));
  EXPECT_TRUE(json.at("nodes")[2].at("head_m").is_null());
  EXPECT_TRUE(json.at("links")[1].at("head_loss_m").is_null());
}

TEST_F(SolveCommand, APipeWithoutARoughnessIsNamed) {
  Write("plain/links.csv",
        "id,kind,from,to,length_m,diameter_mm,roughness,minor_loss\n"
        "1,pipe,Plant,A,1000,200,130,0\n"
        "2,pipe,End,A,1000,100,,0\n");
  ExpectRefused(RunProgram({"solve", Path("plain")}), {"links.csv", "roughness", "'2'"});
  ExpectRefused(RunProgram({"solve", project_}), {project_, "lastreach map"});
}

}  // namespace
}  // namespace lastreach
