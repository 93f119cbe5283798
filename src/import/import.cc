#include "import/import.h"

#include "import/cell_words.h"
#include "import/row_imports.h"

namespace lastreach {
namespace {

// Faults of the row itself, before anybody asks what it means.
void CheckShape(const Table& table, const TableRow& row, RowReader& reader) {
  for (size_t i = table.headings.size(); i < row.cells.size(); ++i) {
    if (!Trimmed(row.cells[i]).empty()) {
      return reader.Reject(
          "", "there are more cells than headings; a comma inside a cell needs quotes around it");
    }
  }
  if (row.last_line > row.line && row.cells.size() < table.headings.size()) {
    return reader.Reject("", "a quote is opened and not closed in its cell (lines " +
                                 std::to_string(row.line) + " to " + std::to_string(row.last_line) + ")");
  }
  size_t same = 0;
  for (size_t i = 0; i < std::min(row.cells.size(), table.headings.size()); ++i) {
    if (!table.headings[i].empty() && Trimmed(row.cells[i]) == table.headings[i]) ++same;
  }
  if (same >= 2 || (same == 1 && table.headings.size() == 1))
    reader.Reject("", "these are the headings again");
}

void ImportRow(RowReader& row, TableKind kind, SeenRows& seen, ImportResult& result) {
  switch (kind) {
    case TableKind::kDevices:
    case TableKind::kPoints:
      return ImportDevice(row, kind, seen, result);
    default:
      return;
  }
}

}  // namespace

bool SeenRows::IsNew(const std::string& key, const std::string& what, std::string_view field,
                     RowReader& row) {
  const auto [found, added] = line_of.emplace(key, row.line());
  if (!added) row.Reject(field, what + " is in line " + std::to_string(found->second) + " already");
  return added;
}

ImportResult ImportRows(const Table& table, const Preview& preview, const ImportContext& context) {
  ImportResult result;
  SeenRows seen(context);
  for (const TableRow& row : table.rows) {
    RowReader reader(table, row, preview, context, result);
    CheckShape(table, row, reader);
    if (!reader.rejected()) ImportRow(reader, preview.kind, seen, result);
    if (!reader.rejected()) ++result.rows_in;
  }
  return result;
}

}  // namespace lastreach
