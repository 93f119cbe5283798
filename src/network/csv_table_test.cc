#include "network/csv_table.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

namespace lastreach {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

constexpr std::string_view kRequired[] = {"id"};
constexpr std::string_view kOptional[] = {"name", "note"};

Result<CsvTable> Read(const std::string& text) {
  const auto path = std::filesystem::temp_directory_path() / "lastreach_csv_table_test.csv";
  std::ofstream(path, std::ios::binary) << text;
  auto table = CsvTable::Read(path.string(), kRequired, kOptional);
  std::filesystem::remove(path);
  return table;
}

TEST(CsvTable, TakesColumnsInAnyOrderAndEitherLineEnding) {
  const auto table = Read("\xEF\xBB\xBFname,id\r\n\"a, \"\"b\"\"\",1\r\n\r\nc , 2\n");
  ASSERT_TRUE(table.ok()) << table.error().ToString();
  ASSERT_EQ(table->size(), 2U);
  EXPECT_EQ(table->Cell(0, "name"), "a, \"b\"");
  EXPECT_EQ(table->Cell(0, "id"), "1");
  EXPECT_EQ(table->Cell(1, "name"), "c");
  EXPECT_EQ(table->Cell(1, "id"), "2");
  EXPECT_EQ(table->Cell(1, "note"), "");
}

TEST(CsvTable, CountsLinesAsAnEditorDoes) {
  for (const std::string end : {"\n", "\r\n"}) {
    const auto table =
        Read("id,name" + end + end + "1,\"two" + end + "lines\"" + end + end + "2,b" + end + "3,c");
    ASSERT_TRUE(table.ok()) << table.error().ToString();
    ASSERT_EQ(table->size(), 3U);
    EXPECT_EQ(table->PlaceOf(0, "id").line, 3);
    EXPECT_EQ(table->PlaceOf(1, "id").line, 6);
    EXPECT_EQ(table->PlaceOf(2, "id").line, 7);
  }
}

TEST(CsvTable, NamesTheColumnsItDidNotRead) {
  const auto table = Read("id,colour\n1,red\n");
  ASSERT_TRUE(table.ok());
  EXPECT_THAT(table->notes(), ElementsAre(HasSubstr("colour")));
}

TEST(CsvTable, SaysWhatIsWrongAndWhere) {
  EXPECT_THAT(Read("name\nx\n").error().ToString(), HasSubstr("line 1: there is no column id"));
  EXPECT_THAT(Read("id,id\n1,2\n").error().ToString(), HasSubstr("column id: this heading stands twice"));
  EXPECT_THAT(Read("id\n1\n2,3\n").error().ToString(), HasSubstr("line 3, value '3'"));
  EXPECT_THAT(Read("id,name\n1,a\n2,\"never closed\n3,c\n").error().ToString(),
              HasSubstr("line 3: a quotation mark"));
  EXPECT_THAT(Read("id,name\n1,6\"\n").error().ToString(), HasSubstr("line 2: a quotation mark"));
  EXPECT_THAT(Read("").error().ToString(), HasSubstr("empty"));
  EXPECT_THAT(Read(std::string("id\0\n", 4)).error().ToString(), HasSubstr("not text"));
  EXPECT_EQ(CsvTable::Read("no/such/file.csv", kRequired, kOptional).error().code, ErrorCode::kNotFound);
}

TEST(CsvTable, ACellWrittenReadsBackEqual) {
  for (const std::string cell :
       {"a", "a,b", "say \"a\"", " a", "a ", "two\nlines", "two\r\nlines", "\xC3\xBC"}) {
    const auto table = Read("id,name\n1," + CsvCell(cell) + "\n");
    ASSERT_TRUE(table.ok()) << cell;
    EXPECT_EQ(table->Cell(0, "name"), cell);
  }
}

}  // namespace
}  // namespace lastreach
