#pragma once

#include <optional>
#include <string>
#include <vector>

#include "import/dates.h"
#include "import/numbers.h"
#include "import/table.h"
#include "ledger/imports.h"

namespace lastreach {

// How a heading came to fill a field.
enum class ChosenHow { kExact, kSimilar, kRemembered, kTyped };
std::string_view ToText(ChosenHow how);  // "same words", "similar words", "remembered", "columns file"

// One field with the column that fills it, and why.
struct ColumnChoice {
  std::string field;
  Dimension dimension = Dimension::kNone;
  std::string heading;
  size_t column = 0;  // index into headings and cells
  ChosenHow how = ChosenHow::kExact;
  double confidence = 1;     // 0 to 1: of heading and unit together
  std::optional<Unit> unit;  // of bare numbers; a unit in a cell goes before it
  std::string unit_why;      // "in the heading", "values 4, 6, 8 look like inches"
  DecimalMark decimal_mark = DecimalMark::kPoint;
  std::optional<DateOrder> date_order;
  std::vector<std::string> samples;  // the first three different values
};

// What a sheet was taken to mean, to be shown before anything comes in.
struct Preview {
  TableKind kind = TableKind::kDevices;
  std::vector<ColumnChoice> columns;         // in the order of the fields
  std::vector<std::string> unused_headings;  // columns nobody will read
  std::vector<std::string> notes;

  const ColumnChoice* Find(std::string_view field) const;
};

// What is known of a column beyond its heading and cells: that its numbers fit the drawing in feet, or that
// they fit nothing and it had better not be read.
struct SeenColumn {
  std::string field;
  std::string heading;
  std::optional<Unit> unit;  // none: the column is not to fill this field
  std::string why;
};

struct MappingOptions {
  std::vector<ChosenColumn> typed;       // from a columns file: goes before everything
  std::vector<ChosenColumn> remembered;  // from the last import of the same headings
  std::optional<DateOrder> date_order;   // --day-first, --month-first: where the column itself does not tell
  std::vector<SeenColumn> seen;          // goes before guesses from values, after what is written
  std::vector<std::string> not_wanted;   // fields nobody needs here
};

// Finds the column for each field and the unit of each column. A unit that is nowhere written is taken from
// the values or from the other columns, with the reason; if nothing tells, that is an error, not a guess.
// ERROR: kBadInput if a needed field has no column, a typed heading is not in the sheet, or a unit is not
// known.
Result<Preview> MapColumns(const Table& table, TableKind kind, const MappingOptions& options = {});

// What to remember for the next sheet with these headings.
std::vector<ChosenColumn> ToRemember(const Preview& preview);

// A columns file: TOML with [columns] field = "Heading" and, if wanted, [units] field = "ft".
// ERROR: kNotFound, or kBadInput naming the line, for an unknown field, or a unit the field does not have.
Result<std::vector<ChosenColumn>> ReadColumnsFile(const std::string& path, TableKind kind);

// The preview as lines of text, one a column.
std::string Describe(const Preview& preview);

}  // namespace lastreach
