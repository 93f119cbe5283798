#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lastreach {

// What a column is a measure of.
enum class Dimension {
  kNone,  // words, counts, dates
  kLength,
  kDiameter,
  kFlow,
  kVolume,
  kConcentration,
  kTemperature,
  kUse,       // water over a time: 5 kgal a month
  kPressure,  // 20 psi
  kMass,      // 5 kg
};

// Which family of units a sheet is written in.
enum class UnitFamily { kUs, kMetric };

// One unit: value in SI = value x factor + offset. SI is m (of kPressure too, of water), m3/s (of kFlow and
// kUse), m3, mg/L, degrees Celsius and kg here.
struct Unit {
  std::string name;  // "ft", "100 gal": what is shown and remembered; never change it
  Dimension dimension = Dimension::kNone;
  double factor = 1;
  double offset = 0;
  UnitFamily family = UnitFamily::kMetric;
};

// The unit of that dimension written so: "ft", "feet", "'", "gal/min", "US GPM", "m³/h", "x100 gal".
// Upper and lower case, full stops, brackets and spaces do not matter.
std::optional<Unit> FindUnit(Dimension dimension, std::string_view text);

// A size as pipe trades write it, with the unit behind the number: "DN150" is "150 DN", "NPS 6" is "6 NPS".
// Anything else comes back as it is.
std::string UnitBehind(Dimension dimension, std::string_view text);

// Names of the units of that dimension, for messages: "m, ft".
std::string UnitNames(Dimension dimension);

// A heading taken apart: "Dia. (in.)" is "dia" in inches. The unit stands in brackets or in the last words.
struct HeadingParts {
  std::string words;  // plainly, without the unit
  std::optional<Unit> unit;
};
HeadingParts TakeApart(std::string_view heading, Dimension dimension);

}  // namespace lastreach
