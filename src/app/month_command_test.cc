#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "app/test_sheets.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;
using ::testing::AllOf;
using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::UnorderedElementsAreArray;

constexpr const char* kAfter = "2026-09-10T15:00:00Z";

constexpr const char* kReadsCsv =
    "Device,Date,Time,Read (gal)\n"
    "D1,2026-07-31,08:00,100000\n"
    "D1,2026-09-02,08:00,117400\n";

class MonthCommand : public WithAProject {
 protected:
  MonthCommand() {
    ImportAll();
    ExpectDone(Import(Write("samples.csv",
                            "Device,Date,Time,Free mg/L\n"
                            "D1,2026-08-03,08:00,0.5\n"
                            "D2,2026-08-14,09:15,ND\n"),
                      "samples", {}, kAfter));
    ExpectDone(Import(Write("reads.csv", kReadsCsv), "reads", {}, kAfter));
  }
  Answer Month(std::vector<std::string> more = {}, const char* now = kAfter) const {
    std::vector<std::string> words = {"month", project_, "2026-08"};
    words.insert(words.end(), more.begin(), more.end());
    return RunProgram(words, now);
  }
};

TEST_F(MonthCommand, AddsUpTheMonth) {
  const Answer answer = Month({"--json", "--population", "2600"});
  ExpectDone(answer);
  const Json json = Json::parse(answer.out);
  EXPECT_EQ(json.at("month"), "2026-08");
  const Json& water = json.at("water");
  ASSERT_EQ(water.at("rows").size(), 2U);
  // D1 ran on 13 nights in August, and on 2 September too: 14 between the reads.
  EXPECT_EQ(water.at("rows")[0].at("runs"), 13);
  EXPECT_EQ(water.at("rows")[0].at("method"), "meter");
  EXPECT_NEAR(water.at("rows")[0].at("metered_gal").get<double>(), 17400 * 13.0 / 14, 0.51);
  // D2: 31 nights of 10 minutes at 40 gallons a minute.
  EXPECT_NEAR(water.at("rows")[1].at("estimated_gal").get<double>(), 12400, 1);
  EXPECT_EQ(water.at("total").at("total_gal"), json.at("flush_log").at("total").at("volume_gal"));
  EXPECT_EQ(json.at("summary").at("readings"), 2);
  EXPECT_EQ(json.at("summary").at("samples_needed"), 3);
  EXPECT_DOUBLE_EQ(json.at("summary").at("undetected_percent").get<double>(), 50);
  EXPECT_EQ(json.at("exceptions").at("rows")[0].at("point"), "D2");
}

TEST_F(MonthCommand, WritesTheFilesItNames) {
  const std::string form = Write("county.toml",
                                 "rows = \"water\"\ntotal = true\n[[column]]\nheading = \"Gallons\"\nfield = "
                                 "\"total_gal\"\n[[column]]\nheading = \"Site\"\nfield = \"point\"\n");
  const Answer answer = Month({"--out", Path("out"), "--template", form});
  ExpectDone(answer);
  const std::vector<std::string> names = Names("out");
  for (const std::string& name : names) EXPECT_THAT(answer.out, HasSubstr("  " + name + "\n"));
  EXPECT_THAT(names, AllOf(Contains("month-2026-08.pdf"), Contains("month-2026-08.xlsx"),
                           Contains("month-2026-08-water.csv"), Contains("month-2026-08-as-county.csv")));
  const std::string csv = Bytes(Path("out/month-2026-08-as-county.csv"));
  const Json json = Json::parse(Month({"--json"}).out);
  EXPECT_TRUE(csv.starts_with("Gallons,Site\n")) << csv;
  EXPECT_TRUE(
      csv.ends_with(std::to_string(json.at("water").at("total").at("total_gal").get<int64_t>()) + ",Total\n"))
      << csv;
  const std::string pdf = Bytes(Path("out/month-2026-08.pdf"));
  ExpectDone(Month({"--out", Path("again")}));
  EXPECT_EQ(Bytes(Path("again/month-2026-08.pdf")), pdf);
}

TEST_F(MonthCommand, SaysItForPeople) {
  const Answer answer = Month();
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("August 2026: "));
  EXPECT_THAT(answer.out, HasSubstr("2 residual readings, 50.0 % below the limit"));
  EXPECT_THAT(answer.out, HasSubstr("No least residual has been entered as a limit"));
  const Answer so_far = Month({}, "2026-08-20T15:00:00Z");
  ExpectDone(so_far);
  EXPECT_THAT(so_far.out, HasSubstr("counted through 2026-08-20"));
}

TEST_F(MonthCommand, MetricHasCubicMetres) {
  const Json json = Json::parse(Month({"--json", "--units", "metric"}).out);
  EXPECT_EQ(json.at("volume_unit"), "m3");
  EXPECT_NEAR(json.at("water").at("rows")[1].at("estimated_m3").get<double>(), 12400 * 3.785411784e-3, 0.11);
}

TEST_F(MonthCommand, RefusesInOneLine) {
  ExpectRefused(RunProgram({"month", project_, "2026-13"}, kAfter), {"2026-13", "2026-08"});
  ExpectRefused(RunProgram({"month", project_, "August"}, kAfter), {"August"});
  ExpectRefused(RunProgram({"month", project_, "2026-10"}, kAfter), {"2026-10", "has not begun"});
  ExpectRefused(RunProgram({"month", Path("none.gpkg"), "2026-08"}, kAfter), {"none.gpkg"});
  ExpectRefused(Month({"--units", "cubits"}), {"cubits"});
  ExpectRefused(Month({"--population", "-3"}), {"-3"});
  ExpectRefused(Month({"--dose", "salt=2"}), {"salt=2", "sodium sulfite"});
  ExpectRefused(Month({"--dose", "ascorbic acid=much"}), {"much"});
  ExpectRefused(Month({"--template", Path("t.toml")}), {"--out"});
  const std::string form = Write("t.toml", "rows = \"water\"\n[[column]]\nfield = \"litres\"\n");
  ExpectRefused(Month({"--out", Path("out"), "--template", form}), {"t.toml, line 2", "litres", "total_gal"});
  EXPECT_FALSE(std::filesystem::exists(Path("out")));
}

}  // namespace
}  // namespace lastreach
