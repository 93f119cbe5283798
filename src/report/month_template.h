#pragma once

#include <string>
#include <vector>

#include "report/month_csv.h"

namespace lastreach {

// The user's own order of columns, as their regulator's form has it. docs/formats/month.md describes the
// file.
struct MonthTemplate {
  struct TemplateColumn {
    std::string heading;
    std::string field;  // key of a column of the table, or "month"; empty: `text` in every row
    std::string text;
    int line = 0;  // of the file, for messages
  };
  std::string file;
  std::string rows;  // key of the table
  int rows_line = 0;
  bool total = false;
  bool headings = true;
  CsvManner manner;
  std::vector<TemplateColumn> columns;
};

// ERROR: kNotFound if there is no such file; kBadInput, naming file and line, if it is not TOML, has a key
// that is none of its own, or one of the wrong kind.
Result<MonthTemplate> ReadMonthTemplate(const std::string& path);

// The table as the template has it. ERROR: kBadInput, naming file and line, for a table or field that is not
// there, with those that are.
Result<std::string> MonthAsTemplate(const MonthTemplate& form, const MonthBook& book);

}  // namespace lastreach
