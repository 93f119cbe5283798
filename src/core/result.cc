#include "core/result.h"

#include <algorithm>

namespace lastreach {
namespace {

// A value may hold line breaks or be a page long; the promise is one line.
std::string OneLine(std::string text) {
  std::replace_if(
      text.begin(), text.end(), [](char c) { return c == '\n' || c == '\r' || c == '\t'; }, ' ');
  constexpr size_t kLongest = 120;
  if (text.size() > kLongest) text = text.substr(0, kLongest) + "...";
  return text;
}

}  // namespace

std::string Error::ToString() const {
  std::string where;
  const auto add = [&where](const std::string& part) { where += (where.empty() ? "" : ", ") + part; };
  if (!place.file.empty()) add(OneLine(place.file));
  if (place.line) add("line " + std::to_string(*place.line));
  if (!place.column.empty()) add("column " + OneLine(place.column));
  if (!place.value.empty()) add("value '" + OneLine(place.value) + "'");
  std::string text = message;
  std::replace(text.begin(), text.end(), '\n', ' ');
  return where.empty() ? text : where + ": " + text;
}

int ExitCodeOf(ErrorCode code) {
  const int number = static_cast<int>(code);
  if (number < 500) return 2;
  return number < 900 ? 1 : 3;
}

Error BadInput(std::string message, Place place) {
  return {ErrorCode::kBadInput, std::move(message), std::move(place)};
}
Error BadRequest(std::string message) { return {ErrorCode::kBadRequest, std::move(message), {}}; }
Error NotFound(std::string message, Place place) {
  return {ErrorCode::kNotFound, std::move(message), std::move(place)};
}
Error Conflict(std::string message, Place place) {
  return {ErrorCode::kConflict, std::move(message), std::move(place)};
}
Error Internal(std::string message) { return {ErrorCode::kInternal, std::move(message), {}}; }

}  // namespace lastreach
