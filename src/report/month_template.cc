#include "report/month_template.h"

#include <toml++/toml.h>
#include <filesystem>

namespace lastreach {
namespace {

class TemplateReader {
 public:
  explicit TemplateReader(const std::string& path) { form_.file = path; }

  Result<MonthTemplate> Read(const toml::table& document) {
    for (const auto& [key, node] : document) {
      if (const Status taken = Take(std::string(key.str()), node); !taken.ok()) return taken.error();
    }
    if (form_.rows.empty()) return BadInput("rows = \"water\" or another table is wanted", At());
    if (form_.columns.empty()) return BadInput("at least one [[column]] is wanted", At());
    if (form_.manner.separator == form_.manner.decimal_point) {
      return BadInput("the decimal point and the separator are the same", At());
    }
    return std::move(form_);
  }

 private:
  static int LineIn(const toml::node& node) { return static_cast<int>(node.source().begin.line); }
  Place At(const toml::node* node = nullptr, const std::string& key = "",
           const std::string& value = "") const {
    return {form_.file, node == nullptr ? std::optional<int>() : LineIn(*node), key, value};
  }

  Status Take(const std::string& key, const toml::node& node) {
    if (key == "column") return TakeColumns(node);
    if (key == "total") return TakeFlag(key, node, form_.total);
    if (key == "headings") return TakeFlag(key, node, form_.headings);
    std::string text;
    if (const Status taken = TakeText(key, node, text); !taken.ok()) return taken;
    if (key == "rows") {
      form_.rows = text;
      form_.rows_line = LineIn(node);
      return Ok();
    }
    if (key == "separator") {
      if (text == "," || text == ";" || text == "\t") return form_.manner.separator = text[0], Ok();
      return BadInput("the separator is \",\", \";\" or \"\\t\"", At(&node, key, text));
    }
    if (key == "decimal_point") {
      if (text == "." || text == ",") return form_.manner.decimal_point = text[0], Ok();
      return BadInput("the decimal point is \".\" or \",\"", At(&node, key, text));
    }
    if (key == "dates") return TakeDates(node, text);
    return BadInput("a template has rows, total, headings, separator, decimal_point, dates and [[column]]",
                    At(&node, "", key));
  }

  Status TakeDates(const toml::node& node, const std::string& text) {
    using Dates = CsvManner::Dates;
    for (const auto& [word, dates] : {std::pair("year-month-day", Dates::kYearMonthDay),
                                      std::pair("month/day/year", Dates::kMonthDayYear),
                                      std::pair("day.month.year", Dates::kDayMonthYear)}) {
      if (text == word) return form_.manner.dates = dates, Ok();
    }
    return BadInput("dates are year-month-day, month/day/year or day.month.year", At(&node, "dates", text));
  }

  Status TakeText(const std::string& key, const toml::node& node, std::string& to) const {
    const auto text = node.value_exact<std::string>();
    if (!text) return BadInput("a text in quotes is wanted", At(&node, key));
    to = *text;
    return Ok();
  }

  Status TakeFlag(const std::string& key, const toml::node& node, bool& to) const {
    const auto flag = node.value_exact<bool>();
    if (!flag) return BadInput("true or false is wanted", At(&node, key));
    to = *flag;
    return Ok();
  }

  Status TakeColumns(const toml::node& node) {
    const toml::array* columns = node.as_array();
    if (columns == nullptr) return BadInput("columns are written [[column]]", At(&node, "column"));
    for (const toml::node& entry : *columns) {
      const toml::table* table = entry.as_table();
      if (table == nullptr) return BadInput("columns are written [[column]]", At(&entry, "column"));
      MonthTemplate::TemplateColumn column;
      column.line = LineIn(entry);
      for (const auto& [key, value] : *table) {
        const std::string name(key.str());
        std::string* to = name == "heading" ? &column.heading
                          : name == "field" ? &column.field
                          : name == "text"  ? &column.text
                                            : nullptr;
        if (to == nullptr) return BadInput("a column has heading, field and text", At(&value, "", name));
        if (const Status taken = TakeText(name, value, *to); !taken.ok()) return taken;
      }
      if (!column.field.empty() && !column.text.empty()) {
        return BadInput("a column has a field or a text, not both", At(&entry, column.heading));
      }
      form_.columns.push_back(std::move(column));
    }
    return Ok();
  }

  MonthTemplate form_;
};

template <typename Items, typename NameOf>
std::string Listed(const Items& items, NameOf name_of) {
  std::string list;
  for (const auto& item : items) list += (list.empty() ? "" : ", ") + name_of(item);
  return list;
}

}  // namespace

Result<MonthTemplate> ReadMonthTemplate(const std::string& path) {
  if (!std::filesystem::is_regular_file(path)) return NotFound("there is no such file", {path, {}, "", ""});
  try {
    return TemplateReader(path).Read(toml::parse_file(path));
  } catch (const toml::parse_error& error) {
    return BadInput("this is not TOML: " + std::string(error.description()),
                    {path, static_cast<int>(error.source().begin.line), "", ""});
  }
}

Result<std::string> MonthAsTemplate(const MonthTemplate& form, const MonthBook& book) {
  const MonthTable* table = nullptr;
  for (const MonthTable& candidate : book.tables) {
    if (candidate.key == form.rows) table = &candidate;
  }
  if (table == nullptr) {
    return BadInput("there is no such table; there are " +
                        Listed(book.tables, [](const MonthTable& other) { return other.key; }),
                    {form.file, form.rows_line, "rows", form.rows});
  }
  std::vector<int> fields;
  for (const auto& column : form.columns) {
    fields.push_back(table->Find(column.field));
    if (column.field.empty() || column.field == "month" || fields.back() >= 0) continue;
    return BadInput("the table " + table->key + " has no such field; it has month, " +
                        Listed(table->columns, [](const MonthColumn& other) { return other.key; }),
                    {form.file, column.line, "field", column.field});
  }
  std::string text;
  const auto add_row = [&](auto cell_of) {
    for (size_t i = 0; i < form.columns.size(); ++i) {
      text += (i > 0 ? std::string(1, form.manner.separator) : "") + cell_of(i);
    }
    text += "\n";
  };
  if (form.headings) {
    add_row([&](size_t i) { return DelimitedCell(form.columns[i].heading, form.manner.separator); });
  }
  const auto add_cells = [&](const std::vector<MonthCell>& row, bool is_total) {
    add_row([&](size_t i) {
      const auto& column = form.columns[i];
      if (fields[i] >= 0) return MonthCellAsCsv(row[static_cast<size_t>(fields[i])], form.manner);
      if (column.field == "month") return DelimitedCell(book.month, form.manner.separator);
      return DelimitedCell(is_total ? "" : column.text, form.manner.separator);
    });
  };
  for (const auto& row : table->rows) add_cells(row, false);
  if (form.total && !table->total.empty()) add_cells(table->total, true);
  return text;
}

}  // namespace lastreach
