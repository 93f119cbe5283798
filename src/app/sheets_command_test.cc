#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "app/test_sheets.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::UnorderedElementsAreArray;

class SheetsCommand : public WithAProject {
 protected:
  Answer Sheets(std::vector<std::string> more = {}) const {
    std::vector<std::string> words = {"sheets", project_};
    words.insert(words.end(), more.begin(), more.end());
    return RunProgram(words);
  }
  // Codes as people write them on lids, of devices about which too little is known: quickly planned.
  void PlanOddCodes() const {
    ExpectDone(Import(Write("zones.csv", kZonesCsv), "zones"));
    ExpectDone(Import(Write("odd.csv",
                            "Device,Zone\n"
                            "FP 1,North\n"
                            "É2,North\n"
                            "È2,North\n"),
                      "devices"));
    EXPECT_EQ(RunProgram({"plan", project_}).code, 1);
  }
};

TEST_F(SheetsCommand, WritesTheFilesItNames) {
  ImportAll();
  ExpectDone(RunProgram({"plan", project_}));
  const std::string folder = Path("a \"new\" folder/for sheets");
  const Answer answer = Sheets({"--out", folder, "--json"});
  ExpectDone(answer);
  const Json json = Json::parse(answer.out);
  EXPECT_EQ(json.at("folder"), folder);
  const std::vector<std::string> files = json.at("files");
  EXPECT_THAT(files,
              ElementsAre("key-in-D1.pdf", "key-in-D2.pdf", "route.pdf", "changes.pdf", "overview.pdf",
                          "week.pdf", "signs.pdf", "phone-script.pdf", "council.pdf", "timer-form.pdf"));
  EXPECT_THAT(Names("a \"new\" folder/for sheets"), UnorderedElementsAreArray(files));
  for (const std::string& file : files) EXPECT_THAT(Bytes(folder + "/" + file).substr(0, 5), "%PDF-") << file;

  const Answer text = Sheets({"--out", Path("again")});
  ExpectDone(text);
  EXPECT_THAT(text.out,
              HasSubstr("Printed 2 key-in sheets, route.pdf, changes.pdf, overview.pdf, week.pdf, signs.pdf, "
                        "phone-script.pdf, council.pdf and timer-form.pdf for summer 2026"));
  for (const std::string& file : files) {
    EXPECT_EQ(Bytes(Path("again") + "/" + file), Bytes(folder + "/" + file)) << file;
  }
}

TEST_F(SheetsCommand, NoTwoDevicesShareAFile) {
  PlanOddCodes();
  const Answer answer = Sheets({"--out", Path("out"), "--json"});
  ExpectDone(answer);
  const std::vector<std::string> files = Json::parse(answer.out).at("files");
  EXPECT_THAT(files, ElementsAre("key-in-FP_1.pdf", "key-in-__2.pdf", "key-in-__2-2.pdf", "route.pdf",
                                 "changes.pdf", "overview.pdf", "week.pdf", "signs.pdf", "phone-script.pdf",
                                 "council.pdf", "timer-form.pdf"));
  EXPECT_THAT(Names("out"), UnorderedElementsAreArray(files));
}

TEST_F(SheetsCommand, PaperAndUnitsChangeWhatIsPrinted) {
  PlanOddCodes();
  ExpectDone(Sheets({"--out", Path("plain")}));
  ExpectDone(Sheets({"--out", Path("a5"), "--paper", "a5"}));
  ExpectDone(Sheets({"--out", Path("phone"), "--phone", "555 0100"}));
  const std::string plain = Bytes(Path("plain/key-in-FP_1.pdf"));
  EXPECT_NE(Bytes(Path("a5/key-in-FP_1.pdf")), plain);
  EXPECT_NE(Bytes(Path("phone/key-in-FP_1.pdf")), plain);
}

TEST_F(SheetsCommand, CarryTheDayOfTheTownAndNotOfGreenwich) {
  PlanOddCodes();
  const auto printed = [this](const char* now) {
    ExpectDone(RunProgram({"sheets", project_, "--out", Path("out")}, now));
    return Bytes(Path("out/key-in-FP_1.pdf"));
  };
  // 02:00 UTC is nine in the evening of the day before in Chicago.
  const std::string monday = printed("2026-07-20T15:00:00Z");
  EXPECT_EQ(printed("2026-07-21T02:00:00Z"), monday);
  EXPECT_NE(printed("2026-07-21T15:00:00Z"), monday);
}

TEST_F(SheetsCommand, RefusesBeforeAnythingIsWritten) {
  const std::string out = Path("out");
  ExpectRefused(Sheets({"--out", out}), {project_, "no plan", "lastreach plan"});
  PlanOddCodes();
  ExpectRefused(Sheets({"--out", out, "--paper", "a3"}), {"--paper a3", "half-letter"});
  ExpectRefused(Sheets({"--out", out, "--units", "cubits"}), {"--units cubits", "metric"});
  EXPECT_FALSE(std::filesystem::exists(out));
  const std::string in_the_way = Write("file", "in the way");
  ExpectRefused(Sheets({"--out", in_the_way}), {in_the_way});
  EXPECT_EQ(Bytes(in_the_way), "in the way");
}

}  // namespace
}  // namespace lastreach
