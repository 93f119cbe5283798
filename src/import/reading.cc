#include "import/reading.h"

#include <algorithm>
#include <array>

#include "import/cell_words.h"
#include "import/units.h"

namespace lastreach {
namespace {

constexpr double kMostMgPerL = 10;
constexpr double kKitAccuracyMgPerL = 0.1;

Error NotAReading(std::string_view text, const std::string& why) {
  return BadInput(why, {"", {}, "", std::string(text)});
}

// Takes "F", "total", "T:" off the front.
std::optional<Analyte> TakeAnalyte(std::string& text) {
  size_t letters = 0;
  while (letters < text.size() && std::isalpha(static_cast<unsigned char>(text[letters])) != 0) ++letters;
  const auto analyte = ReadAnalyte(text.substr(0, letters));
  if (letters == 0 || !analyte.ok()) return std::nullopt;
  text = Trimmed(text.substr(letters));
  if (!text.empty() && (text[0] == ':' || text[0] == '=')) text = Trimmed(text.substr(1));
  return *analyte;
}

// Without the unit at the end: "0.3 mg/L" would look like a pair.
std::string TakeUnit(std::string_view text, double& mg_per_l_each) {
  std::string rest = Trimmed(text);
  for (const std::string_view name : {"mg/l", "ppm", "mgl", "ug/l", "ppb"}) {
    const size_t at = Lower(rest).find(name);
    if (at == std::string::npos) continue;
    if (const auto unit = FindUnit(Dimension::kConcentration, name)) mg_per_l_each = unit->factor;
    rest = Trimmed(rest.substr(0, at) + " " + rest.substr(at + name.size()));
  }
  return rest;
}

// One reading; `said` is set if the cell names what was measured.
Result<ParsedReading> ParseOne(std::string_view part, std::string_view whole, const ReadingOptions& options,
                               bool& said) {
  std::string text = Trimmed(part);
  ParsedReading reading;
  reading.analyte = options.analyte;
  if (!text.empty() && (text[0] == '>' || Plainly(text) == "over range" || Plainly(text) == "over")) {
    return NotAReading(whole, "the reading was beyond what the kit can read");
  }
  if (const auto analyte = TakeAnalyte(text)) {
    reading.analyte = *analyte;
    said = true;
  }
  reading.below_detection = TakeBelow(text);
  if (SaysNotDetected(Plainly(text))) {
    reading.below_detection = true;
    reading.residual = options.detection_limit;
    reading.note = "'" + std::string(whole) + "' taken as below " +
                   std::to_string(options.detection_limit.milligrams_per_litre()).substr(0, 4) + " mg/L";
    return reading;
  }
  const auto number = ParseNumber(text, options.mark);
  if (!number.ok()) return NotAReading(whole, "this is not a reading");
  if (number->about) reading.note = "written as about";
  if (const std::string rest = Plainly(number->rest); !rest.empty()) {
    const auto analyte = ReadAnalyte(rest);
    if (!analyte.ok())
      return NotAReading(whole, "'" + number->rest + "' behind the reading is not understood");
    reading.analyte = *analyte;
    said = true;
  }
  const double mg_per_l = number->value * options.mg_per_l_each;
  if (mg_per_l < 0) return NotAReading(whole, "a residual cannot be negative");
  if (mg_per_l > kMostMgPerL)
    return NotAReading(whole, "a residual above 10 mg/L is no drinking water; is a point missing?");
  reading.residual = Concentration::MilligramsPerLitre(mg_per_l);
  return reading;
}

}  // namespace

bool SaysNotDetected(const std::string& plain) {
  static constexpr std::array<std::string_view, 15> kWords = {"nd",
                                                              "n d",
                                                              "bdl",
                                                              "bld",
                                                              "mdl",
                                                              "dl",
                                                              "lod",
                                                              "not detected",
                                                              "trace",
                                                              "tr",
                                                              "nil",
                                                              "undetectable",
                                                              "none detected",
                                                              "below detection",
                                                              "non detect"};
  return std::find(kWords.begin(), kWords.end(), plain) != kWords.end();
}

bool TakeBelow(std::string& text) {
  for (const std::string_view sign : {"<=", "<", "\xE2\x89\xA4", "less than", "below", "under"}) {
    if (Lower(text).compare(0, sign.size(), sign) != 0) continue;
    text = Trimmed(text.substr(sign.size()));
    return true;
  }
  return false;
}

Result<Analyte> ReadAnalyte(std::string_view text) {
  const std::string plain = Plainly(text);
  for (const std::string_view word :
       {"f", "free", "fr", "fac", "free cl2", "free chlorine", "fcl2", "free cl", "free residual",
        "chlorine free", "cl2 free", "free available chlorine", "residual chlorine free"}) {
    if (plain == word) return Analyte::kFreeChlorine;
  }
  for (const std::string_view word :
       {"t", "tot", "total", "tcl2", "total cl2", "total chlorine", "trc", "total cl", "total residual",
        "combined", "chlorine total", "cl2 total", "total residual chlorine", "residual chlorine total"}) {
    if (plain == word) return Analyte::kTotalChlorine;
  }
  for (const std::string_view word : {"m", "mono", "monochloramine", "nh2cl", "monochlor"}) {
    if (plain == word) return Analyte::kMonochloramine;
  }
  for (const std::string_view word : {"free ammonia", "ammonia", "nh3 n", "nh3", "ammonia n", "free nh3",
                                      "free ammonia as n", "ammonia as n"}) {
    if (plain == word) return Analyte::kFreeAmmonia;
  }
  for (const std::string_view word : {"nitrite", "no2", "no2 n", "nitrite n", "nitrite as n"}) {
    if (plain == word) return Analyte::kNitrite;
  }
  return NotAReading(text, "free, total or mono is wanted");
}

Result<Byproduct> ReadByproduct(std::string_view text) {
  const std::string plain = Plainly(text);
  for (const std::string_view word : {"tthm", "tthms", "thm", "thms", "total thm", "total thms",
                                      "trihalomethanes", "total trihalomethanes"}) {
    if (plain == word) return Byproduct::kTotalTrihalomethanes;
  }
  for (const std::string_view word : {"haa5", "haa 5", "haa", "haa5s", "total haa5", "haloacetic acids",
                                      "five haloacetic acids", "haloacetic acids five"}) {
    if (plain == word) return Byproduct::kHaloaceticAcids5;
  }
  return NotAReading(text, "TTHM or HAA5 is wanted");
}

Result<std::vector<ParsedReading>> ParseReading(std::string_view text, const ReadingOptions& given) {
  ReadingOptions options = given;
  const std::string bare = TakeUnit(text, options.mg_per_l_each);
  const size_t slash = bare.find('/');
  bool said = false;
  if (slash == std::string::npos) {
    const auto one = ParseOne(bare, text, options, said);
    if (!one.ok()) return one.error();
    return std::vector<ParsedReading>{*one};
  }
  auto first = ParseOne(bare.substr(0, slash), text, options, said);
  if (!first.ok()) return first.error();
  auto second = ParseOne(bare.substr(slash + 1), text, options, said);
  if (!second.ok()) return second.error();
  if (!said) {
    first->analyte = Analyte::kFreeChlorine;
    second->analyte = Analyte::kTotalChlorine;
  }
  if (first->analyte == second->analyte)
    return NotAReading(text, "two readings of the same thing in one cell");
  const ParsedReading& total = first->analyte == Analyte::kTotalChlorine ? *first : *second;
  const ParsedReading& other = first->analyte == Analyte::kTotalChlorine ? *second : *first;
  const Concentration slack = Concentration::MilligramsPerLitre(kKitAccuracyMgPerL);
  if (total.analyte == Analyte::kTotalChlorine && !other.below_detection &&
      other.residual > total.residual + slack) {
    return NotAReading(text, "there is more free than total; are they the wrong way about?");
  }
  return std::vector<ParsedReading>{*first, *second};
}

}  // namespace lastreach
