#pragma once

#include <optional>
#include <string>

#include "core/result.h"
#include "import/import.h"
#include "store/project.h"

namespace lastreach {

struct ImportRequest {
  std::string table;  // the sheet's path
  TableKind kind = TableKind::kDevices;
  std::string sheet;         // of a workbook; empty for the first that is not empty
  std::string columns_file;  // TOML; empty for none
  std::optional<DateOrder> date_order;
  std::string who;
  Instant when{};
  bool preview_only = false;
};

struct ImportReport {
  Preview preview;
  ImportResult result;  // what came in, and what did not
  Table table;
  int already_known = 0;  // rows that say what the project holds already
};

// Reads a sheet, finds its columns (typed, then remembered, then by heading), makes records of its rows and
// puts all of them into the project in one transaction, with the import's own log. With preview_only nothing
// is written.
Result<ImportReport> ImportSheet(Project& project, const ImportRequest& request);

}  // namespace lastreach
