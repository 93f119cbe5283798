#pragma once

#include <string>
#include <vector>

#include "core/civil_time.h"
#include "core/ids.h"

namespace lastreach {

using ImportId = RowId<struct ImportTag>;

// Which heading of a sheet fills which field, and in which unit its bare numbers are. An empty unit means
// that the field has none, or that it is to be found out.
struct ChosenColumn {
  std::string field;    // "length"
  std::string heading;  // as written in the sheet: "Lenght (ft)"
  std::string unit;     // "ft"
  friend bool operator==(const ChosenColumn&, const ChosenColumn&) = default;
};

// One row or cell of a sheet that did not come in, so that nothing is dropped in silence.
struct RejectedRow {
  int line = 0;          // 1-based, as a text editor or spreadsheet shows it
  std::string column;    // heading; empty when the whole row is at fault
  std::string value;     // the cell as written
  std::string reason;    // one sentence
  std::string original;  // the row as written, cells joined by " | "
  friend bool operator==(const RejectedRow&, const RejectedRow&) = default;
};

// One import, for the log.
struct ImportEntry {
  ImportId id;
  std::string file;
  std::string kind;  // "devices", "samples", ...
  Instant when;
  std::string who;
  int rows_in = 0;
  int rows_rejected = 0;
  friend bool operator==(const ImportEntry&, const ImportEntry&) = default;
};

}  // namespace lastreach
