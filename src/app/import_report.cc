#include "app/import_report.h"

#include <map>
#include <nlohmann/json.hpp>
#include <ostream>

namespace lastreach {

using Json = nlohmann::ordered_json;

Json JsonOf(const std::vector<RejectedRow>& rows) {
  Json list = Json::array();
  for (const RejectedRow& row : rows) {
    list.push_back({{"line", row.line},
                    {"column", row.column},
                    {"value", row.value},
                    {"reason", row.reason},
                    {"original", row.original}});
  }
  return list;
}

Json JsonOf(const Preview& preview) {
  Json list = Json::array();
  for (const ColumnChoice& choice : preview.columns) {
    list.push_back({{"field", choice.field},
                    {"heading", choice.heading},
                    {"chosen_by", ToText(choice.how)},
                    {"confidence", choice.confidence},
                    {"unit_from", choice.unit_why},
                    {"samples", choice.samples}});
  }
  return list;
}

void PrintRows(const std::string& title, const std::string& row_word, const std::vector<RejectedRow>& rows,
               size_t shown, std::ostream& out) {
  if (rows.empty()) return;
  out << "\n" << title << "\n";
  std::map<std::string, size_t> more;
  for (size_t i = 0; i < rows.size(); ++i) {
    const RejectedRow& row = rows[i];
    if (i >= shown) {
      ++more[row.reason + (row.column.empty() ? "" : " (" + row.column + ")")];
      continue;
    }
    out << "  " << row_word << " " << row.line;
    if (!row.column.empty()) out << ", " << row.column;
    if (!row.value.empty()) out << ", '" << row.value << "'";
    out << ": " << row.reason << "\n";
  }
  for (const auto& [reason, count] : more) out << "  and " << count << " more: " << reason << "\n";
  if (!more.empty()) out << "  (the project's log of imports has them all)\n";
}

}  // namespace lastreach
