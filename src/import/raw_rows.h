#pragma once

#include <string>
#include <vector>

#include "core/result.h"
#include "import/table.h"

namespace lastreach {

// The rows of a file, blank ones left out, before the headings are looked for.
struct RawRows {
  std::string sheet;
  std::vector<TableRow> rows;
  int lines = 0;
  std::vector<std::string> notes;
};

// `text` as it stands in the file. ERROR: none; quotes that are never closed make one long cell.
RawRows ReadText(const std::string& text);

// ERROR: kNotFound, kBadInput as ReadTable.
Result<RawRows> ReadWorkbook(const std::string& path, const std::string& sheet);

bool IsBlank(const TableRow& row);

}  // namespace lastreach
