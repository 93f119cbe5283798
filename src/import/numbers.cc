#include "import/numbers.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>
#include <cmath>
#include <optional>

#include "import/cell_words.h"

namespace lastreach {
namespace {

bool IsDigit(char c) { return c >= '0' && c <= '9'; }

Error NotANumber(std::string_view text) {
  return BadInput("this is not a number", {"", {}, "", std::string(text)});
}

// Takes words for "about" off both ends.
std::string WithoutAbout(std::string_view text, bool& about) {
  static constexpr std::array<std::string_view, 13> kBefore = {
      "about", "abt.", "abt", "approximately", "approx.", "approx", "circa",
      "ca.",   "ca",   "~",   "\xE2\x89\x88",  "est.",    "est"};
  static constexpr std::array<std::string_view, 10> kAfter = {
      "(est.)", "(est)", "(approx)", "approx.", "approx", "est.", "est", "??", "?", "+/-"};
  std::string rest = Trimmed(text);
  std::string lower = Lower(rest);
  for (const std::string_view word : kBefore) {
    if (lower.substr(0, word.size()) != word) continue;
    about = true;
    rest = Trimmed(rest.substr(word.size()));
    lower = Lower(rest);
    break;
  }
  for (const std::string_view word : kAfter) {
    if (lower.size() < word.size() || lower.substr(lower.size() - word.size()) != word) continue;
    about = true;
    return Trimmed(rest.substr(0, rest.size() - word.size()));
  }
  return rest;
}

// How many characters of `text` are digits and separators between digits.
size_t LengthOfNumber(std::string_view text) {
  size_t i = 0;
  size_t group = 0;  // digits since the last separator
  while (i < text.size()) {
    const char c = text[i];
    const bool digit_follows = i + 1 < text.size() && IsDigit(text[i + 1]);
    if (IsDigit(c)) {
      ++group;
    } else if ((c == '.' || c == ',') && (digit_follows || i > 0)) {
      if (!digit_follows) return c == '.' ? i + 1 : i;
      group = 0;
    } else if ((c == ' ' || c == '\'') && i > 0 && group <= 3 && i + 3 < text.size() &&
               IsDigit(text[i + 1]) && IsDigit(text[i + 2]) && IsDigit(text[i + 3]) &&
               (i + 4 == text.size() || !IsDigit(text[i + 4]))) {
      group = 0;
    } else {
      return i;
    }
    ++i;
  }
  return i;
}

// Digits with the thousands marks taken out and a point for the decimal mark; none if the groups are odd.
std::optional<std::string> Plain(std::string_view text, DecimalMark mark) {
  const size_t last = text.find_last_of(".,");
  char decimal = 0;
  if (last != std::string_view::npos) {
    const char sign = text[last];
    const bool both = text.find(sign == '.' ? ',' : '.') != std::string_view::npos;
    const bool single = std::count(text.begin(), text.end(), sign) == 1;
    const size_t digits_after = text.size() - last - 1;
    // One mark with three digits behind could be either; a leading zero or four digits before say decimal.
    const bool could_be_thousands = digits_after == 3 && last >= 1 && last <= 3 && text[0] != '0';
    const bool is_usual = (sign == '.') == (mark == DecimalMark::kPoint);
    if (single && (both || is_usual || !could_be_thousands)) decimal = sign;
    if (single && sign == ',' && mark == DecimalMark::kPoint && could_be_thousands) decimal = 0;
  }
  std::string plain;
  int group = 0;
  bool grouped = false;
  for (const char c : text) {
    if (IsDigit(c)) {
      plain += c;
      ++group;
      continue;
    }
    if (grouped && group != 3) return std::nullopt;
    if (c == decimal) {
      plain += '.';
      grouped = false;
    } else {
      grouped = true;
    }
    group = 0;
  }
  if (grouped && group != 3) return std::nullopt;
  return plain;
}

std::optional<double> ToDouble(const std::string& text) {
  double value = 0;
  const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (code != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return value;
}

// "1 1/2", "2-1/2", "3/4", "1½": the value and how many characters it took.
std::optional<std::pair<double, size_t>> Fraction(std::string_view text) {
  size_t i = 0;
  const auto number = [&]() -> std::optional<int> {
    const size_t begin = i;
    int value = 0;
    while (i < text.size() && IsDigit(text[i]) && i - begin < 4) value = value * 10 + (text[i++] - '0');
    return i > begin ? std::optional(value) : std::nullopt;
  };
  auto first = number();
  if (text.substr(i, 2) == "\xC2\xBD") return std::pair(first.value_or(0) + 0.5, i + 2);
  if (!first) return std::nullopt;
  double whole = 0;
  if (i + 1 < text.size() && (text[i] == ' ' || text[i] == '-') && IsDigit(text[i + 1])) {
    whole = *first;
    ++i;
    first = number();
  }
  if (!first || i >= text.size() || text[i] != '/') return std::nullopt;
  ++i;
  const auto below = number();
  // 2, 4, 8 and 16 are the denominators of pipe sizes; anything else with a slash is a pair or a date.
  if (!below || (*below != 2 && *below != 4 && *below != 8 && *below != 16) || *first >= *below)
    return std::nullopt;
  return std::pair(whole + static_cast<double>(*first) / *below, i);
}

// Length of "E+05" at the start of `text`, 0 if it is not there.
size_t LengthOfExponent(std::string_view text) {
  if (text.size() < 2 || (text[0] != 'e' && text[0] != 'E')) return 0;
  size_t i = text[1] == '+' || text[1] == '-' ? 2 : 1;
  const size_t digits = i;
  while (i < text.size() && IsDigit(text[i])) ++i;
  return i > digits ? i : 0;
}

}  // namespace

DecimalMark DecimalMarkOf(const std::vector<std::string>& cells) {
  bool comma = false;
  bool point = false;
  for (const std::string& cell : cells) {
    bool about = false;
    std::string text = WithoutAbout(cell, about);
    if (!text.empty() && (text[0] == '-' || text[0] == '+')) text.erase(0, 1);
    const std::string number = text.substr(0, LengthOfNumber(text));
    const size_t last = number.find_last_of(".,");
    if (last == std::string::npos) continue;
    const bool sure = number.size() - last - 1 != 3 || number[0] == '0';
    if (sure) (number[last] == ',' ? comma : point) = true;
  }
  return comma && !point ? DecimalMark::kComma : DecimalMark::kPoint;
}

Result<ParsedNumber> ParseNumber(std::string_view original, DecimalMark mark) {
  ParsedNumber parsed;
  std::string text = WithoutAbout(original, parsed.about);
  bool negative = false;
  if (!text.empty() && (text[0] == '-' || text[0] == '+')) {
    negative = text[0] == '-';
    text.erase(0, 1);
  }
  if (const auto fraction = Fraction(text)) {
    parsed.value = fraction->first;
    parsed.rest = Trimmed(text.substr(fraction->second));
  } else {
    const size_t length = LengthOfNumber(text);
    auto digits = Plain(std::string_view(text).substr(0, length), mark);
    if (!digits || digits->find_first_of("0123456789") == std::string::npos) return NotANumber(original);
    const size_t exponent = LengthOfExponent(std::string_view(text).substr(length));
    std::string power = text.substr(length, exponent);
    std::erase(power, '+');
    const auto value = ToDouble((digits->front() == '.' ? "0" : "") + *digits + power);
    if (!value || !std::isfinite(*value)) return NotANumber(original);
    parsed.value = *value;
    parsed.rest = Trimmed(text.substr(length + exponent));
  }
  if (negative) parsed.value = -parsed.value;
  return parsed;
}

Result<ParsedNumber> ParseCount(std::string_view text) {
  const auto number = ParseNumber(text);
  if (!number.ok()) return number;
  if (!number->rest.empty() || number->value < 0 || number->value > 1e6 ||
      number->value != std::floor(number->value)) {
    return BadInput("a whole number is wanted", {"", {}, "", std::string(text)});
  }
  return number;
}

}  // namespace lastreach
