// The demo's year of records through the whole program: it comes in without loss, and what was planted is
// told.
#include <gtest/gtest.h>

#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>

#include "app/evidence_facts.h"
#include "app/test_program.h"
#include "tests/end_to_end/told_troubles.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;

class TownYear : public ::testing::Test {
 protected:
  static void SetUpTestSuite() {
    folder_ = std::filesystem::path(::testing::TempDir()) / ("lastreach_year_" + std::to_string(getpid()));
    const Answer answer = RunProgram({"demo", folder_.string()});
    ExpectDone(answer);
    told_ = answer.out;
    made_ = MakeDirtyYear();
  }
  static void TearDownTestSuite() {
    std::filesystem::remove_all(folder_);
    made_ = {};
  }

  static std::string File() { return (folder_ / "year.gpkg").string(); }
  static Project Opened() { return *Project::Open(File()); }

  // As read back from the file.
  static std::map<std::string, WatchFacts> Facts() {
    std::map<std::string, WatchFacts> by_code;
    const std::vector<WatchFacts> all = *EvidenceFactsOf(Opened());
    for (const WatchFacts& each : all) by_code[each.records.point.code.text()] = each;
    return by_code;
  }

  inline static std::filesystem::path folder_;
  inline static std::string told_;
  inline static DirtyYear made_;
};

TEST_F(TownYear, EveryRowOfEverySheetComesInWhole) {
  const Project project = Opened();
  const std::vector<ImportEntry> log = *project.Imports();
  EXPECT_EQ(log.size(), 13U);
  for (const ImportEntry& entry : log) {
    EXPECT_GT(entry.rows_in, 0) << entry.file;
    EXPECT_EQ(entry.rows_rejected, 0) << entry.file;
    const std::vector<RejectedRow> listed = *project.RejectedRows(entry.id);
    for (const RejectedRow& cell : listed) {
      ADD_FAILURE() << entry.file << " line " << cell.line << " " << cell.column << " '" << cell.value
                    << "': " << cell.reason;
    }
  }
}

TEST_F(TownYear, SettingsAndVisitsReadBackAsTheyWereMade) {
  const auto facts = Facts();
  for (const DeviceYear& device : made_.devices) {
    const PointRecords& back = facts.at(device.point.code.text()).records;
    EXPECT_EQ(back.form, device.form);
    ASSERT_EQ(back.settings.size(), device.settings.size()) << device.point.code.text();
    for (size_t i = 0; i < back.settings.size(); ++i) {
      SettingsRecord record = back.settings[i];
      record.id = {};
      EXPECT_EQ(record, device.settings[i]) << device.point.code.text() << " " << i;
    }
    ASSERT_EQ(back.visits.size(), device.visits.size());
    for (size_t i = 0; i < back.visits.size(); ++i) {
      EXPECT_EQ(back.visits[i].arrived, device.visits[i].arrived);
      EXPECT_EQ(back.visits[i].who, device.visits[i].who);
      EXPECT_EQ(back.visits[i].why, device.visits[i].why);
      EXPECT_EQ(back.visits[i].new_battery, device.visits[i].new_battery);
    }
  }
}

TEST_F(TownYear, ReadsAndSamplesReadBackAsTheyWereMade) {
  const auto facts = Facts();
  for (const DeviceYear& device : made_.devices) {
    const PointRecords& back = facts.at(device.point.code.text()).records;
    ASSERT_EQ(back.reads.size(), device.reads.size()) << device.point.code.text();
    for (size_t i = 0; i < back.reads.size(); ++i) {
      const MeterRead& made = device.reads[i];
      EXPECT_EQ(back.reads[i].day, made.day);
      EXPECT_EQ(back.reads[i].minute_of_day, made.minute_of_day);
      EXPECT_EQ(back.reads[i].is_estimate, made.is_estimate);
      EXPECT_EQ(back.reads[i].new_meter_at, made.new_meter_at);
      const double m3 = made.total.cubic_metres();
      EXPECT_NEAR(back.reads[i].total.cubic_metres(), m3, 1e-9 * m3);
    }
    ASSERT_EQ(back.samples.size(), device.samples.size()) << device.point.code.text();
    std::map<std::pair<int, Analyte>, const Sample*> by_day;
    for (const Sample& sample : back.samples) by_day[{DayNumber(sample.day), sample.analyte}] = &sample;
    for (const Sample& made : device.samples) {
      const auto found = by_day.find({DayNumber(made.day), made.analyte});
      ASSERT_NE(found, by_day.end()) << device.point.code.text() << " " << FormatDate(made.day);
      EXPECT_EQ(found->second->below_detection, made.below_detection);
      EXPECT_NEAR(found->second->residual.milligrams_per_litre(), made.residual.milligrams_per_litre(),
                  1e-12);
    }
  }
}

TEST_F(TownYear, FlushesTestsAndTheSystemsRecordsReadBackAsTheyWereMade) {
  const Project project = Opened();
  size_t runs = made_.hand_flushes.size();
  for (const DeviceYear& device : made_.devices) {
    runs += device.flush_runs.size();
    const std::vector<FlowTest> tests = *project.FlowTestsOf(device.point.code);
    ASSERT_EQ(tests.size(), 1U);
    EXPECT_EQ(tests[0].by, device.flow_tests[0].by);
    EXPECT_NEAR(tests[0].flow / device.flow_tests[0].flow, 1, 1e-9);
    const std::vector<TestFlush> flushes = *project.TestFlushesOf(device.point.code);
    ASSERT_EQ(flushes.size(), 1U);
    const TestFlush& made = device.test_flushes[0];
    EXPECT_EQ(flushes[0].begun, made.begun);
    EXPECT_EQ(flushes[0].analyte, made.analyte);
    ASSERT_EQ(flushes[0].readings.size(), made.readings.size());
    for (size_t i = 0; i < made.readings.size(); ++i) {
      EXPECT_NEAR(flushes[0].readings[i].after.minutes(), made.readings[i].after.minutes(), 1e-9);
      EXPECT_NEAR(*flushes[0].readings[i].residual / *made.readings[i].residual, 1, 1e-9);
      EXPECT_NEAR(*flushes[0].readings[i].flow / *made.readings[i].flow, 1, 1e-9);
    }
  }
  const std::vector<FlushRun> back = *project.FlushRuns();
  EXPECT_EQ(back.size(), runs);
  double minutes = 0, made_minutes = 0;
  for (const FlushRun& run : back) minutes += run.lasted.minutes();
  for (const FlushRun& run : made_.hand_flushes) made_minutes += run.lasted.minutes();
  for (const DeviceYear& device : made_.devices) made_minutes += device.flush_runs[0].lasted.minutes();
  EXPECT_NEAR(minutes, made_minutes, 1e-6);
  EXPECT_EQ(project.Byproducts()->size(), made_.byproducts.size());
  const std::vector<SuppliedMonth> supplied = *project.SuppliedMonths();
  ASSERT_EQ(supplied.size(), 12U);
  for (size_t i = 0; i < supplied.size(); ++i) {
    EXPECT_EQ(supplied[i].month, made_.supplied[i].month);
    EXPECT_NEAR(supplied[i].supplied / made_.supplied[i].supplied, 1, 1e-9);
  }
}

// The second read of the device on which the trouble could show.
Date SecondReadAfter(const std::vector<MeterRead>& reads, Date since) {
  int after = 0;
  for (const MeterRead& read : reads) {
    if (DayNumber(read.day) > DayNumber(since) && ++after == 2) return read.day;
  }
  return reads.back().day;
}

// Whether the trouble is told from the file's records of that time, in the first two ranks where there are
// ranks.
bool IsTold(const Trouble& trouble, const WatchFacts& facts, const Project& project) {
  const PointRecords& records = facts.records;
  switch (ToldByOf(trouble.kind)) {
    case ToldBy::kMeterReads: {
      const size_t rank =
          RankOf(ReconciledBy(records, SecondReadAfter(records.reads, trouble.since)), trouble);
      return rank == 1 || rank == 2;
    }
    case ToldBy::kFoundAtVisit: {
      const Found wanted =
          trouble.kind == TroubleKind::kClockHourOut ? Found::kClockOff : Found::kOtherStarts;
      return FoundBy(records, trouble.told_from) == wanted;
    }
    case ToldBy::kTestFlush: {
      const TestFlush flush = project.TestFlushesOf(trouble.point)->front();
      return IsRightReading(FlushOf(flush, **project.ReachOf(trouble.point), records.flow_tests), trouble);
    }
    case ToldBy::kZoneSamples:
      return SignsOfNitrification(WatchedBy(records, facts.supply, AddDays(trouble.since, 61))) >= 2;
    case ToldBy::kRevertDate:
      return TellsOverdue(WatchedBy(records, facts.supply, trouble.told_from));
  }
  return false;
}

TEST_F(TownYear, EveryPlantedTroubleIsTold) {
  const auto facts = Facts();
  const Project project = Opened();
  EXPECT_EQ(made_.troubles.size(), 12U);
  for (const Trouble& trouble : made_.troubles) {
    EXPECT_TRUE(IsTold(trouble, facts.at(trouble.point.text()), project))
        << trouble.point.text() << " " << ToText(trouble.kind) << " since " << FormatDate(trouble.since);
  }
}

TEST_F(TownYear, TheCommandRanksADeadBatteryWithItsEvidenceAndWhatWouldSettleIt) {
  const auto dead = std::find_if(made_.troubles.begin(), made_.troubles.end(), [](const Trouble& trouble) {
    return trouble.kind == TroubleKind::kDeadBattery;
  });
  const auto facts = Facts();
  const Date to = SecondReadAfter(facts.at(dead->point.text()).records.reads, dead->since);
  const Answer answer = RunProgram({"reconcile", File(), "--point", dead->point.text(), "--to",
                                    FormatDate(to), "--today", FormatDate(to), "--json"});
  EXPECT_EQ(answer.code, 1) << answer.err;
  const Json point = Json::parse(answer.out).at("points").at(0);
  const Json& first = point.at("verdicts").at(0);
  EXPECT_EQ(first.at("verdict"), "stopped");
  EXPECT_NE(first.at("evidence"), "");
  EXPECT_NE(first.at("settle"), "");
  const Date said = *ParseDate(first.at("since").get<std::string>());
  // Its runs are daily in July, so the day is known to a read's distance.
  EXPECT_LE(std::abs(DayNumber(said) - DayNumber(dead->since)), 31);
}

// The number behind the last comma but `back` of a line.
long CellFromTheEnd(std::string line, int back) {
  for (int i = 0; i < back; ++i) line.resize(line.rfind(','));
  return std::stol(line.substr(line.rfind(',') + 1));
}

TEST_F(TownYear, TheMonthsTotalsAreTheSameInJsonAndTables) {
  const std::string out = (folder_ / "month").string();
  const Answer answer = RunProgram({"month", File(), "2025-08", "--out", out, "--json"});
  ExpectDone(answer);
  const Json water = Json::parse(answer.out).at("water");
  long sum = 0;
  for (const Json& row : water.at("rows")) sum += row.at("total_gal").get<long>();
  const long total = water.at("total").at("total_gal").get<long>();
  EXPECT_GT(total, 500'000);
  EXPECT_EQ(sum, total);

  std::ifstream table(out + "/month-2025-08-water.csv");
  std::string line, last;
  while (std::getline(table, line)) {
    if (!line.empty()) last = line;
  }
  ASSERT_TRUE(last.starts_with("Total,")) << last;
  EXPECT_EQ(CellFromTheEnd(last, 2), total);
  EXPECT_TRUE(std::filesystem::exists(out + "/month-2025-08.pdf"));
}

TEST_F(TownYear, TheDemoSaysWhereTheYearIs) {
  EXPECT_NE(told_.find((folder_ / "year").string()), std::string::npos);
  EXPECT_NE(told_.find("KEY.csv"), std::string::npos);
  EXPECT_NE(told_.find("lastreach reconcile " + File()), std::string::npos);
}

}  // namespace
}  // namespace lastreach
