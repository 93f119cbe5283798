#include "map/street_name.h"

#include <algorithm>
#include <array>
#include <vector>

namespace lastreach {
namespace {

using Words = std::vector<std::string>;

constexpr std::array<std::pair<std::string_view, std::string_view>, 38> kShortForms = {{
    {"n", "north"},      {"s", "south"},       {"e", "east"},         {"w", "west"},
    {"ne", "northeast"}, {"nw", "northwest"},  {"se", "southeast"},   {"sw", "southwest"},
    {"st", "street"},    {"str", "street"},    {"ave", "avenue"},     {"av", "avenue"},
    {"rd", "road"},      {"dr", "drive"},      {"ln", "lane"},        {"la", "lane"},
    {"ct", "court"},     {"crt", "court"},     {"blvd", "boulevard"}, {"pl", "place"},
    {"cir", "circle"},   {"ter", "terrace"},   {"terr", "terrace"},   {"pkwy", "parkway"},
    {"pky", "parkway"},  {"hwy", "highway"},   {"sq", "square"},      {"trl", "trail"},
    {"tr", "trail"},     {"aly", "alley"},     {"cres", "crescent"},  {"rte", "route"},
    {"rt", "route"},     {"co", "county"},     {"mt", "mount"},       {"ft", "fort"},
    {"hts", "heights"},  {"xing", "crossing"},
}};
constexpr std::array<std::string_view, 8> kDirections = {"north",     "south",     "east",      "west",
                                                         "northeast", "northwest", "southeast", "southwest"};
constexpr std::array<std::string_view, 8> kFlats = {"apt", "apartment", "unit", "suite",
                                                    "ste", "lot",       "flat", "no"};

template <size_t N>
bool IsOneOf(std::string_view word, const std::array<std::string_view, N>& words) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

bool IsDigit(char c) { return c >= '0' && c <= '9'; }
bool IsLetter(char c) { return (c >= 'a' && c <= 'z') || static_cast<unsigned char>(c) >= 0x80; }

Words WordsOf(std::string_view written) {
  Words words;
  std::string word;
  const auto end = [&] {
    if (!word.empty()) words.push_back(std::move(word));
    word.clear();
  };
  for (const char raw : written) {
    const char c = raw >= 'A' && raw <= 'Z' ? static_cast<char>(raw - 'A' + 'a') : raw;
    if (IsDigit(c) || IsLetter(c) || c == '/' || c == '#') {
      word += c;
    } else if (c != '.' && c != '\'') {
      end();
    }
  }
  end();
  return words;
}

std::string WrittenOut(const Words& words) {
  std::string street;
  bool name_begun = false;
  for (size_t i = 0; i < words.size(); ++i) {
    std::string word = words[i];
    if (word == "st" && !name_begun && i + 1 < words.size()) {
      word = "saint";
    } else {
      for (const auto& [shorter, longer] : kShortForms) {
        if (words[i] == shorter) word = longer;
      }
    }
    name_begun = name_begun || !IsOneOf(word, kDirections);
    street += (street.empty() ? "" : " ") + word;
  }
  return street;
}

// "12", "12a", "1/2", but not "5th", "2nd".
bool IsHouseNumber(const std::string& word) {
  if (!IsDigit(word[0])) return false;
  const auto letters = std::count_if(word.begin(), word.end(), IsLetter);
  return letters <= 1;
}

// "route 9", "county road 12", "road 7": the number is the name.
bool NumberIsName(const Words& words) {
  const std::string before = WrittenOut({words[words.size() - 2]});
  if (before == "route" || before == "highway" || before == "interstate") return true;
  if (words.size() == 2)
    return before == "road" || before == "street" || before == "avenue" || before == "lane";
  const std::string two_before = WrittenOut({words[words.size() - 3]});
  return before == "road" && (two_before == "county" || two_before == "state" || two_before == "township");
}

}  // namespace

std::string PlainStreet(std::string_view written) { return WrittenOut(WordsOf(written)); }

std::string PlainStreetOfAddress(std::string_view written) {
  Words words = WordsOf(written.substr(0, written.find(',')));
  for (size_t i = 1; i < words.size(); ++i) {
    if (IsOneOf(words[i], kFlats) || words[i][0] == '#') words.resize(i);
  }
  bool number_before = false;
  while (words.size() > 1 && IsHouseNumber(words.front()) &&
         (!number_before || words.front().find('/') < 9)) {
    words.erase(words.begin());
    number_before = true;
  }
  if (!number_before && words.size() > 1 && IsHouseNumber(words.back()) && !NumberIsName(words))
    words.pop_back();
  return WrittenOut(words);
}

bool IsOnStreet(std::string_view service_street, const std::string& main_street) {
  if (main_street.empty() || service_street.empty()) return false;
  return PlainStreetOfAddress(service_street) == main_street || PlainStreet(service_street) == main_street;
}

}  // namespace lastreach
