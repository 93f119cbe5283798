#include "store/columns.h"

namespace lastreach {

Value TimeValue(Instant instant) {
  const std::string text = FormatRfc3339(instant, std::chrono::seconds(0));  // ends in +00:00
  return text.substr(0, text.size() - 6) + ".000Z";
}

Result<Instant> ReadTime(const Row& row, const std::string& column) {
  std::string text = row.Text(column);
  // Other programs may write the fraction with any number of digits, or leave it out.
  if (const size_t dot = text.find('.'); dot != std::string::npos) text = text.substr(0, dot) + "Z";
  Result<Instant> instant = ParseRfc3339(text);
  if (instant.ok()) return instant;
  return BadInput(instant.error().message, {"", {}, column, row.Text(column)});
}

Value DateValue(const std::optional<Date>& date) { return date ? Value(FormatDate(*date)) : Value(); }

Result<Date> ReadDate(const Row& row, const std::string& column) {
  Result<Date> date = ParseDate(row.Text(column));
  if (date.ok()) return date;
  return BadInput(date.error().message, {"", {}, column, row.Text(column)});
}

Value IntValue(const std::optional<int>& number) { return number ? Value(int64_t{*number}) : Value(); }

std::optional<int> ReadInt(const Row& row, const std::string& column) {
  if (row.IsNull(column)) return std::nullopt;
  return static_cast<int>(row.Int(column));
}

Value RealValue(const std::optional<double>& number) { return number ? Value(*number) : Value(); }

std::optional<double> ReadReal(const Row& row, const std::string& column) {
  if (row.IsNull(column)) return std::nullopt;
  return row.Number(column);
}

std::string TextOf(std::string_view word) { return std::string(word); }

void AddOrigin(Columns& columns, const std::string& name, const Origin* origin) {
  const bool known = origin != nullptr;
  columns.emplace_back(name + "_origin", known ? Value(TextOf(ToText(origin->kind))) : Value());
  columns.emplace_back(name + "_by", known ? Value(origin->by) : Value());
  columns.emplace_back(name + "_when", known && origin->when ? TimeValue(*origin->when) : Value());
  columns.emplace_back(name + "_note", known ? Value(origin->note) : Value());
}

Result<Origin> ReadOrigin(const Row& row, const std::string& name) {
  const Result<OriginKind> kind = ParseOriginKind(row.Text(name + "_origin"));
  if (!kind.ok()) return kind.error();
  Origin origin{*kind, row.Text(name + "_by"), {}, row.Text(name + "_note")};
  if (!row.IsNull(name + "_when")) {
    const Result<Instant> when = ReadTime(row, name + "_when");
    if (!when.ok()) return when.error();
    origin.when = *when;
  }
  return origin;
}

}  // namespace lastreach
