#pragma once

#include <map>
#include <set>
#include <string>

#include "import/import.h"
#include "import/row_reader.h"

namespace lastreach {

// What the rows before have shown, to find the same thing twice.
struct SeenRows {
  explicit SeenRows(const ImportContext& context) : points(context.known_points) {}
  PointFinder points;
  std::map<std::string, int> line_of;  // by code, or by reading
  // False, and the row rejected, if `key` has been seen.
  bool IsNew(const std::string& key, const std::string& what, std::string_view field, RowReader& row);
};

// One for each kind: reads the row and adds to the result, unless it rejects the row.
void ImportDevice(RowReader& row, TableKind kind, SeenRows& seen, ImportResult& result);

// The settings in the programme columns of a row; none if there are none, or if one cell is at fault, which
// is then listed: half of a timer's settings would be worse than none.
std::optional<TimerSettings> ReadTimer(RowReader& row);
bool HasTimerCells(const RowReader& row);

}  // namespace lastreach
