#include "month/month_json.h"

#include <nlohmann/json.hpp>

namespace lastreach {
namespace {

using Json = nlohmann::ordered_json;

Json JsonOfCell(const MonthCell& cell) {
  if (const auto* text = std::get_if<std::string>(&cell)) return *text;
  const auto* number = std::get_if<MonthNumber>(&cell);
  if (number == nullptr) return nullptr;
  return number->decimals == 0 ? Json(number->units) : Json(number->value());
}

Json JsonOfRow(const MonthTable& table, const std::vector<MonthCell>& row) {
  Json json = Json::object();
  for (size_t i = 0; i < row.size(); ++i) json[table.columns[i].key] = JsonOfCell(row[i]);
  return json;
}

Json JsonOfTable(const MonthTable& table) {
  Json rows = Json::array();
  for (const auto& row : table.rows) rows.push_back(JsonOfRow(table, row));
  Json json = {{"rows", std::move(rows)}};
  if (table.total.empty()) return json;
  Json total = Json::object();
  for (size_t i = 0; i < table.total.size(); ++i) {
    if (std::holds_alternative<MonthNumber>(table.total[i])) {
      total[table.columns[i].key] = JsonOfCell(table.total[i]);
    }
  }
  json["total"] = std::move(total);
  return json;
}

}  // namespace

std::string MonthToJson(const MonthBook& book, int indent) {
  Json json = {{"month", book.month}, {"volume_unit", UnitKey(book.unit)}};
  for (const MonthTable& table : book.tables) {
    if (table.key == "summary") {
      json["summary"] = JsonOfRow(table, table.rows.front());
    } else {
      json[table.key] = JsonOfTable(table);
    }
  }
  json["notes"] = book.notes;
  return json.dump(indent, ' ', false, Json::error_handler_t::replace);
}

}  // namespace lastreach
