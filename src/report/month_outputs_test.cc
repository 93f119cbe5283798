// The same month in every file: read back with other programs' eyes, all must hold the printed numbers.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>

#include "month/month_json.h"
#include "month/test_months.h"
#include "report/month_csv.h"
#include "report/month_paper.h"
#include "report/month_template.h"
#include "report/month_workbook.h"
#include "report/test_pages.h"

namespace lastreach {
namespace {

using testing::Contains;
using testing::HasSubstr;

MonthBook Book(VolumeUnit unit = VolumeUnit::kGallons) {
  const MonthFacts facts = TestMonth();
  return MakeBook(MakeMonth(facts), unit);
}

SheetOptions OnLetter() {
  SheetOptions options;
  options.paper = Paper::kLetter;
  options.printed_on = Day("2026-10-02");
  return options;
}

std::vector<std::string> Lines(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

std::vector<std::string> CellsOf(const std::string& line) {
  std::vector<std::string> cells(1);
  bool quoted = false;
  for (const char c : line) {
    if (c == '"')
      quoted = !quoted;
    else if (c == ',' && !quoted)
      cells.emplace_back();
    else
      cells.back() += c;
  }
  return cells;
}

// A sheet of a workbook as the map library's reader sees it, one row a line.
std::string SheetAsCsv(const std::string& workbook, const std::string& sheet) {
  return OutputOf("ogr2ogr -f CSV /vsistdout/ '" + workbook + "' '" + sheet + "' 2>/dev/null");
}

class MonthOutputs : public testing::TestWithParam<VolumeUnit> {};

TEST_P(MonthOutputs, HoldTheSameTotals) {
  const TestFolder folder;
  const MonthBook book = Book(GetParam());
  const std::string key = UnitKey(GetParam());
  std::vector<std::string> files;
  ASSERT_TRUE(WriteMonthCsvs(book, folder / ".", files).ok());
  ASSERT_TRUE(WriteMonthWorkbook(book, At("2026-10-02", 8), folder / "m.xlsx").ok());
  ASSERT_TRUE(WriteMonthPaper(book, OnLetter(), folder / "m.pdf").ok());
  const auto json = nlohmann::json::parse(MonthToJson(book));
  const std::string words = WordsOf(folder / "m.pdf");
  std::string bare = words;
  bare.erase(std::remove(bare.begin(), bare.end(), ','), bare.end());
  for (const char* name : {"water", "flush_log", "balance", "cost"}) {
    SCOPED_TRACE(name);
    const MonthTable& table = book.Table(name);
    std::string file = "month-2026-08-" + std::string(name) + ".csv";
    std::replace(file.begin(), file.end(), '_', '-');
    EXPECT_THAT(files, Contains(file));
    const auto csv = Lines(BytesOf(folder / file));
    const auto sheet = Lines(SheetAsCsv(folder / "m.xlsx", name));
    ASSERT_EQ(csv.size(), table.rows.size() + 2);
    ASSERT_EQ(sheet.size(), csv.size());
    for (size_t i = 1; i < csv.size(); ++i) {
      const bool is_total = i + 1 == csv.size();
      const auto& row = is_total ? table.total : table.rows[i - 1];
      const auto cells = CellsOf(csv[i]), in_sheet = CellsOf(sheet[i]);
      for (size_t k = 0; k < table.columns.size(); ++k) {
        const auto* number = std::get_if<MonthNumber>(&row[k]);
        if (number == nullptr) continue;
        EXPECT_EQ(cells[k], number->text());
        EXPECT_DOUBLE_EQ(std::stod(in_sheet[k]), number->value());
        const auto& there = is_total ? json.at(name).at("total") : json.at(name).at("rows").at(i - 1);
        EXPECT_DOUBLE_EQ(there.at(table.columns[k].key).get<double>(), number->value());
        // The paper leaves out the log of the timers, line by line.
        if (std::string(name) != "flush_log") {
          EXPECT_THAT(bare, HasSubstr(number->text()));
        }
      }
    }
  }
  EXPECT_EQ(json.at("summary").at("total_" + key), json.at("flush_log").at("total").at("volume_" + key));
}
INSTANTIATE_TEST_SUITE_P(InBothUnits, MonthOutputs,
                         testing::Values(VolumeUnit::kGallons, VolumeUnit::kCubicMetres));

TEST(MonthPaper, TellsWhatStandsOut) {
  const TestFolder folder;
  ASSERT_TRUE(WriteMonthPaper(Book(), OnLetter(), folder / "m.pdf").ok());
  const std::string words = WordsOf(folder / "m.pdf");
  EXPECT_THAT(words, HasSubstr("August 2026: flushing and residuals"));
  EXPECT_THAT(words, HasSubstr("2 readings below 0.20 mg/L, the lowest not detected"));
  EXPECT_THAT(words, HasSubstr("Licensed operator in charge"));
  EXPECT_THAT(words, HasSubstr("Flushes that somebody logged"));
  ASSERT_TRUE(WriteMonthPaper(Book(), OnLetter(), folder / "again.pdf").ok());
  EXPECT_EQ(BytesOf(folder / "m.pdf"), BytesOf(folder / "again.pdf"));
}

TEST(MonthPaper, PrintsInBlackOnly) {
  const TestFolder folder;
  ASSERT_TRUE(WriteMonthPaper(Book(), OnLetter(), folder / "m.pdf").ok());
  const Raster raster = RasterOf(folder / "m.pdf", 1, 60);
  ASSERT_GT(raster.width, 0);
  for (int y = 0; y < raster.height; ++y) {
    for (int x = 0; x < raster.width; ++x) {
      ASSERT_EQ(raster.At(x, y, 0), raster.At(x, y, 1));
      ASSERT_EQ(raster.At(x, y, 0), raster.At(x, y, 2));
    }
  }
}

TEST(MonthPaper, TakesManyPointsAndAnEmptyMonth) {
  const TestFolder folder;
  MonthFacts facts = TestMonth();
  for (int i = 0; i < 90; ++i) {
    facts.points.push_back(facts.points[i % 2]);
    facts.points.back().point.code = PointCode("FP-" + std::to_string(100 + i));
  }
  const auto many =
      WriteMonthPaper(MakeBook(MakeMonth(facts), VolumeUnit::kGallons), OnLetter(), folder / "m.pdf");
  EXPECT_TRUE(many.ok()) << many.error().ToString();
  MonthFacts empty;
  empty.month = facts.month;
  empty.zone = facts.zone;
  empty.now = facts.now;
  const MonthBook nothing = MakeBook(MakeMonth(empty), VolumeUnit::kCubicMetres);
  ASSERT_TRUE(WriteMonthPaper(nothing, OnLetter(), folder / "e.pdf").ok());
  EXPECT_THAT(WordsOf(folder / "e.pdf"), HasSubstr("None in this month."));
  std::vector<std::string> files;
  EXPECT_TRUE(WriteMonthCsvs(nothing, folder / ".", files).ok());
  EXPECT_TRUE(WriteMonthWorkbook(nothing, facts.now, folder / "e.xlsx").ok());
}

std::string Form(const TestFolder& folder, const std::string& text) {
  std::ofstream(folder / "form.toml") << text;
  return folder / "form.toml";
}

TEST(MonthTemplate, GivesTheUsersOrderOfColumns) {
  const TestFolder folder;
  const auto form = ReadMonthTemplate(Form(folder, R"(
rows = "flush_log"
total = true
separator = ";"
decimal_point = ","
dates = "day.month.year"
[[column]]
heading = "System; number"
text = "XX 0012"
[[column]]
heading = "Day"
field = "date"
[[column]]
heading = "Water"
field = "volume_m3"
[[column]]
heading = "Period"
field = "month"
)"));
  ASSERT_TRUE(form.ok()) << form.error().ToString();
  const MonthBook book = Book(VolumeUnit::kCubicMetres);
  const auto text = MonthAsTemplate(*form, book);
  ASSERT_TRUE(text.ok()) << text.error().ToString();
  const auto lines = Lines(*text);
  EXPECT_EQ(lines.front(), "\"System; number\";Day;Water;Period");
  EXPECT_EQ(lines.size(), book.Table("flush_log").rows.size() + 2);
  EXPECT_THAT(lines[1], testing::MatchesRegex("XX 0012;01.08.2026;[0-9]+,[0-9];2026-08"));
  std::string total = CellText(book.Table("water").total[7]);
  total[total.find('.')] = ',';
  EXPECT_EQ(lines.back(), ";;" + total + ";2026-08");
}

TEST(MonthTemplate, NamesTheFileAndLineAtFault) {
  const TestFolder folder;
  const auto fault = [&](const std::string& text) {
    const auto form = ReadMonthTemplate(Form(folder, text));
    if (!form.ok()) return form.error().ToString();
    const auto made = MonthAsTemplate(*form, Book());
    return made.ok() ? std::string("none") : made.error().ToString();
  };
  const std::string column = "[[column]]\nfield = \"point\"\n";
  EXPECT_EQ(fault("rows = \"water\"\n" + column), "none");
  EXPECT_THAT(fault("rows = water\n"), HasSubstr("form.toml, line 1"));
  EXPECT_THAT(fault("rows = \"waters\"\n" + column), HasSubstr("flush_log, readings"));
  EXPECT_THAT(fault("rows = \"water\"\n\n[[column]]\nfield = \"gallons\"\n"),
              testing::AllOf(HasSubstr("line 3"), HasSubstr("'gallons'"), HasSubstr("total_gal")));
  EXPECT_THAT(fault("rows = \"water\"\norder = \"x\"\n"), HasSubstr("line 2"));
  EXPECT_THAT(fault("rows = \"water\"\ntotal = \"x\"\n" + column), HasSubstr("true or false"));
  EXPECT_THAT(fault("rows = \"water\"\n"), HasSubstr("[[column]]"));
  EXPECT_THAT(fault(column), HasSubstr("rows = "));
  EXPECT_THAT(fault("rows = \"water\"\ndates = \"today\"\n" + column), HasSubstr("day.month.year"));
  EXPECT_THAT(fault("rows = \"water\"\nseparator = \"|\"\n" + column), HasSubstr("separator"));
  EXPECT_THAT(fault("rows = \"water\"\ndecimal_point = \",\"\n" + column), HasSubstr("the same"));
  EXPECT_THAT(fault("rows = \"water\"\n[[column]]\nfield = \"point\"\ntext = \"x\"\n"),
              HasSubstr("not both"));
}

TEST(MonthCsv, CellsReadBackEqual) {
  EXPECT_EQ(DelimitedCell("plain", ','), "plain");
  EXPECT_EQ(DelimitedCell("a, \"b\"", ','), "\"a, \"\"b\"\"\"");
  EXPECT_EQ(DelimitedCell("a;b", ','), "a;b");
  EXPECT_EQ(DateAs("2026-08-03", CsvManner::Dates::kMonthDayYear), "08/03/2026");
  EXPECT_EQ(DateAs("2026-08-33", CsvManner::Dates::kMonthDayYear), "2026-08-33");
}

}  // namespace
}  // namespace lastreach
