#include "town/town_sheets.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <sstream>

#include "town/geography.h"
#include "town/sheet_text.h"

namespace lastreach {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::Not;

const char* const kFiles[] = {"README.txt",   "devices.csv",      "ends.xlsx",   "timers.csv",
                              "zones.csv",    "limits.csv",       "samples.csv", "reads.csv",
                              "settings.csv", "temperatures.csv", "trips.csv",   "prices.csv"};

std::string Bytes(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream bytes;
  bytes << file.rdbuf();
  return bytes.str();
}

std::string FreshFolder(const std::string& name) {
  const std::filesystem::path folder = std::filesystem::path(::testing::TempDir()) / ("town_" + name);
  std::filesystem::remove_all(folder);
  EXPECT_TRUE(WriteTownSheets(folder.string()).ok());
  return folder.string();
}

// The plainest reader there is: a character at a time.
std::vector<SheetRow> Cells(const std::string& text) {
  std::vector<SheetRow> rows = {{""}};
  bool quoted = false;
  for (size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (quoted && c == '"' && i + 1 < text.size() && text[i + 1] == '"') {
      rows.back().back() += text[++i];
    } else if (c == '"') {
      quoted = !quoted;
    } else if (!quoted && c == ',') {
      rows.back().emplace_back();
    } else if (!quoted && c == '\n') {
      rows.push_back({""});
    } else if (quoted || c != '\r') {
      rows.back().back() += c;
    }
  }
  rows.pop_back();
  return rows;
}

// A row as heading -> cell.
using Record = std::map<std::string, std::string>;

class TownSheets : public ::testing::Test {
 protected:
  static void SetUpTestSuite() { folder_ = FreshFolder("sheets"); }

  static std::vector<Record> Records(const std::string& file) {
    std::string text = Bytes(std::filesystem::path(folder_) / file);
    if (text.rfind("\xEF\xBB\xBF", 0) == 0) text = text.substr(3);
    const std::vector<SheetRow> rows = Cells(text);
    std::vector<Record> records;
    for (size_t i = 1; i < rows.size(); ++i) {
      EXPECT_EQ(rows[i].size(), rows[0].size()) << file << " row " << i + 1;
      Record record;
      for (size_t j = 0; j < std::min(rows[i].size(), rows[0].size()); ++j) record[rows[0][j]] = rows[i][j];
      records.push_back(record);
    }
    return records;
  }

  static std::vector<std::string> Column(const std::string& file, const std::string& heading) {
    std::vector<std::string> column;
    for (const Record& record : Records(file)) column.push_back(record.at(heading));
    return column;
  }

  static Record Device(const std::string& code) {
    for (const Record& record : Records("devices.csv")) {
      if (record.at("Code") == code) return record;
    }
    ADD_FAILURE() << code;
    return {};
  }

  static int Minutes(const Record& device) {
    const int percent = device.at("Percent").empty() ? 100 : std::stoi(device.at("Percent"));
    return (std::stoi(device.at("P1 minutes")) * percent + 50) / 100;
  }

  // What the dial of a device said, in gallons, in order of the rounds.
  static std::vector<double> Dial_gal(const std::string& code) {
    std::vector<double> dial;
    for (const Record& read : Records("reads.csv")) {
      if (read.at("Device") != code) continue;
      const std::string unit = read.at("Unit");
      dial.push_back(std::stod(read.at("Read")) * (unit == "kgal" ? 1000 : unit == "x100 gal" ? 100 : 1));
    }
    return dial;
  }

  static std::vector<std::vector<std::string>> HandEndCells() {
    GDALAllRegister();
    const std::string path = (std::filesystem::path(folder_) / "ends.xlsx").string();
    GDALDatasetUniquePtr book(GDALDataset::Open(path.c_str(), GDAL_OF_VECTOR));
    std::vector<std::vector<std::string>> rows;
    if (!book) return rows;
    for (const auto& feature : book->GetLayer(0)) {
      rows.emplace_back();
      for (int i = 0; i < feature->GetFieldCount(); ++i) rows.back().push_back(feature->GetFieldAsString(i));
    }
    return rows;
  }

  static std::string folder_;
};
std::string TownSheets::folder_;

TEST_F(TownSheets, AreTheSameToTheByteEveryTimeAndInEveryZone) {
  const std::string first = FreshFolder("first");
  setenv("TZ", "Asia/Tokyo", 1);
  tzset();
  const std::string second = FreshFolder("second");
  unsetenv("TZ");
  tzset();
  for (const char* name : kFiles) {
    const std::string bytes = Bytes(std::filesystem::path(first) / name);
    EXPECT_GT(bytes.size(), 100U) << name;
    EXPECT_TRUE(bytes == Bytes(std::filesystem::path(second) / name)) << name;
  }
}

TEST_F(TownSheets, AFolderThatCannotBeMadeIsNamed) {
  const Status written = WriteTownSheets("/dev/null/town");
  ASSERT_FALSE(written.ok());
  EXPECT_EQ(ExitCodeOf(written.error().code), 2);
  EXPECT_THAT(written.error().ToString(), HasSubstr("/dev/null/town"));
}

TEST_F(TownSheets, AFileThatCannotBeWrittenIsNamed) {
  for (const char* name : {"limits.csv", "ends.xlsx"}) {
    const std::filesystem::path folder = std::filesystem::path(::testing::TempDir()) / "town_blocked";
    std::filesystem::remove_all(folder);
    std::filesystem::create_directories(folder / name);
    const Status written = WriteTownSheets(folder.string());
    ASSERT_FALSE(written.ok());
    EXPECT_THAT(written.error().ToString(), HasSubstr(name));
  }
}

TEST_F(TownSheets, HoldTwentyFourDevicesAndFortyHandFlushedEnds) {
  const std::vector<std::string> codes = Column("devices.csv", "Code");
  EXPECT_EQ(std::set<std::string>(codes.begin(), codes.end()).size(), 24U);
  EXPECT_EQ(codes.size(), 24U);
  std::set<std::string> ends;
  for (const auto& row : HandEndCells()) {
    if (row[0].size() == 3 && row[0][0] == 'H') ends.insert(row[0]);
  }
  EXPECT_EQ(ends.size(), 40U);
}

TEST_F(TownSheets, HaveATitleOverTheHeadingsOfTheEnds) {
  const auto rows = HandEndCells();
  ASSERT_GT(rows.size(), 3U);
  EXPECT_THAT(rows[0][0], HasSubstr("blue binder"));
  EXPECT_EQ(rows[2][0], "End");
  EXPECT_EQ(rows[2].back(), "Notes");
}

TEST_F(TownSheets, PlaceEveryRowInsideTheTown) {
  const auto inside = [](const std::string& latitude, const std::string& longitude) {
    const TownPosition far = PositionOf({kTownWidth_m, kTownHeight_m});
    const double lat = std::stod(latitude), lon = std::stod(longitude);
    return lat >= kTownCorner.latitude_deg && lat <= far.latitude_deg && lon >= kTownCorner.longitude_deg &&
           lon <= far.longitude_deg;
  };
  for (const Record& device : Records("devices.csv")) {
    EXPECT_TRUE(inside(device.at("Latitude"), device.at("Longitude"))) << device.at("Code");
  }
  const auto rows = HandEndCells();
  for (size_t i = 3; i < rows.size(); ++i) EXPECT_TRUE(inside(rows[i][11], rows[i][12])) << rows[i][0];
}

TEST_F(TownSheets, SpeakOfNoDeviceTimerOrZoneThatIsNotThere) {
  const auto codes = Column("devices.csv", "Code");
  const auto zones = Column("zones.csv", "Zone");
  const auto timers = Column("timers.csv", "Timer");
  for (const std::string& code : Column("settings.csv", "Code")) EXPECT_THAT(codes, Contains(code));
  for (const std::string& code : Column("reads.csv", "Device")) EXPECT_THAT(codes, Contains(code));
  for (const std::string& zone : Column("devices.csv", "Zone")) EXPECT_THAT(zones, Contains(zone));
  for (const std::string& timer : Column("devices.csv", "Timer")) EXPECT_THAT(timers, Contains(timer));
  for (const Record& limit : Records("limits.csv")) {
    EXPECT_NE(limit.at("Source"), "");
    if (limit.at("Scope") == "point") {
      EXPECT_THAT(codes, Contains(limit.at("Subject")));
    }
    if (limit.at("Scope") == "zone") {
      EXPECT_THAT(zones, Contains(limit.at("Subject")));
    }
  }
}

TEST_F(TownSheets, MixUnitsBlanksAndDontKnow) {
  EXPECT_THAT(Column("devices.csv", "Lenght (ft)"), Contains("about 900"));
  EXPECT_THAT(Column("devices.csv", "Lenght (ft)"), Contains("275 m"));
  EXPECT_THAT(Column("devices.csv", "Lenght (ft)"), Contains("8in x 1200 ft + 6in x 400 ft"));
  EXPECT_THAT(Column("devices.csv", "Diamter (in)"), Contains("150 mm"));
  EXPECT_THAT(Column("devices.csv", "Diamter (in)"), Contains("UNK"));
  EXPECT_THAT(Column("devices.csv", "Flow (gpm)"), Contains("2.5 L/s"));
  EXPECT_THAT(Column("timers.csv", "Follows clock change"), Contains("don't know"));
  EXPECT_THAT(Column("zones.csv", "Worst week temp"), Contains("77 F"));
  EXPECT_THAT(Column("zones.csv", "Bulk decay at 20 C (1/day)"), Contains(""));
}

TEST_F(TownSheets, OneDeviceIsLeftOffPastTheDateToPutItBack) {
  EXPECT_EQ(Device("D01").at("State"), "OFF");
  for (const Record& row : Records("settings.csv")) {
    if (row.at("Code") == "D01" && row.at("Kind") == "as-left") {
      EXPECT_EQ(row.at("Revert by"), "2026-04-15");
    }
  }
  const std::vector<double> dial = Dial_gal("D01");
  EXPECT_EQ(dial.front(), dial.back());
}

TEST_F(TownSheets, OneDeviceOverlapsAtItsPercentageButNotAtAHundred) {
  const Record device = Device("D02");
  EXPECT_EQ(device.at("P1 starts"), "01:00, 01:50, 02:40");
  EXPECT_LE(std::stoi(device.at("P1 minutes")), 50);
  EXPECT_GT(Minutes(device), 50);
}

TEST_F(TownSheets, NeighboursRunOnOddAndOnEvenDates) {
  EXPECT_EQ(Device("D03").at("P1 days"), "odd");
  EXPECT_EQ(Device("D04").at("P1 days"), "even");
}

TEST_F(TownSheets, OneStartSlipsIntoTheSchoolRunInSummer) {
  const Record device = Device("D05");
  EXPECT_EQ(device.at("P1 starts"), "06:30");
  EXPECT_EQ(Column("timers.csv", "Timer")[0], device.at("Timer"));
  EXPECT_EQ(Column("timers.csv", "Follows clock change")[0], "no");
  std::vector<std::string> hours;
  for (const Record& limit : Records("limits.csv")) {
    if (limit.at("Subject") == "D05") hours.push_back(limit.at("Value"));
  }
  EXPECT_THAT(hours, Contains("07:15-09:00"));  // 06:30 to 07:10 in winter, 07:30 to 08:10 in summer
}

TEST_F(TownSheets, ThirtyMinutesWereScaledTwice) {
  EXPECT_EQ(Minutes(Device("D06")), 54);
  std::vector<std::string> left;
  for (const Record& row : Records("settings.csv")) {
    if (row.at("Code") == "D06" && row.at("Kind") == "as-left") {
      left.push_back(row.at("P1 minutes") + " at " + row.at("Percent"));
    }
  }
  EXPECT_EQ(left, (std::vector<std::string>{"30 at 100", "30 at 120", "45 at "}));
}

TEST_F(TownSheets, OneClockIsTwelveHoursOutAndOnePhaseIsUnknown) {
  EXPECT_EQ(Device("D07").at("Clock off by (min)"), "720");
  EXPECT_EQ(Device("D08").at("P1 days"), "every 3 days");
  EXPECT_EQ(Device("D09").at("P1 days"), "Mon-Fri");
}

TEST_F(TownSheets, TheCopiedThirtyMinutesThrowThreeReachesAwayEachDay) {
  const Record device = Device("D10");
  const double reach_gal = 0.0408 * 6 * 6 * std::stod(device.at("Lenght (ft)"));  // common practice
  EXPECT_GT(Minutes(device) * std::stod(device.at("Flow (gpm)")), 3 * reach_gal);
}

TEST_F(TownSheets, OneMainArrivesBelowTheTargetAndOneEndIsKeptFreshByItsHouses) {
  EXPECT_LT(std::stod(Device("D11").at("Upstream residual (mg/L)")),
            std::stod(Column("zones.csv", "Target (mg/L)")[0]));
  EXPECT_EQ(Device("D12").at("Services"), "38");
}

TEST_F(TownSheets, DischargeLimitsBindAtTheCreekAndAtTheInlet) {
  const Record creek = Device("D13"), inlet = Device("D16");
  std::map<std::string, std::string> limit;
  for (const Record& row : Records("limits.csv")) limit[row.at("Subject")] = row.at("Value");
  EXPECT_EQ(limit["D13"], "600 gal");
  EXPECT_GT(Minutes(creek) * std::stod(creek.at("Flow (gpm)")), 600);
  EXPECT_EQ(limit["D16"], "60 gpm");
  EXPECT_EQ(inlet.at("Flow (gpm)"), "5 L/s");  // 79 gpm
}

// The average of a year is 1 by what "times average" means.
TEST_F(TownSheets, EachZoneHasTwelveMonthsWhoseUseAveragesOne) {
  std::map<std::string, std::pair<int, double>> zones;
  std::map<std::string, std::set<std::string>> warmest;
  for (const Record& row : Records("temperatures.csv")) {
    auto& [months, use] = zones[row.at("Zone")];
    ++months;
    use += std::stod(row.at("Use (times average)"));
    warmest[row.at("Zone")].insert(row.at("Warmest week"));
  }
  ASSERT_EQ(zones.size(), 2U);
  for (const auto& [zone, year] : zones) {
    EXPECT_EQ(year.first, 12) << zone;
    EXPECT_NEAR(year.second / 12, 1, 1e-9) << zone;
  }
  for (const Record& zone : Records("zones.csv"))
    EXPECT_THAT(warmest[zone.at("Zone")], Contains(zone.at("Worst week temp")));
}

TEST_F(TownSheets, TripsAndLimitsOfTheSystemNameWhatIsThere) {
  const auto codes = Column("devices.csv", "Code");
  const auto zones = Column("zones.csv", "Zone");
  for (const std::string& subject : Column("trips.csv", "Point or zone")) {
    if (subject == "all") continue;
    EXPECT_TRUE(
        std::count(codes.begin(), codes.end(), subject) + std::count(zones.begin(), zones.end(), subject) > 0)
        << subject;
  }
  std::vector<std::string> stages;
  for (const Record& limit : Records("limits.csv")) {
    if (limit.at("Limit").starts_with("drought stage")) stages.push_back(limit.at("Value"));
    if (limit.at("Limit") == "frost months" && limit.at("Scope") == "system") {
      EXPECT_THAT(Column("devices.csv", "Discharge to"), Contains(limit.at("Discharge to")));
    }
  }
  EXPECT_EQ(stages, (std::vector<std::string>{"30,000 gal", "25,000 gal", "15,000 gal"}));
}

TEST_F(TownSheets, OneReachIsTooLongForItsTimer) {
  const Record device = Device("D14");
  const double reach_gal = 0.0408 * 8 * 8 * std::stod(device.at("Lenght (ft)"));
  EXPECT_LT(2 * Minutes(device) * std::stod(device.at("Flow (gpm)")), reach_gal);
}

TEST_F(TownSheets, TheLidsShowWhatWasLeftInThem) {
  std::map<std::string, Record> last;
  for (const Record& row : Records("settings.csv")) last[row.at("Code")] = row;
  EXPECT_GE(last.size(), 10U);
  for (const auto& [code, row] : last) {
    const Record device = Device(code);
    for (const char* heading : {"State", "Percent", "P1 starts", "P1 minutes", "P1 days"}) {
      EXPECT_EQ(row.at(heading), device.at(heading)) << code << " " << heading;
    }
  }
}

TEST_F(TownSheets, SamplesAreWrittenInEveryWayPeopleWrite) {
  const auto readings = Column("samples.csv", "Residual (mg/L)");
  EXPECT_NEAR(static_cast<double>(readings.size()), 250, 10);
  EXPECT_THAT(readings, Contains("ND"));
  EXPECT_THAT(readings, Contains("n.d."));
  EXPECT_THAT(readings, Contains("<0.1"));
  EXPECT_THAT(readings, Contains(""));
  EXPECT_THAT(readings, Contains(::testing::MatchesRegex("[0-9.]+T")));
  EXPECT_THAT(readings, Contains(::testing::MatchesRegex("[0-9.]+/[0-9.]+")));
  EXPECT_THAT(readings, Contains(::testing::MatchesRegex("[0-9]+,[0-9]+")));
  const auto when = Column("samples.csv", "Date/Time");
  EXPECT_THAT(when, Contains("2026-03-08 02:30"));
  EXPECT_THAT(when, Contains(::testing::MatchesRegex("2026-0[678]-[0-9][0-9] [01][0-9]:[0-5][0-9]")));
  EXPECT_THAT(when, Contains(::testing::MatchesRegex("[678]/[0-9]+/26 [1-5]:[0-5][0-9] pm")));
  EXPECT_THAT(Column("samples.csv", "Free/Total"), Contains(""));
  EXPECT_THAT(Column("samples.csv", "Comments"), Contains(HasSubstr("\n")));
}

TEST_F(TownSheets, OneSampleIsTypedTwiceAndOneSiteIsMisspelt) {
  const auto rows = Records("samples.csv");
  EXPECT_EQ(std::set<Record>(rows.begin(), rows.end()).size(), rows.size() - 1);
  std::set<std::string> streets;
  for (const Street& street : Streets()) streets.insert(street.name);
  int odd_names = 0;
  for (const Record& row : rows) {
    const std::string& site = row.at("Site");
    if (site.size() <= 4) continue;  // a code, or blank
    EXPECT_THAT(streets, Not(Contains(site)));
    ++odd_names;
  }
  EXPECT_EQ(odd_names, 1);
}

TEST_F(TownSheets, NoTwoGrabsOfOnePersonAreAtTheSameTimeButForTheOneTypedTwice) {
  std::map<std::string, int> seen;
  int twice = 0;
  for (const Record& row : Records("samples.csv")) twice += seen[row.at("Sampler") + row.at("Date/Time")]++;
  EXPECT_EQ(twice, 1);
}

TEST_F(TownSheets, ReadsComeInThreeUnitsWithASwapAnEstimateAndAShortDial) {
  const auto units = Column("reads.csv", "Unit");
  for (const char* unit : {"gal", "kgal", "x100 gal", ""}) EXPECT_THAT(units, Contains(unit));
  const auto notes = Column("reads.csv", "Notes");
  EXPECT_THAT(notes, Contains(HasSubstr("new meter in")));
  EXPECT_THAT(notes, Contains(HasSubstr("est")));
  const auto short_dial = Dial_gal("D17");
  ASSERT_EQ(short_dial.size(), 6U);
  EXPECT_NEAR(short_dial[4] * 100, (short_dial[3] + short_dial[5]) / 2, 0.1 * short_dial[3]);
  const auto swapped = Dial_gal("D06");
  ASSERT_EQ(swapped.size(), 8U);
  EXPECT_EQ(swapped[5], 0);
}

TEST_F(TownSheets, ReadsShowTheDeadDeviceAndTheOneThatStuckOpen) {
  const auto dead = Dial_gal("D21");
  ASSERT_EQ(dead.size(), 6U);
  EXPECT_GT(dead[3], dead[2]);
  EXPECT_EQ(dead[5], dead[4]);
  const auto stuck = Dial_gal("D22");
  ASSERT_EQ(stuck.size(), 6U);
  EXPECT_GT(stuck[5] - stuck[4], 145800);
  EXPECT_LT(stuck[4] - stuck[3], 10000);
}

TEST_F(TownSheets, TheReadmeTellsOfEverySheetAndOnlyOfDevicesThatAre) {
  const std::string readme = Bytes(std::filesystem::path(folder_) / "README.txt");
  for (const char* name : kFiles) {
    if (std::string(name) != "README.txt") {
      EXPECT_THAT(readme, HasSubstr(std::string("\n") + name)) << name;
    }
  }
  const auto codes = Column("devices.csv", "Code");
  std::istringstream lines(readme);
  int told = 0;
  for (std::string line; std::getline(lines, line);) {
    if (line.size() < 4 || line[0] != 'D' || line[3] != ' ' ||
        !std::isdigit(static_cast<unsigned char>(line[1])))
      continue;
    EXPECT_THAT(codes, Contains(line.substr(0, 3)));
    EXPECT_THAT(line, HasSubstr(Device(line.substr(0, 3)).at("Adress").substr(7)));
    ++told;
  }
  EXPECT_GE(told, 20);
}

}  // namespace
}  // namespace lastreach
