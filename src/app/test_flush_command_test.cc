#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "app/test_sheets.h"
#include "store/project.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;
using ::testing::HasSubstr;

// D1's reach: 600 ft of 6 in main, 881 gal, at 60 gpm 14.7 min.
constexpr const char* kReadings =
    "minutes,residual_mg_per_l,temperature_f,turbidity_ntu,flow_gpm,pressure_psi\n"
    "1,<0.1,71,5,60,52\n5,0.2,70,2,,\n10,0.35,69,,60,\n16,1.1,68,,,\n20,1.2,68,0.4,60,51\n24,1.15,68,0.3,,\n";

class TestFlushCommand : public WithAProject {
 protected:
  Answer Ask(std::vector<std::string> more) const {
    std::vector<std::string> words = {"test-flush", project_, "D1"};
    words.insert(words.end(), more.begin(), more.end());
    return RunProgram(words);
  }
  std::string Readings(const std::string& text = kReadings) const { return Write("readings.csv", text); }
};

TEST_F(TestFlushCommand, ReadsASheetAndSaysWhatToKeyIn) {
  ImportAll();
  const Answer answer = Ask({"--csv", Readings()});
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("D1  End of Alder Way: Flat: you can stop."));
  EXPECT_THAT(answer.out, HasSubstr("the map is right"));
  EXPECT_THAT(answer.out, HasSubstr("key in: "));
  EXPECT_THAT(answer.out, HasSubstr("What stood in the pipe"));
}

TEST_F(TestFlushCommand, SaysWhereNoRunOfTheTimerLastsSoLong) {
  ImportAll();
  ExpectDone(Import(Write("short.csv", "Name,Programmes,Starts per programme,Minutes max\ngrey box,3,4,2\n"),
                    "controllers"));
  const Answer answer = Ask({"--csv", Readings()});
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("That is more than the 2 min its timer takes for one run"));
}

TEST_F(TestFlushCommand, JsonHasEveryKeyWithItsUnit) {
  ImportAll();
  const Answer answer = Ask({"--csv", Readings(), "--upstream", "1.2", "--json"});
  ExpectDone(answer);
  const Json json = Json::parse(answer.out);
  EXPECT_EQ(json.at("point"), "D1");
  EXPECT_EQ(json.at("advice"), "flat");
  EXPECT_EQ(json.at("arrives"), "as the main");
  EXPECT_EQ(json.at("volume"), "map right");
  EXPECT_NEAR(json.at("plateau_mg_per_l").get<double>(), 1.15, 1e-9);
  EXPECT_NEAR(json.at("flat_after_s").get<double>(), 960, 1e-9);
  EXPECT_NEAR(json.at("flow_l_per_s").get<double>(), 3.785, 0.001);
  // 16 min read, a tenth more and half a minute for the valve.
  EXPECT_EQ(json.at("minutes"), 19);
  EXPECT_EQ(json.at("stood").size(), 4U);
  EXPECT_TRUE(json.at("stood")[0].at("below_detection").get<bool>());
}

TEST_F(TestFlushCommand, ReadingsSoFarAreAnsweredWithGoOn) {
  ImportAll();
  const std::string text = kReadings;
  const Answer answer = Ask({"--csv", Readings(text.substr(0, text.find("10,0.35")))});
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("Go on: not flat yet."));
}

TEST_F(TestFlushCommand, AFlushBelowTheMainIsAnsweredWithNo) {
  ImportAll();
  const Answer answer =
      Ask({"--csv", Readings("minutes,residual_mg_per_l\n10,0.2\n20,0.4\n25,0.45\n30,0.45\n"), "--upstream",
           "1.2"});
  EXPECT_EQ(answer.code, 1) << answer.err;
  EXPECT_THAT(answer.out, HasSubstr("more water changes nothing"));
}

TEST_F(TestFlushCommand, ReadsTheLatestOfTheProjectWithoutASheet) {
  ImportAll();
  ExpectRefused(Ask({}), {"D1", "no test flush"});
  {
    auto project = Project::Open(project_);
    ASSERT_TRUE(project.ok());
    TestFlush flush;
    flush.point = PointCode("D1");
    flush.begun = *ParseRfc3339("2026-07-10T14:00:00Z");
    for (const double minutes : {5.0, 16.0, 20.0, 24.0}) {
      FlushReading reading;
      reading.after = Duration::Minutes(minutes);
      reading.residual = Concentration::MilligramsPerLitre(minutes < 10 ? 0.2 : 1.2);
      flush.readings.push_back(reading);
    }
    ASSERT_TRUE(project->AddTestFlush(flush).ok());
  }
  const Answer answer = Ask({});
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("Flat: you can stop."));
}

TEST_F(TestFlushCommand, RefusesWhatItCannotRead) {
  ImportAll();
  ExpectRefused(RunProgram({"test-flush", project_, "D9", "--csv", Readings()}), {"D9"});
  ExpectRefused(Ask({"--csv", Path("nowhere.csv")}), {"nowhere.csv"});
  ExpectRefused(Ask({"--csv", Readings("minutes,residual_mg_per_l\n5,much\n")}),
                {"line 2", "residual_mg_per_l", "much"});
  ExpectRefused(Ask({"--csv", Readings("minutes,residual_mg_per_l\n5,0.2\n5,0.3\n")}), {"line 3", "minutes"});
  ExpectRefused(Ask({"--csv", Readings("minutes,residual_mg_per_l\n,0.2\n")}), {"line 2", "minutes"});
  ExpectRefused(Ask({"--csv", Readings("minutes,residual_mg_per_l,smell\n5,0.2,none\n")}), {"smell"});
  ExpectRefused(Ask({"--csv", Readings("minutes,residual_mg_per_l\n")}), {"no reading"});
  ExpectRefused(Ask({"--csv", Readings(), "--kit", "5"}), {"--kit"});
  ExpectRefused(Ask({"--csv", Readings(), "--upstream", "-1"}), {"--upstream"});
}

}  // namespace
}  // namespace lastreach
