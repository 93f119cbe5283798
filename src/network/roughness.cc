#include "network/roughness.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace lastreach {
namespace {

constexpr const char* kFairGeyerOkun = "Fair, Geyer & Okun 2010, table 5.1: ";
constexpr double kUnitsPerYear = 1;

std::vector<std::string> WordsOf(std::string_view written) {
  std::vector<std::string> words;
  std::string word;
  for (const char raw : written) {
    const char c = raw >= 'A' && raw <= 'Z' ? static_cast<char>(raw - 'A' + 'a') : raw;
    if ((c >= 'a' && c <= 'z') || c == '?' || static_cast<unsigned char>(c) >= 0x80) {
      word += c;
    } else if (c != '.' && !word.empty()) {
      words.push_back(std::move(word));
      word.clear();
    }
  }
  if (!word.empty()) words.push_back(std::move(word));
  return words;
}

struct Meaning {
  std::string_view word;
  PipeMaterial material;
};
constexpr PipeMaterial kCast = PipeMaterial::kCastIron;
constexpr PipeMaterial kLined = PipeMaterial::kLinedIron;
constexpr PipeMaterial kCement = PipeMaterial::kAsbestosCement;
// A later word of the list outweighs an earlier one: "ductile iron" is not cast, "cement lined" is not
// cement.
constexpr Meaning kMeanings[] = {
    {"iron", kCast},
    {"ci", kCast},
    {"cip", kCast},
    {"cas", kCast},
    {"cast", kCast},
    {"castiron", kCast},
    {"uci", kCast},
    {"sci", kCast},
    {"concrete", PipeMaterial::kConcrete},
    {"con", PipeMaterial::kConcrete},
    {"conc", PipeMaterial::kConcrete},
    {"rcp", PipeMaterial::kConcrete},
    {"pccp", PipeMaterial::kConcrete},
    {"rccp", PipeMaterial::kConcrete},
    {"pcp", PipeMaterial::kConcrete},
    {"steel", PipeMaterial::kSteel},
    {"stl", PipeMaterial::kSteel},
    {"st", PipeMaterial::kSteel},
    {"copper", PipeMaterial::kCopper},
    {"cop", PipeMaterial::kCopper},
    {"cu", PipeMaterial::kCopper},
    {"asbestos", kCement},
    {"ac", kCement},
    {"acp", kCement},
    {"transite", kCement},
    {"tran", kCement},
    {"fibrocement", kCement},
    {"pvc", PipeMaterial::kPlastic},
    {"cpvc", PipeMaterial::kPlastic},
    {"upvc", PipeMaterial::kPlastic},
    {"mpvc", PipeMaterial::kPlastic},
    {"pvco", PipeMaterial::kPlastic},
    {"hdpe", PipeMaterial::kPlastic},
    {"mdpe", PipeMaterial::kPlastic},
    {"ldpe", PipeMaterial::kPlastic},
    {"pe", PipeMaterial::kPlastic},
    {"pehd", PipeMaterial::kPlastic},
    {"polyethylene", PipeMaterial::kPlastic},
    {"plastic", PipeMaterial::kPlastic},
    {"poly", PipeMaterial::kPlastic},
    {"galv", PipeMaterial::kGalvanized},
    {"gal", PipeMaterial::kGalvanized},
    {"galvanized", PipeMaterial::kGalvanized},
    {"galvanised", PipeMaterial::kGalvanized},
    {"gi", PipeMaterial::kGalvanized},
    {"gip", PipeMaterial::kGalvanized},
    {"ductile", kLined},
    {"di", kLined},
    {"dip", kLined},
    {"dicl", kLined},
    {"cicl", kLined},
    {"clci", kLined},
    {"cldi", kLined},
};

// C of a table that has one value for new pipe and one for any age.
struct TableRow {
  PipeMaterial material;
  double new_c;
  double any_age_c;
  const char* words;
};
constexpr TableRow kTable[] = {
    {PipeMaterial::kCastIron, 130, 100, "cast iron, coated"},
    {PipeMaterial::kLinedIron, 130, 130, "cast iron, lined"},
    {PipeMaterial::kSteel, 140, 100, "welded steel, coated"},
    {PipeMaterial::kConcrete, 140, 130, "concrete"},
    {PipeMaterial::kAsbestosCement, 140, 130, "cement-asbestos"},
    {PipeMaterial::kPlastic, 140, 130, "plastic"},
};
const TableRow* RowOf(PipeMaterial material) {
  for (const TableRow& row : kTable) {
    if (row.material == material) return &row;
  }
  return nullptr;
}

constexpr std::array<double, 5> kCastIronByDecade = {130, 110, 94.5, 82.5, 73.5};

Roughness CastIronByAge(double age_years) {
  const double decades = std::max(0.0, age_years) / 10;
  constexpr size_t kLast = kCastIronByDecade.size() - 1;
  if (decades >= static_cast<double>(kLast)) {
    const double c = kCastIronByDecade[kLast] - kUnitsPerYear * (age_years - 10.0 * kLast);
    return {std::max(40.0, c),
            "cast iron of 40 years, engineeringtoolbox.com/d_798, and one unit a year since"};
  }
  const auto whole = static_cast<size_t>(decades);
  const double c =
      std::lerp(kCastIronByDecade[whole], kCastIronByDecade[whole + 1], decades - std::floor(decades));
  return {c, "cast iron by age, engineeringtoolbox.com/d_798"};
}

}  // namespace

std::string_view ToText(PipeMaterial material) {
  switch (material) {
    case PipeMaterial::kUnknown:
      return "not known";
    case PipeMaterial::kCastIron:
      return "cast iron";
    case PipeMaterial::kLinedIron:
      return "lined iron";
    case PipeMaterial::kSteel:
      return "steel";
    case PipeMaterial::kGalvanized:
      return "galvanized iron";
    case PipeMaterial::kAsbestosCement:
      return "asbestos cement";
    case PipeMaterial::kConcrete:
      return "concrete";
    case PipeMaterial::kPlastic:
      return "plastic";
    case PipeMaterial::kCopper:
      return "copper";
  }
  return "";
}

PipeMaterial ReadMaterial(std::string_view written) {
  const std::vector<std::string> words = WordsOf(written);
  const auto has = [&](std::string_view word) {
    return std::find(words.begin(), words.end(), word) != words.end();
  };
  PipeMaterial material = PipeMaterial::kUnknown;
  for (const Meaning& meaning : kMeanings) {
    if (has(meaning.word)) material = meaning.material;
  }
  const bool iron = material == kCast || material == kLined;
  if (iron && has("unlined")) return kCast;
  if (iron && (has("lined") || has("cl") || has("cml"))) return kLined;
  return material;
}

bool IsNoMaterial(std::string_view written) {
  const std::vector<std::string> words = WordsOf(written);
  if (words.empty()) return true;
  if (words.size() == 2) return words[0] == "n" && words[1] == "a";
  constexpr std::string_view kNothing[] = {"unk",   "unknown", "na",  "none", "null",
                                           "other", "?",       "tbd", "x",    "nan"};
  return words.size() == 1 &&
         std::find(std::begin(kNothing), std::end(kNothing), words[0]) != std::end(kNothing);
}

Roughness HazenWilliamsC(PipeMaterial material, std::optional<double> age_years) {
  if (material == PipeMaterial::kCastIron && age_years) return CastIronByAge(*age_years);
  if (material == PipeMaterial::kSteel && age_years) {
    return {std::clamp(140 - kUnitsPerYear * *age_years, 100.0, 140.0),
            std::string(kFairGeyerOkun) + "welded steel, coated, less one unit a year"};
  }
  // The least of 130 to 140 and of both sources.
  if (material == PipeMaterial::kCopper) return {130, "copper, engineeringtoolbox.com/d_798"};
  if (material == PipeMaterial::kGalvanized) return {120, "galvanized iron, engineeringtoolbox.com/d_798"};
  const TableRow* row = RowOf(material);
  if (row == nullptr)
    return {100, std::string(kFairGeyerOkun) + "the least of any material, as it is not known"};
  if (!age_years) return {row->any_age_c, std::string(kFairGeyerOkun) + row->words + ", age not known"};
  return {row->new_c, std::string(kFairGeyerOkun) + row->words};
}

Roughness RoughnessHeight_m(PipeMaterial material) {
  const std::string source = "lmnoeng.com/surface.htm: ";
  switch (material) {
    case PipeMaterial::kPlastic:
      return {0, source + "plastic"};
    case PipeMaterial::kCopper:
      return {1.5e-6, source + "drawn tube"};
    case PipeMaterial::kSteel:
      return {4.5e-5, source + "commercial steel"};
    case PipeMaterial::kGalvanized:
      return {1.5e-4, source + "galvanized iron"};
    case PipeMaterial::kCastIron:
      return {2.6e-4, source + "cast iron"};
    case PipeMaterial::kConcrete:
      return {3e-4, source + "concrete, smooth"};
    case PipeMaterial::kLinedIron:
    case PipeMaterial::kAsbestosCement:
    case PipeMaterial::kUnknown:
      break;
  }
  return {1.2e-4, source + "asphalted cast iron, for want of its own"};
}

bool IsUnlinedMetal(PipeMaterial material) {
  return material == PipeMaterial::kCastIron || material == PipeMaterial::kSteel ||
         material == PipeMaterial::kGalvanized;
}

double CByGrowth(double diameter_m, double growth_m_per_year, double age_years) {
  constexpr double kNewHeight_m = 0.18e-3;
  return 18.0 - 37.2 * std::log10((kNewHeight_m + growth_m_per_year * age_years) / diameter_m);
}

}  // namespace lastreach
