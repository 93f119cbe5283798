#include "network/decimal.h"
#include "network/plain_parts.h"

namespace lastreach::plain {

std::string PlainRow::Needed(std::string_view column) {
  const std::string& text = Text(column);
  if (text.empty() && !error_) error_ = ErrorAt(column, "this cell must not be blank");
  return text;
}

std::optional<double> PlainRow::Number(std::string_view column, int shift) {
  const std::string& text = Text(column);
  if (text.empty()) return {};
  const std::optional<double> number = ParseDecimal(text, shift);
  if (!number && !error_) error_ = ErrorAt(column, "this is not a number");
  return number;
}

std::optional<Sourced<double>> PlainRow::Typed(std::string_view column, int shift) {
  const std::optional<double> number = Number(column, shift);
  if (!number) return {};
  return Sourced<double>{*number, {OriginKind::kTyped, "", {}, ""}};
}

void PlainRow::Unused(std::string_view column, std::string_view kind, Notes& notes) const {
  const std::string& text = Text(column);
  if (text.empty() || ParseDecimal(text) == 0.0) return;
  notes.push_back(ErrorAt(column, "a " + std::string(kind) + " has no use for this").ToString());
}

Error PlainRow::ErrorAt(std::string_view column, std::string message) const {
  return BadInput(std::move(message), table_.PlaceOf(row_, column));
}

void PlainRow::Refuse(const CellFault& fault) {
  if (!error_) error_ = ErrorAt(fault.column, fault.message);
}

}  // namespace lastreach::plain
