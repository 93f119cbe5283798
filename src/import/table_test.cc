#include "import/table.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <xlsxwriter.h>

#include "import/written_file.h"

namespace lastreach {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;

Table Read(const std::string& content) {
  const WrittenFile file("sheet.csv", content);
  auto table = ReadTable(file.path(), TableKind::kDevices);
  EXPECT_TRUE(table.ok()) << table.error().ToString();
  return table.ok() ? std::move(*table) : Table();
}

// SOURCE: RFC 4180, section 2, rules 5 to 7: quotes, line breaks and doubled quotes inside a cell.
TEST(ReadTable, KeepsQuotedSeparatorsLineBreaksAndQuotes) {
  const Table table = Read("code,place,notes\r\n\"FP,1\",\"a\r\nb\",\"say \"\"hi\"\"\"\r\nFP-2,x,y\r\n");
  ASSERT_EQ(table.rows.size(), 2U);
  EXPECT_THAT(table.rows[0].cells, ElementsAre("FP,1", "a\nb", "say \"hi\""));
  EXPECT_EQ(table.rows[0].line, 2);
  EXPECT_EQ(table.rows[0].last_line, 3);
  EXPECT_EQ(table.rows[1].line, 4);
  EXPECT_EQ(table.lines, 4);
}

TEST(ReadTable, KeepsCellsAsWrittenAndABareInchMark) {
  const Table table = Read("code,diameter,length\n FP-1 ,6\",007\n");
  EXPECT_THAT(table.rows.at(0).cells, ElementsAre(" FP-1 ", "6\"", "007"));
}

TEST(ReadTable, FindsTheSeparatorAndSaysSo) {
  EXPECT_THAT(Read("code;place;length\nA;x, y;0,4\nB;z;1,2\n").notes, Contains(HasSubstr("semicolons")));
  EXPECT_THAT(Read("code\tplace\tlength\nA\tx\t1\n").rows.at(0).cells, ElementsAre("A", "x", "1"));
}

TEST(ReadTable, ReadsEveryTextEncoding) {
  EXPECT_EQ(Read("\xEF\xBB\xBF"
                 "code,place\nA,Stra\xC3\x9F"
                 "e\n")
                .rows.at(0)
                .cells[1],
            "Stra\xC3\x9F"
            "e");
  EXPECT_EQ(Read("\xEF\xBB\xBF"
                 "code,place\nA,b\n")
                .headings[0],
            "code");
  EXPECT_EQ(Read("code,place\nA,Stra\xDF"
                 "e\n")
                .rows.at(0)
                .cells[1],
            "Stra\xC3\x9F"
            "e");
  std::string wide = "\xFF\xFE";
  for (const char c : std::string("code,place\nA,b\n")) wide += std::string(1, c) + std::string(1, '\0');
  EXPECT_THAT(Read(wide).rows.at(0).cells, ElementsAre("A", "b"));
}

TEST(ReadTable, CountsLinesWhateverEndsThem) {
  for (const char* end : {"\n", "\r\n", "\r"}) {
    const std::string e = end;
    const Table table = Read("code,place" + e + e + "A,x" + e + "B,y");
    ASSERT_EQ(table.rows.size(), 2U);
    EXPECT_EQ(table.rows[0].line, 3);
    EXPECT_EQ(table.rows[1].line, 4);
    EXPECT_THAT(table.blank_lines, ElementsAre(2));
    EXPECT_EQ(table.lines, 4);
  }
}

TEST(ReadTable, SkipsTitlesAndSaysSo) {
  const Table table = Read("Flushers of the north\nprinted 1 Jul\n\ncode,place,length ft\nA,x,300\n");
  EXPECT_EQ(table.heading_line, 4);
  EXPECT_THAT(table.title_lines, ElementsAre(1, 2));
  EXPECT_THAT(table.notes, Contains(HasSubstr("line 1, 2 was skipped")));
}

TEST(ReadTable, RefusesWhatIsNoTableInOneLine) {
  EXPECT_EQ(ReadTable("no-such-file.csv", TableKind::kDevices).error().code, ErrorCode::kNotFound);
  const WrittenFile empty("empty.csv", "");
  EXPECT_THAT(ReadTable(empty.path(), TableKind::kDevices).error().ToString(),
              HasSubstr("the table is empty"));
  const WrittenFile prose("letter.csv", "Dear all,\nthe flushers are fine.\n");
  EXPECT_THAT(ReadTable(prose.path(), TableKind::kDevices).error().ToString(),
              HasSubstr("no row of headings"));
  const WrittenFile binary("photo.csv", std::string("code,place\nA,\0b\n", 17));
  EXPECT_THAT(ReadTable(binary.path(), TableKind::kDevices).error().ToString(),
              HasSubstr("not text and not a workbook"));
  const WrittenFile old("old.xls", "\xD0\xCF\x11\xE0 and so on");
  EXPECT_THAT(ReadTable(old.path(), TableKind::kDevices).error().ToString(),
              HasSubstr("save it as .xlsx or .csv"));
  const WrittenFile broken("broken.xlsx", "PK\x03\x04 and nothing more");
  EXPECT_THAT(ReadTable(broken.path(), TableKind::kDevices).error().ToString(), HasSubstr("cannot be read"));
}

// Whatever bytes come, reading ends, and every line is accounted for.
TEST(ReadTable, AccountsForEveryLineOfAnyText) {
  const std::string letters = "a1,;\"\n\r \t.";
  unsigned state = 20260701;  // seed
  for (int round = 0; round < 300; ++round) {
    std::string text = "code,place,length\n";
    for (int i = 0; i < 60; ++i) {
      state = state * 1664525U + 1013904223U;
      text += letters[(state >> 16U) % letters.size()];
    }
    const WrittenFile file("any.csv", text);
    const auto table = ReadTable(file.path(), TableKind::kDevices);
    if (!table.ok()) continue;
    std::vector<int> seen(static_cast<size_t>(table->lines) + 2);
    for (int line = table->heading_line; line <= table->heading_last_line; ++line)
      ++seen[static_cast<size_t>(line)];
    for (const int line : table->title_lines) ++seen[static_cast<size_t>(line)];
    for (const int line : table->blank_lines) ++seen[static_cast<size_t>(line)];
    for (const TableRow& row : table->rows) {
      for (int line = row.line; line <= row.last_line; ++line) ++seen[static_cast<size_t>(line)];
    }
    for (int line = 1; line <= table->lines; ++line)
      ASSERT_EQ(seen[static_cast<size_t>(line)], 1) << "line " << line << " of:\n" << text;
  }
}

// A workbook with an empty sheet first, a gap of rows, and one cell of each kind.
void WriteWorkbook(const std::string& path) {
  lxw_workbook* book = workbook_new(path.c_str());
  workbook_add_worksheet(book, "Empty");
  lxw_worksheet* sheet = workbook_add_worksheet(book, "Aug");
  lxw_format* date = workbook_add_format(book);
  format_set_num_format(date, "dd/mm/yyyy");
  lxw_format* time = workbook_add_format(book);
  format_set_num_format(time, "hh:mm AM/PM");
  lxw_format* both = workbook_add_format(book);
  format_set_num_format(both, "yyyy-mm-dd hh:mm");
  lxw_format* percent = workbook_add_format(book);
  format_set_num_format(percent, "0%");
  worksheet_write_string(sheet, 1, 0, "Residuals", nullptr);
  const char* headings[] = {"Site", "Residual", "Date", "Time", "Notes", "Temp"};
  for (int i = 0; i < 6; ++i)
    worksheet_write_string(sheet, 3, static_cast<lxw_col_t>(i), headings[i], nullptr);
  lxw_datetime moment = {2026, 7, 3, 13, 10, 0};
  worksheet_write_string(sheet, 4, 0, " 007 ", nullptr);
  worksheet_write_number(sheet, 4, 1, 0.4, nullptr);
  worksheet_write_datetime(sheet, 4, 2, &moment, date);
  worksheet_write_datetime(sheet, 4, 3, &moment, time);
  worksheet_write_string(sheet, 4, 4, "two\nlines", nullptr);
  worksheet_write_number(sheet, 4, 5, 1.3, percent);
  worksheet_write_string(sheet, 8, 0, "B", nullptr);
  worksheet_write_formula_num(sheet, 8, 1, "=0.1+0.2", nullptr, 0.1 + 0.2);
  worksheet_write_datetime(sheet, 8, 2, &moment, both);
  lxw_worksheet* other = workbook_add_worksheet(book, "Sep");
  worksheet_write_string(other, 0, 0, "Site", nullptr);
  worksheet_write_string(other, 0, 1, "Date", nullptr);
  worksheet_write_string(other, 0, 2, "Residual", nullptr);
  worksheet_write_string(other, 1, 0, "C", nullptr);
  workbook_close(book);
}

TEST(ReadWorkbook, NumbersDatesTimesAndBlankRowsComeThrough) {
  const WrittenFile file("book.xlsx");
  WriteWorkbook(file.path());
  const auto table = ReadTable(file.path(), TableKind::kSamples);
  ASSERT_TRUE(table.ok()) << table.error().ToString();
  EXPECT_EQ(table->sheet, "Aug");
  EXPECT_THAT(table->notes, Contains(HasSubstr("sheet 'Aug' was read")));
  EXPECT_EQ(table->heading_line, 4);
  ASSERT_EQ(table->rows.size(), 2U);
  EXPECT_EQ(table->rows[0].line, 5);
  EXPECT_THAT(table->rows[0].cells,
              ElementsAre(" 007 ", "0.4", "2026/07/03", "13:10:00", "two\nlines", "1.3"));
  EXPECT_EQ(table->rows[1].line, 9);
  EXPECT_EQ(table->rows[1].cells[1], "0.3");
  EXPECT_EQ(table->rows[1].cells[2], "2026/07/03 13:10:00");
  EXPECT_THAT(table->blank_lines, ElementsAre(1, 3, 6, 7, 8));
}

TEST(ReadWorkbook, TheNamedSheetIsTakenAndAnUnknownOneNamed) {
  const WrittenFile file("book.xlsx");
  WriteWorkbook(file.path());
  EXPECT_EQ(ReadTable(file.path(), TableKind::kSamples, {"Sep", {}})->rows.at(0).cells[0], "C");
  const auto missing = ReadTable(file.path(), TableKind::kSamples, {"Oct", {}});
  ASSERT_FALSE(missing.ok());
  EXPECT_THAT(missing.error().ToString(), HasSubstr("it has Empty, Aug, Sep"));
}

}  // namespace
}  // namespace lastreach
