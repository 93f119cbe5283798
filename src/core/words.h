#pragma once

#include <string>
#include <string_view>

#include "core/result.h"

namespace lastreach {

// Finds the value whose ToText() is `text` among `all`. ERROR: kBadInput listing the words there are.
template <typename Enum, size_t N>
Result<Enum> ParseByWord(std::string_view text, const Enum (&all)[N], std::string_view what) {
  std::string words;
  for (const Enum value : all) {
    if (text == ToText(value)) return value;
    words += (words.empty() ? "" : ", ") + std::string(ToText(value));
  }
  return BadInput(std::string(what) + " is one of " + words, {"", {}, "", std::string(text)});
}

}  // namespace lastreach
