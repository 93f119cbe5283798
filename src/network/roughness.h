#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/result.h"

namespace lastreach {

// What a main is made of, as far as its roughness goes. Printed in notes.
enum class PipeMaterial {
  kUnknown,
  kCastIron,   // not lined, or nobody says so
  kLinedIron,  // cast or ductile, cement mortar inside: ductile iron is laid so as a rule
  kSteel,
  kGalvanized,
  kAsbestosCement,
  kConcrete,
  kPlastic,  // PVC, polyethylene
  kCopper,
};

std::string_view ToText(PipeMaterial material);  // "not known", "cast iron", "lined iron", ...

// The material that a word of a map means: "DIP", "di", "Ductile Iron", "CAS", "C.I.", "cement-lined CI",
// "HDPE", "AC", "GALV"... kUnknown for blanks, "UNK" and words not met before.
PipeMaterial ReadMaterial(std::string_view written);

// True if the cell says nothing: blank, "UNK", "unknown", "N/A", "none", "other", "?".
bool IsNoMaterial(std::string_view written);

struct Roughness {
  double value = 0;
  std::string source;  // "Fair, Geyer & Okun 2010, table 5.1: ..."
};

// Hazen-Williams C of a main of that material, after that many years in the ground.
//   new and age not known: the two columns of Fair, Geyer & Okun, "Water and wastewater engineering", 3rd ed.
//   2010, table 5.1. Cast iron by age: middle of the ranges at engineeringtoolbox.com/d_798 (130,
//   110, 94.5, 82.5, 73.5 at 0 to 40 years). Steel by age, and cast iron beyond 40 years: one unit a year
//   (Lindeburg, "Civil engineering reference manual", 4th ed. 1986), not below 100 and 40. Lined iron, cement
//   and plastic hold their C. An unknown material is taken as the least of the table, 100.
Roughness HazenWilliamsC(PipeMaterial material, std::optional<double> age_years);

// Height of the roughness inside a new pipe [m], for Darcy and Weisbach's law. SOURCE:
// lmnoeng.com/surface.htm; lined iron, asbestos cement and what is not known, which it lacks, as asphalted
// cast iron.
Roughness RoughnessHeight_m(PipeMaterial material);

// True of metal that the water touches, which grows rougher with the years.
bool IsUnlinedMetal(PipeMaterial material);

// C of an unlined metal main that grows rougher steadily: C = 18.0 - 37.2 log10((e0 + a t) / D), e0 = 0.18
// mm. SOURCE: Sharp & Walski 1988 (ADA194321); the law from memory, its 95 % interval is +-15. REQUIRES:
// diameter_m > 0, growth_m_per_year >= 0, age_years >= 0.
double CByGrowth(double diameter_m, double growth_m_per_year, double age_years);

}  // namespace lastreach
