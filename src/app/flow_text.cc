#include "app/flow_text.h"

#include <cctype>
#include <string>

#include "import/numbers.h"
#include "import/units.h"

namespace lastreach {
namespace {

// Whole systems are counted in millions, which no device's sheet is.
std::optional<double> MillionsADay(std::string_view unit) {
  std::string plain;
  for (const char c : unit) {
    if (c != ' ' && c != '.') plain += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  }
  if (plain == "mgd" || plain == "mgal/d" || plain == "milliongallonsaday") {
    return Flow::GallonsPerDay(1e6).cubic_metres_per_second();
  }
  if (plain == "ml/d" || plain == "mld" || plain == "megalitresaday") {
    return Flow::CubicMetresPerDay(1000).cubic_metres_per_second();
  }
  return std::nullopt;
}

}  // namespace

Result<Flow> ParseFlow(std::string_view text) {
  const auto number = ParseNumber(text);
  if (!number.ok()) return BadRequest("'" + std::string(text) + "' does not begin with a number");
  std::optional<double> factor = MillionsADay(number->rest);
  if (const auto unit = FindUnit(Dimension::kFlow, number->rest); !factor && unit) factor = unit->factor;
  if (!factor || number->rest.empty()) {
    return BadRequest("'" + std::string(text) + "' needs a unit of flow: MGD, ML/d, " +
                      UnitNames(Dimension::kFlow));
  }
  return Flow::CubicMetresPerSecond(number->value * *factor);
}

}  // namespace lastreach
