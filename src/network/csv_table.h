#pragma once

#include <map>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/result.h"

namespace lastreach {

// A comma-separated file with one row of headings, as RFC 4180 has it: quotes, doubled quotes, line breaks
// inside quotes, either line ending, a UTF-8 mark or none. Columns in any order. Rows without anything in
// them are passed over. Blanks round an unquoted cell do not belong to it.
class CsvTable {
 public:
  // ERROR: kNotFound if there is no such file; kBadInput naming file and line if it is no text, a heading
  // stands twice, one of `required` is missing, a quotation mark is out of place or a row has more cells than
  // headings. COST: one pass; about 10 MB/s.
  static Result<CsvTable> Read(const std::string& path, std::span<const std::string_view> required,
                               std::span<const std::string_view> optional);

  size_t size() const { return rows_.size(); }  // rows below the headings
  // Empty where the table has no such column or the row ends before it.
  const std::string& Cell(size_t row, std::string_view column) const;
  Place PlaceOf(size_t row, std::string_view column) const;
  // One sentence for every column that is neither required nor optional: it was not read.
  const std::vector<std::string>& notes() const { return notes_; }

 private:
  struct Row {
    int line = 0;  // 1-based, where the row begins
    std::vector<std::string> cells;
  };
  static Result<std::vector<Row>> Rows(const std::string& path);

  std::string file_;
  std::map<std::string, size_t, std::less<>> columns_;
  std::vector<Row> rows_;
  std::vector<std::string> notes_;
};

// A cell as it must stand in such a file: in quotes where it would not read back equal without.
std::string CsvCell(const std::string& text);

}  // namespace lastreach
