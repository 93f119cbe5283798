#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "app/test_sheets.h"
#include "store/project.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;
using ::testing::ElementsAre;
using ::testing::HasSubstr;

class ImportCommand : public WithAProject {
 protected:
  Project Opened() const {
    auto project = Project::Open(project_);
    EXPECT_TRUE(project.ok());
    return *std::move(project);
  }
  // How many of everything a sheet may add.
  std::vector<size_t> Counts() const {
    const Project project = Opened();
    size_t settings = 0;
    const std::vector<FlushPoint> points = *project.FlushPoints();
    for (const FlushPoint& point : points) settings += project.SettingsOf(point.code)->size();
    return {points.size(),
            settings,
            project.Reaches()->size(),
            project.Samples()->size(),
            project.MeterReads()->size(),
            project.ControllerForms()->size(),
            project.SupplyZones()->size(),
            project.Limits()->size()};
  }
};

TEST_F(ImportCommand, NewMakesAProjectAndNeverOverwritesOne) {
  EXPECT_EQ(Opened().Info()->name, "Mill End");
  EXPECT_EQ(Opened().Info()->zone, "America/Chicago");
  ExpectRefused(RunProgram({"new", project_, "--zone", "UTC"}), {project_});
  EXPECT_EQ(Opened().Info()->name, "Mill End");
  ExpectRefused(RunProgram({"new", Path("other.gpkg"), "--zone", "Nowhere/Land"}), {"'Nowhere/Land'"});
  ExpectRefused(RunProgram({"new", Path("no/folder/other.gpkg"), "--zone", "UTC"}),
                {Path("no/folder/other.gpkg")});
  EXPECT_THAT(Names(), ElementsAre("mill.gpkg"));
}

TEST_F(ImportCommand, PreviewShowsTheColumnsAndWritesNothing) {
  const std::string sheet = Write("devices.csv", kDevicesCsv);
  const std::string before = Bytes(project_);
  const Answer answer = Import(sheet, "devices", {"--preview"});
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("'Length (ft)'"));
  EXPECT_THAT(answer.out, HasSubstr("2 rows: 2 would come in, 0 did not."));
  EXPECT_EQ(Bytes(project_), before);
  EXPECT_TRUE(Opened().Imports()->empty());
}

TEST_F(ImportCommand, TakesWhatTheSheetSays) {
  ImportAll();
  const FlushPoint point = *Opened().FindFlushPoint(PointCode("D1"));
  EXPECT_EQ(point.place, "End of Alder Way");
  EXPECT_EQ(point.controller, "grey box");
  EXPECT_NEAR(point.flow->value.litres_per_second(), 60 * 3.785411784 / 60,
              1e-9);  // 1 gal = 3.785411784 L exactly
  const Reach reach = **Opened().ReachOf(PointCode("D2"));
  EXPECT_NEAR(reach.pipes.at(0).length.value.metres(), 300 * 0.3048, 1e-9);  // 1 ft = 0.3048 m exactly
  EXPECT_EQ(reach.pipes.at(0).length.origin.kind, OriginKind::kEstimated);
  const auto settings = *Opened().LatestSettings(PointCode("D1"), {SettingsKind::kAsFound});
  EXPECT_EQ(settings->settings.programmes.at(0).starts_min, (std::vector<int>{70}));
}

TEST_F(ImportCommand, TheSameSheetASecondTimeAddsNothing) {
  ImportAll();
  const std::string samples = Write("samples.csv", kSamplesCsv);
  const std::string reads =
      Write("reads.csv", "Device,Date,Reading (gal)\nD1,2026-07-01,1200\nD1,2026-07-08,2400\n");
  const std::string limits = Write("limits.csv",
                                   "Scope,Subject,Rule,From,To,Source\n"
                                   "system,,forbidden hours,07:00,09:00,\"head teacher, by phone\"\n");
  const std::string settings = Write("settings.csv",
                                     "Device,Kind,Date,Time,P1 starts,P1 minutes,P1 days\n"
                                     "D2,as-left,2026-07-10,10:00,3:00,15,daily\n");
  ExpectDone(Import(samples, "samples"));
  ExpectDone(Import(reads, "reads"));
  ExpectDone(Import(limits, "limits"));
  ExpectDone(Import(settings, "settings"));
  const std::vector<size_t> once = Counts();
  EXPECT_THAT(once, ElementsAre(2, 3, 2, 2, 2, 1, 1, 1));

  const char* later = "2026-07-21T09:30:00Z";
  for (const auto& [sheet, kind] :
       std::vector<std::pair<std::string, std::string>>{{"timers.csv", "controllers"},
                                                        {"zones.csv", "zones"},
                                                        {"devices.csv", "devices"},
                                                        {"samples.csv", "samples"},
                                                        {"reads.csv", "reads"},
                                                        {"limits.csv", "limits"},
                                                        {"settings.csv", "settings"}}) {
    ExpectDone(Import(Path(sheet), kind, {}, later));
    EXPECT_EQ(Counts(), once) << kind;
  }
  EXPECT_THAT(Import(Path("samples.csv"), "samples").out, HasSubstr("2 records were known already"));
}

// A lid read again on another day is news if it reads otherwise, and no news if not.
TEST_F(ImportCommand, ALidThatReadsOtherwiseIsFoundAnew) {
  ImportAll();
  std::string changed = kDevicesCsv;
  changed.replace(changed.find("1:10,20"), 7, "1:10,25");
  ExpectDone(Import(Write("august.csv", changed), "devices", {}, "2026-08-20T15:00:00Z"));
  const Project project = Opened();
  EXPECT_EQ(project.SettingsOf(PointCode("D1"))->size(), 2U);
  EXPECT_EQ(project.SettingsOf(PointCode("D2"))->size(), 1U);
  EXPECT_EQ(
      (*project.LatestSettings(PointCode("D1"), {SettingsKind::kAsFound}))->settings.programmes[0].minutes,
      25);
  // And back again: what stood there first is found a second time.
  ExpectDone(Import(Path("devices.csv"), "devices", {}, "2026-09-20T15:00:00Z"));
  EXPECT_EQ(project.SettingsOf(PointCode("D1"))->size(), 3U);
}

TEST_F(ImportCommand, RejectedRowsAreListedAndKeptInTheProject) {
  const std::string sheet = Write("devices.csv",
                                  "Device,Length (ft),Dia (in),Flow (gpm)\n"
                                  "D1,600,6,60\n"
                                  "D1,700,6,60\n"
                                  ",300,6,60\n"
                                  "D3,-50,6,60\n");
  const Answer answer = Import(sheet, "devices");
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("4 rows: 2 came in, 2 did not."));
  EXPECT_THAT(answer.out, HasSubstr("\n  line 3, Device, 'D1': "));
  EXPECT_THAT(answer.out, HasSubstr("\n  line 4, Device: "));
  EXPECT_THAT(answer.out, HasSubstr("\n  line 5, Length (ft), '-50': "));

  const Project project = Opened();
  const std::vector<ImportEntry> log = *project.Imports();
  ASSERT_EQ(log.size(), 1U);
  EXPECT_EQ(log[0].file, sheet);
  EXPECT_EQ(log[0].kind, "devices");
  EXPECT_EQ(log[0].rows_in, 2);
  EXPECT_EQ(log[0].rows_rejected, 2);
  std::vector<int> lines;
  const std::vector<RejectedRow> listed = *project.RejectedRows(log[0].id);
  for (const RejectedRow& row : listed) lines.push_back(row.line);
  EXPECT_THAT(lines, ElementsAre(3, 4, 5));  // two rows, and the cell left out of a third
}

TEST_F(ImportCommand, JsonTellsEverythingTheTextDoes) {
  const std::string sheet = Write("devices.csv",
                                  "Device,Length (ft),Dia (in),Flow (gpm),Colour\n"
                                  "D1,600,6,60,red\n"
                                  ",300,6,60,blue\n"
                                  "D3,-50,6,60,red\n");
  const Answer answer = Import(sheet, "devices", {"--json"});
  ExpectDone(answer);
  const Json json = Json::parse(answer.out);
  EXPECT_EQ(json.at("file"), sheet);
  EXPECT_EQ(json.at("sheet"), "");
  EXPECT_EQ(json.at("written"), true);
  EXPECT_EQ(json.at("rows"), 3);
  EXPECT_EQ(json.at("rows_in"), 2);
  EXPECT_EQ(json.at("already_known"), 0);
  EXPECT_EQ(json.at("unused_headings"), Json::parse(R"(["Colour"])"));
  ASSERT_EQ(json.at("columns").size(), 4U);
  for (const Json& column : json.at("columns")) {
    for (const char* key : {"field", "heading", "chosen_by", "unit_from"})
      EXPECT_TRUE(column.at(key).is_string());
    EXPECT_TRUE(column.at("confidence").is_number());
    EXPECT_TRUE(column.at("samples").is_array());
  }
  ASSERT_EQ(json.at("rejected").size(), 1U);
  EXPECT_EQ(json.at("rejected")[0].at("line"), 3);
  EXPECT_EQ(json.at("rejected")[0].at("column"), "Device");
  EXPECT_EQ(json.at("rejected")[0].at("original"), " | 300 | 6 | 60 | blue");
  ASSERT_EQ(json.at("cells_left_out").size(), 1U);
  EXPECT_EQ(json.at("cells_left_out")[0].at("value"), "-50");
  EXPECT_TRUE(json.at("notes").is_array());
  EXPECT_EQ(Json::parse(Import(sheet, "devices", {"--json", "--preview"}).out).at("written"), false);
}

TEST_F(ImportCommand, AColumnsFileGoesBeforeTheWords) {
  const std::string sheet = Write("tags.csv",
                                  "Tag nr,L,W,Length (ft)\n"
                                  "D1,120,150,999\n");
  const std::string columns = Write("columns.toml",
                                    "[columns]\ncode = \"Tag nr\"\nlength = \"L\"\ndiameter = \"W\"\n"
                                    "[units]\nlength = \"m\"\ndiameter = \"mm\"\n");
  ExpectDone(Import(sheet, "devices", {"--columns", columns}));
  const Reach reach = **Opened().ReachOf(PointCode("D1"));
  EXPECT_NEAR(reach.pipes.at(0).length.value.metres(), 120, 1e-9);
  EXPECT_NEAR(reach.pipes.at(0).inner_diameter.value.metres(), 0.150, 1e-9);
  // The next sheet with these headings needs no help.
  ExpectDone(Import(Write("next.csv", "Tag nr,L,W,Length (ft)\nD2,80,150,999\n"), "devices"));
  const auto next = *Opened().ReachOf(PointCode("D2"));
  ASSERT_TRUE(next.has_value());
  EXPECT_NEAR(next->pipes.at(0).length.value.metres(), 80, 1e-9);
}

TEST_F(ImportCommand, RefusesAColumnsFileAtFault) {
  const std::string sheet = Write("devices.csv", kDevicesCsv);
  ExpectRefused(Import(sheet, "devices", {"--columns", Path("nowhere.toml")}), {Path("nowhere.toml")});
  const std::string broken = Write("broken.toml", "[columns]\ncode = Tag\n");
  ExpectRefused(Import(sheet, "devices", {"--columns", broken}), {broken, "line 2"});
  const std::string field = Write("field.toml", "[columns]\nlenght = \"Length (ft)\"\n");
  ExpectRefused(Import(sheet, "devices", {"--columns", field}), {field, "line 2", "'lenght'"});
  const std::string unit = Write("unit.toml", "[units]\nlength = \"furlong\"\n");
  ExpectRefused(Import(sheet, "devices", {"--columns", unit}), {unit, "line 2", "'furlong'"});
  const std::string heading = Write("heading.toml", "[columns]\ncode = \"Tag\"\n");
  ExpectRefused(Import(sheet, "devices", {"--columns", heading}), {sheet, "line 1", "'Tag'"});
  EXPECT_TRUE(Opened().FlushPoints()->empty());
}

TEST_F(ImportCommand, RefusesWhatItCannotRead) {
  const std::string sheet = Write("devices.csv", kDevicesCsv);
  ExpectRefused(Import(sheet, "device"), {"--as", "'device'", "devices"});
  ExpectRefused(Import(Path("nowhere.csv"), "devices"), {Path("nowhere.csv")});
  ExpectRefused(Import(Write("empty.csv", ""), "devices"), {Path("empty.csv")});
  ExpectRefused(Import(Write("poem.csv", "the river\nruns\n"), "samples"), {Path("poem.csv")});
  const std::string no_date = Write("no_date.csv", "Device,Free mg/L\nD1,0.3\n");
  ExpectRefused(Import(no_date, "samples"), {no_date, "line 1", "date"});
  ExpectRefused(RunProgram({"import", Path("nowhere.gpkg"), sheet, "--as", "devices"}),
                {Path("nowhere.gpkg")});
  ExpectRefused(RunProgram({"import", sheet, sheet, "--as", "devices"}), {sheet});
  ExpectRefused(RunProgram({"import", project_, "--as", "devices"}), {"table"});
  ExpectRefused(RunProgram({"import", project_, sheet}), {"--as"});
  ExpectRefused(Import(sheet, "devices", {"--sheet", "July"}), {sheet});
  ExpectRefused(Import(sheet, "devices", {"--day-first", "--month-first"}), {"--day-first", "--month-first"});
  EXPECT_TRUE(Opened().FlushPoints()->empty());
  EXPECT_TRUE(Opened().Imports()->empty());
}

TEST_F(ImportCommand, SaysSoWhenNoRowComesIn) {
  ImportAll();
  const std::string sheet = Write("samples.csv", "Device,Date,Free mg/L\nD77,2026-07-03,0.3\n");
  const Answer answer = Import(sheet, "samples");
  EXPECT_EQ(answer.code, 2);
  EXPECT_THAT(answer.out, HasSubstr("1 row: 0 came in, 1 did not."));
  EXPECT_THAT(answer.err, HasSubstr(sheet + ", line 2, column Device, value 'D77': no row came in"));
  EXPECT_EQ(std::count(answer.err.begin(), answer.err.end(), '\n'), 1);
}

TEST_F(ImportCommand, HeadingsNeedNoProject) {
  const Answer answer = RunProgram({"import", "--as", "samples", "--headings"});
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("residual"));
  EXPECT_THAT(answer.out, HasSubstr("date (needed)"));
  ExpectRefused(RunProgram({"import", "--as", "sample", "--headings"}), {"'sample'"});
}

}  // namespace
}  // namespace lastreach
