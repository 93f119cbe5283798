#include "network/decimal.h"

#include <charconv>
#include <cmath>

namespace lastreach {
namespace {

std::string_view Trimmed(std::string_view text) {
  constexpr std::string_view kBlanks = " \t\r\n";
  const size_t first = text.find_first_not_of(kBlanks);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(kBlanks) - first + 1);
}

}  // namespace

std::optional<double> ParseDecimal(std::string_view text, int shift) {
  text = Trimmed(text);
  if (text.starts_with('+') && !text.starts_with("+-")) text.remove_prefix(1);
  // Keeps out "inf", "nan" and a second sign, which the library would take.
  if (text.empty() || text.find_first_not_of("0123456789.eE+-") != std::string_view::npos) return {};
  const size_t mark = text.find_first_of("eE");
  int exponent = 0;
  if (mark != std::string_view::npos) {
    std::string_view written = text.substr(mark + 1);
    if (written.starts_with('+') && !written.starts_with("+-")) written.remove_prefix(1);
    const auto [end, error] = std::from_chars(written.data(), written.data() + written.size(), exponent);
    if (error != std::errc() || end != written.data() + written.size() || std::abs(exponent) > 10000)
      return {};
  }
  const std::string moved = std::string(text.substr(0, mark)) + "e" + std::to_string(exponent + shift);
  double value = 0;
  const auto [end, error] = std::from_chars(moved.data(), moved.data() + moved.size(), value);
  if (error != std::errc() || end != moved.data() + moved.size() || !std::isfinite(value)) return {};
  return value;
}

std::string ToDecimal(double value, int shift) {
  if (value == 0) return "0";
  char buffer[32];
  const auto written =
      std::to_chars(buffer, buffer + sizeof buffer, std::abs(value), std::chars_format::scientific);
  const std::string_view text(buffer, static_cast<size_t>(written.ptr - buffer));
  const size_t mark = text.find('e');
  std::string digits(text.substr(0, 1));
  if (mark > 1) digits += text.substr(2, mark - 2);
  std::string_view power = text.substr(mark + 1);
  if (power.starts_with('+')) power.remove_prefix(1);
  int exponent = 0;
  std::from_chars(power.data(), power.data() + power.size(), exponent);
  exponent += shift;
  const std::string sign = value < 0 ? "-" : "";
  const int count = static_cast<int>(digits.size());
  // Beyond these, zeros would be more than the digits.
  if (exponent < -4 || exponent > 15) {
    const std::string tail = count > 1 ? "." + digits.substr(1) : "";
    return sign + digits.substr(0, 1) + tail + "e" + std::to_string(exponent);
  }
  if (exponent < 0) return sign + "0." + std::string(static_cast<size_t>(-exponent) - 1, '0') + digits;
  if (count <= exponent + 1)
    return sign + digits + std::string(static_cast<size_t>(exponent) + 1 - static_cast<size_t>(count), '0');
  const size_t whole = static_cast<size_t>(exponent) + 1;
  return sign + digits.substr(0, whole) + "." + digits.substr(whole);
}

}  // namespace lastreach
