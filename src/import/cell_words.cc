#include "import/cell_words.h"

#include <algorithm>
#include <array>
#include <cctype>

namespace lastreach {
namespace {

constexpr std::string_view kNoBreakSpace = "\xC2\xA0";
constexpr std::string_view kSuperscriptThree = "\xC2\xB3";

bool StartsAt(std::string_view text, size_t at, std::string_view what) {
  return text.substr(at, what.size()) == what;
}

bool IsWordByte(char c) {
  const auto byte = static_cast<unsigned char>(c);
  return byte >= 0x80 || std::isalnum(byte) != 0;
}

}  // namespace

std::string Lower(std::string_view text) {
  std::string lower(text);
  for (char& c : lower) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return lower;
}

std::string Trimmed(std::string_view text) {
  for (;;) {
    if (!text.empty() && std::isspace(static_cast<unsigned char>(text.front())) != 0) {
      text.remove_prefix(1);
    } else if (!text.empty() && std::isspace(static_cast<unsigned char>(text.back())) != 0) {
      text.remove_suffix(1);
    } else if (StartsAt(text, 0, kNoBreakSpace)) {
      text.remove_prefix(2);
    } else if (text.size() >= 2 && StartsAt(text, text.size() - 2, kNoBreakSpace)) {
      text.remove_suffix(2);
    } else {
      return std::string(text);
    }
  }
}

std::string Plainly(std::string_view text) {
  std::string plain;
  const auto space = [&plain] {
    if (!plain.empty() && plain.back() != ' ') plain += ' ';
  };
  for (size_t i = 0; i < text.size(); ++i) {
    if (StartsAt(text, i, kNoBreakSpace)) {
      space();
      ++i;
    } else if (StartsAt(text, i, kSuperscriptThree)) {
      plain += '3';
      ++i;
    } else if (text[i] == '%') {
      space();
      plain += "percent ";
    } else if (text[i] == '\'') {
      continue;  // don't -> dont
    } else if (IsWordByte(text[i])) {
      plain += static_cast<char>(std::tolower(static_cast<unsigned char>(text[i])));
    } else {
      space();
    }
  }
  return Trimmed(plain);
}

std::vector<std::string> Words(std::string_view text) {
  std::vector<std::string> words;
  std::string word;
  for (const char c : text) {
    if (std::isspace(static_cast<unsigned char>(c)) == 0) {
      word += c;
    } else if (!word.empty()) {
      words.push_back(std::move(word));
      word.clear();
    }
  }
  if (!word.empty()) words.push_back(word);
  return words;
}

int EditDistance(std::string_view a, std::string_view b) {
  // Rows i - 2, i - 1 and i of the table whose entry j is the distance of a[0, i) and b[0, j).
  std::vector<int> before(b.size() + 1), above(b.size() + 1), row(b.size() + 1);
  for (size_t j = 0; j <= b.size(); ++j) above[j] = static_cast<int>(j);
  for (size_t i = 1; i <= a.size(); ++i) {
    row[0] = static_cast<int>(i);
    for (size_t j = 1; j <= b.size(); ++j) {
      row[j] = std::min({above[j] + 1, row[j - 1] + 1, above[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1)});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
        row[j] = std::min(row[j], before[j - 2] + 1);
      }
    }
    std::swap(before, above);
    std::swap(above, row);
  }
  return above[b.size()];
}

bool SaysUnknown(std::string_view text) {
  // Numbers stand for "missing" in exports of databases. Common practice, no source.
  static constexpr std::array<std::string_view, 8> kNumbers = {"-9.99", "-99",    "-99.9", "-99.99",
                                                               "-999",  "-999.0", "-9999", "-9999.0"};
  static constexpr std::array<std::string_view, 16> kWords = {
      "unk", "unkn", "unknown", "na",        "n a",     "not known",    "nk",      "tbd",
      "tbc", "null", "dk",      "dont know", "no idea", "not recorded", "missing", "see notes"};
  const std::string trimmed = Trimmed(text);
  if (std::find(kNumbers.begin(), kNumbers.end(), trimmed) != kNumbers.end()) return true;
  const std::string plain = Plainly(trimmed);
  if (plain.empty()) return trimmed.find_first_not_of("-?.*/\\_#\xE2\x80\x93\x94 ") == std::string::npos;
  if (plain == trimmed && plain.find_first_not_of("\xE2\x80\x93\x94 ") == std::string::npos)
    return true;  // dashes
  return std::find(kWords.begin(), kWords.end(), plain) != kWords.end();
}

bool Mentions(const std::string& plain, std::initializer_list<std::string_view> stems) {
  for (const std::string_view stem : stems) {
    if (plain.find(stem) != std::string::npos) return true;
  }
  return false;
}

}  // namespace lastreach
