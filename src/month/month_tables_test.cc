#include "month/month_tables.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <map>
#include <nlohmann/json.hpp>

#include "month/month_json.h"
#include "month/test_months.h"

namespace lastreach {
namespace {

int64_t UnitsIn(const MonthTable& table, const std::vector<MonthCell>& row, const std::string& column) {
  const auto* number = std::get_if<MonthNumber>(&row[static_cast<size_t>(table.Find(column))]);
  return number == nullptr ? 0 : number->units;
}

int64_t SumOfRows(const MonthTable& table, const std::string& column) {
  int64_t sum = 0;
  for (const auto& row : table.rows) sum += UnitsIn(table, row, column);
  return sum;
}

void ExpectAddsUp(const MonthReport& report, VolumeUnit unit) {
  const MonthBook book = MakeBook(report, unit);
  const std::string key = "_" + UnitKey(unit);
  const MonthTable& water = book.Table("water");
  const MonthTable& log = book.Table("flush_log");
  const MonthTable& balance = book.Table("balance");
  const int64_t total = UnitsIn(water, water.total, "total" + key);
  for (const char* column : {"metered", "estimated", "total"}) {
    EXPECT_EQ(SumOfRows(water, column + key), UnitsIn(water, water.total, column + key)) << column;
  }
  EXPECT_EQ(SumOfRows(water, "runs"), UnitsIn(water, water.total, "runs"));
  EXPECT_EQ(SumOfRows(log, "volume" + key), total);
  EXPECT_EQ(UnitsIn(log, log.total, "volume" + key), total);
  EXPECT_EQ(SumOfRows(balance, "volume" + key), total);
  EXPECT_EQ(UnitsIn(balance, balance.total, "volume" + key), total);
  const double units = unit == VolumeUnit::kGallons ? 1 / kCubicMetresPerGallon : 10;
  EXPECT_EQ(total, std::llround((report.metered_m3() + report.estimated_m3()) * units));
  std::map<std::string, int64_t> by_point;
  for (const auto& row : log.rows) by_point[CellText(row[0])] += UnitsIn(log, row, "volume" + key);
  for (size_t i = 0; i < water.rows.size(); ++i) {
    const auto& row = water.rows[i];
    EXPECT_EQ(by_point[CellText(row[0])], UnitsIn(water, row, "total" + key));
    EXPECT_NEAR(static_cast<double>(UnitsIn(water, row, "metered" + key)),
                report.points[i].water.metered_m3 * units, 1.5);
    EXPECT_NEAR(static_cast<double>(UnitsIn(water, row, "estimated" + key)),
                report.points[i].water.estimated_m3 * units, 1.5);
  }
}

TEST(MonthTables, EveryLinePrintedAddsUpToTheTotalPrinted) {
  const MonthFacts facts = TestMonth();
  const MonthReport report = MakeMonth(facts);
  ExpectAddsUp(report, VolumeUnit::kGallons);
  ExpectAddsUp(report, VolumeUnit::kCubicMetres);
}

RC_GTEST_PROP(MonthTables, AddUpWhateverTheReadsSay, ()) {
  MonthFacts facts = TestMonth();
  double dial_m3 = 0;
  for (MeterRead& read : facts.points[1].reads) {
    read.total = Volume::CubicMetres(dial_m3);
    dial_m3 += 1e-3 * *rc::gen::inRange(0, 900000);
  }
  facts.points[2].point.flow->value = Flow::LitresPerSecond(1e-3 * *rc::gen::inRange(1, 9000));
  const MonthReport report = MakeMonth(facts);
  ExpectAddsUp(report, VolumeUnit::kGallons);
}

TEST(MonthTables, NumbersPrintAsTheyAre) {
  EXPECT_EQ((MonthNumber{1234, 1}.text()), "123.4");
  EXPECT_EQ((MonthNumber{-5, 2}.text()), "-0.05");
  EXPECT_EQ((MonthNumber{7, 0}.text()), "7");
  EXPECT_EQ((MonthNumber{-1234567, 1}.grouped()), "-123,456.7");
  EXPECT_EQ((MonthNumber{999, 0}.grouped()), "999");
  EXPECT_EQ(RoundedTo(0.0775, 4), (MonthNumber{775, 4}));
  EXPECT_DOUBLE_EQ(RoundedTo(0.35, 2).value(), 0.35);
}

TEST(MonthTables, MoneyIsThePriceTimesTheQuantity) {
  const MonthFacts facts = TestMonth();
  const MonthReport report = MakeMonth(facts);
  const MonthBook book = MakeBook(report, VolumeUnit::kGallons);
  const MonthTable& cost = book.Table("cost");
  ASSERT_EQ(cost.rows.size(), 2U);
  EXPECT_EQ(CellText(cost.rows[1].back()), "110.00");
  EXPECT_EQ(UnitsIn(cost, cost.total, "amount"), SumOfRows(cost, "amount"));
  EXPECT_NEAR(std::get<MonthNumber>(cost.total.back()).value(),
              110 + 0.437 * (report.metered_m3() + report.estimated_m3()), 0.005);
}

TEST(MonthTables, EveryRowHasACellForEveryColumn) {
  const MonthFacts facts = TestMonth();
  const MonthBook book = MakeBook(MakeMonth(facts), VolumeUnit::kGallons);
  EXPECT_EQ(book.tables.size(), 10U);
  for (const MonthTable& table : book.tables) {
    for (const auto& row : table.rows) EXPECT_EQ(row.size(), table.columns.size()) << table.key;
    EXPECT_TRUE(table.total.empty() || table.total.size() == table.columns.size()) << table.key;
  }
}

TEST(MonthJson, HoldsThePrintedNumbers) {
  const MonthFacts facts = TestMonth();
  const MonthBook book = MakeBook(MakeMonth(facts), VolumeUnit::kGallons);
  const auto json = nlohmann::json::parse(MonthToJson(book));
  EXPECT_EQ(json.at("month"), "2026-08");
  for (const MonthTable& table : book.tables) {
    if (table.key == "summary") continue;
    const auto& rows = json.at(table.key).at("rows");
    ASSERT_EQ(rows.size(), table.rows.size()) << table.key;
    for (size_t i = 0; i < rows.size(); ++i) {
      for (size_t k = 0; k < table.columns.size(); ++k) {
        const MonthCell& cell = table.rows[i][k];
        const auto& there = rows[i].at(table.columns[k].key);
        if (const auto* number = std::get_if<MonthNumber>(&cell)) {
          EXPECT_EQ(there.get<double>(), number->value());
        } else if (std::holds_alternative<std::monostate>(cell)) {
          EXPECT_TRUE(there.is_null());
        } else {
          EXPECT_EQ(there, std::get<std::string>(cell));
        }
      }
    }
  }
  EXPECT_EQ(json.at("summary").at("total_gal"), json.at("water").at("total").at("total_gal"));
  EXPECT_EQ(json.at("summary").at("samples_needed"), 3);
}

}  // namespace
}  // namespace lastreach
