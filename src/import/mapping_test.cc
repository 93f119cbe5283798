#include "import/mapping.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>

#include "import/cell_words.h"
#include "import/heading_match.h"
#include "import/written_file.h"

namespace lastreach {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

Table Sheet(std::vector<std::string> headings, std::vector<std::vector<std::string>> rows) {
  Table table;
  table.file = "sheet.csv";
  table.heading_line = 1;
  table.headings = std::move(headings);
  int line = 1;
  for (auto& cells : rows) {
    ++line;
    table.rows.push_back({line, line, std::move(cells)});
  }
  table.lines = line;
  return table;
}

std::string UnitOf(const Result<Preview>& preview, const char* field) {
  EXPECT_TRUE(preview.ok()) << preview.error().ToString();
  if (!preview.ok() || preview->Find(field) == nullptr || !preview->Find(field)->unit) return "none";
  return preview->Find(field)->unit->name;
}

// Two fields of one kind with the same words would make the outcome hang on their order.
TEST(Fields, NoTwoFieldsOfAKindShareTheirFirstWords) {
  for (const TableKind kind :
       {TableKind::kDevices, TableKind::kPoints, TableKind::kReaches, TableKind::kServices,
        TableKind::kSamples, TableKind::kReads, TableKind::kControllers, TableKind::kLimits,
        TableKind::kZones, TableKind::kSettings, TableKind::kMains, TableKind::kValves, TableKind::kTanks,
        TableKind::kServicePlaces, TableKind::kZoneAreas}) {
    std::set<std::string> names;
    for (const Field& field : FieldsOf(kind)) {
      EXPECT_TRUE(names.insert(field.name).second) << field.name;
      for (const std::string& heading : field.headings) EXPECT_EQ(heading, Plainly(heading)) << field.name;
      for (const Field& other : FieldsOf(kind)) {
        if (&other == &field) continue;
        EXPECT_EQ(std::count(other.headings.begin(), other.headings.end(), field.headings[0]), 0)
            << ToText(kind) << ": " << field.name << " and " << other.name;
      }
    }
    EXPECT_EQ(*ParseTableKind(ToText(kind)), kind);
  }
}

TEST(Fields, HeadingsListsEveryFieldForHelp) {
  const std::string text = Headings(TableKind::kSamples);
  for (const Field& field : FieldsOf(TableKind::kSamples)) EXPECT_THAT(text, HasSubstr("  " + field.name));
  EXPECT_THAT(text, HasSubstr("date (needed)"));
}

TEST(MapColumns, FindsHeadingsThroughMisspellingsAndUnits) {
  const Table table = Sheet({"Devise", "Lenght", "Dia (in)", "GPM"}, {{"A", "300 ft", "6", "60"}});
  const auto preview = MapColumns(table, TableKind::kDevices);
  ASSERT_TRUE(preview.ok()) << preview.error().ToString();
  EXPECT_EQ(preview->Find("code")->how, ChosenHow::kSimilar);
  EXPECT_LT(preview->Find("code")->confidence, 1);
  EXPECT_EQ(preview->Find("length")->heading, "Lenght");
  EXPECT_EQ(UnitOf(preview, "diameter"), "in");
  EXPECT_EQ(UnitOf(preview, "flow"), "gpm");
  EXPECT_THAT(preview->Find("length")->samples, ElementsAre("300 ft"));
}

TEST(MapColumns, PrefersTheHeadingThatSaysItMorePlainly) {
  const Table table = Sheet({"Address", "Site ID", "Date", "Meter", "Reading (gal)"},
                            {{"Elm St", "FP-001", "2026-07-01", "77", "5"}});
  const auto preview = MapColumns(table, TableKind::kReads);
  ASSERT_TRUE(preview.ok()) << preview.error().ToString();
  EXPECT_EQ(preview->Find("code")->heading, "Site ID");
  EXPECT_EQ(preview->Find("total")->heading, "Reading (gal)");
}

TEST(MapColumns, AShortHeadingMustBeExact) {
  EXPECT_EQ(MatchHeading("dim", *FindField(TableKind::kDevices, "diameter")).score, 0);
  EXPECT_EQ(MatchHeading("dia", *FindField(TableKind::kDevices, "diameter")).score, 1);
}

TEST(MapColumns, ANeededFieldWithoutAColumnIsOneClearError) {
  const auto preview = MapColumns(Sheet({"Date", "Notes"}, {{"2026-07-01", "x"}}), TableKind::kSamples);
  ASSERT_FALSE(preview.ok());
  EXPECT_THAT(
      preview.error().ToString(),
      HasSubstr("sheet.csv, line 1, value 'Date, Notes': no column for what is needed: code, residual"));
}

TEST(MapColumns, TakesTheUnitOfALengthFromTheOtherColumnsAndSaysSo) {
  const auto us =
      MapColumns(Sheet({"Code", "Length", "Flow gpm"}, {{"A", "300", "60"}}), TableKind::kDevices);
  EXPECT_EQ(UnitOf(us, "length"), "ft");
  EXPECT_THAT(us->Find("length")->unit_why, HasSubstr("the other columns are in US units"));
  EXPECT_LE(us->Find("length")->confidence, 0.7);
  const auto metric = MapColumns(Sheet({"Code", "Length", "Dia"}, {{"A", "91", "150"}}), TableKind::kDevices);
  EXPECT_EQ(UnitOf(metric, "diameter"), "mm");
  EXPECT_EQ(UnitOf(metric, "length"), "m");
}

TEST(MapColumns, DoesNotGuessAUnitThatNothingTells) {
  const auto length = MapColumns(Sheet({"Code", "Length"}, {{"A", "300"}}), TableKind::kDevices);
  ASSERT_FALSE(length.ok());
  EXPECT_THAT(length.error().ToString(),
              HasSubstr("column Length, value '300': the unit of this column is not known"));
  const auto read =
      MapColumns(Sheet({"Site", "Date", "Reading"}, {{"A", "2026-07-01", "1234"}}), TableKind::kReads);
  ASSERT_FALSE(read.ok());
  EXPECT_THAT(read.error().ToString(), HasSubstr("Reading"));
}

TEST(MapColumns, TemperaturesGoByTheirValues) {
  const auto fahrenheit =
      MapColumns(Sheet({"Site", "Date", "Cl2", "Temp"},
                       {{"A", "2026-07-01", "0.5", "68"}, {"A", "2026-07-02", "0.5", "71"}}),
                 TableKind::kSamples);
  EXPECT_EQ(UnitOf(fahrenheit, "temperature"), "F");
  const auto celsius = MapColumns(Sheet({"Site", "Date", "Cl2", "Temp"}, {{"A", "2026-07-01", "0.5", "20"}}),
                                  TableKind::kSamples);
  EXPECT_EQ(UnitOf(celsius, "temperature"), "C");
}

TEST(MapColumns, TypedGoesBeforeRememberedAndRememberedBeforeWords) {
  const Table table = Sheet({"Site", "Date", "Cl2", "A", "B"}, {{"x", "2026-07-01", "0.1", "0.2", "0.3"}});
  MappingOptions options;
  options.remembered = {{"residual", "A", ""}};
  EXPECT_EQ(MapColumns(table, TableKind::kSamples, options)->Find("residual")->heading, "A");
  EXPECT_EQ(MapColumns(table, TableKind::kSamples, options)->Find("residual")->how, ChosenHow::kRemembered);
  options.typed = {{"residual", "B", "ug/L"}};
  const auto preview = MapColumns(table, TableKind::kSamples, options);
  EXPECT_EQ(preview->Find("residual")->heading, "B");
  EXPECT_EQ(UnitOf(preview, "residual"), "ug/L");
  EXPECT_THAT(preview->unused_headings, ElementsAre("Cl2", "A"));
}

TEST(MapColumns, ATypedHeadingThatIsNotThereIsAnErrorARememberedOneIsNot) {
  const Table table = Sheet({"Site", "Date", "Cl2"}, {{"x", "2026-07-01", "0.1"}});
  MappingOptions options;
  options.remembered = {{"residual", "Gone", ""}};
  EXPECT_EQ(MapColumns(table, TableKind::kSamples, options)->Find("residual")->heading, "Cl2");
  options.typed = options.remembered;
  const auto preview = MapColumns(table, TableKind::kSamples, options);
  ASSERT_FALSE(preview.ok());
  EXPECT_THAT(preview.error().ToString(), HasSubstr("value 'Gone'"));
}

TEST(MapColumns, WhatIsRememberedGivesTheSamePreviewAgain) {
  const Table table = Sheet({"Code", "Length", "Flow gpm", "Dia"}, {{"A", "300", "60", "6"}});
  const auto first = MapColumns(table, TableKind::kDevices);
  ASSERT_TRUE(first.ok());
  MappingOptions options;
  options.remembered = ToRemember(*first);
  const auto again = MapColumns(table, TableKind::kDevices, options);
  ASSERT_TRUE(again.ok());
  EXPECT_EQ(ToRemember(*again), ToRemember(*first));
  EXPECT_EQ(again->Find("length")->unit_why, "remembered");
}

TEST(MapColumns, AnOptionSettlesDatesThatDoNotTell) {
  const Table table = Sheet({"Site", "Date", "Cl2"}, {{"x", "03/04/2026", "0.1"}});
  EXPECT_FALSE(MapColumns(table, TableKind::kSamples)->Find("date")->date_order.has_value());
  MappingOptions options;
  options.date_order = DateOrder::kMonthFirst;
  EXPECT_EQ(MapColumns(table, TableKind::kSamples, options)->Find("date")->date_order,
            DateOrder::kMonthFirst);
}

TEST(ColumnsFile, NamesHeadingsAndUnits) {
  const WrittenFile file("map.toml",
                         "[columns]\ncode = \"Tag nr\"\nlength = \"L\"\n[units]\nlength = \"ft\"\n");
  const auto columns = ReadColumnsFile(file.path(), TableKind::kDevices);
  ASSERT_TRUE(columns.ok()) << columns.error().ToString();
  EXPECT_THAT(*columns, ElementsAre(ChosenColumn{"code", "Tag nr", ""}, ChosenColumn{"length", "L", "ft"}));
}

TEST(ColumnsFile, FaultsAreNamedWithTheirLine) {
  const auto fault = [](const std::string& content) {
    const WrittenFile file("map.toml", content);
    const auto columns = ReadColumnsFile(file.path(), TableKind::kDevices);
    return columns.ok() ? "no fault" : columns.error().ToString();
  };
  EXPECT_THAT(fault("[columns]\nlenght = \"L\"\n"), HasSubstr("line 2, value 'lenght': no such field"));
  EXPECT_THAT(fault("[units]\n\nlength = \"gpm\"\n"),
              HasSubstr("line 3, column length, value 'gpm': no such unit; there are m, km, ft"));
  EXPECT_THAT(fault("[columns]\ncode = 3\n"), HasSubstr("line 2, column code: a text in quotes is wanted"));
  EXPECT_THAT(fault("[colums]\ncode = \"x\"\n"), HasSubstr("'colums'"));
  EXPECT_THAT(fault("[columns\n"), HasSubstr("line 1: this is not TOML"));
  EXPECT_THAT(ReadColumnsFile("no-such.toml", TableKind::kDevices).error().ToString(),
              HasSubstr("no such file"));
}

TEST(Describe, ShowsEachColumnWithItsReasonAndValues) {
  const auto preview = MapColumns(Sheet({"Code", "Dia", "Colour"}, {{"A", "6", "red"}, {"B", "8", "blue"}}),
                                  TableKind::kDevices);
  ASSERT_TRUE(preview.ok());
  EXPECT_THAT(
      Describe(*preview),
      HasSubstr(
          "diameter <- 'Dia' (same words, 90 % sure), in in: values 6, 8 look like inches; as in '6', '8'"));
  EXPECT_THAT(Describe(*preview), HasSubstr("not read: 'Colour'"));
}

}  // namespace
}  // namespace lastreach
