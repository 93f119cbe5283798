#pragma once

#include <optional>
#include <string>
#include <vector>

#include "report/page.h"
#include "report/sheet_options.h"

namespace lastreach {

// What a map of the network shows. Each has inks of its own, so that two printouts are never taken for each
// other.
enum class MapValue { kAge, kResidual, kAgainstTarget, kPressure, kShare };

// Classes of a value between round limits. The bad end is the dark end and the wide one: it is what must be
// seen on a grey copy too.
//
// Inks: five to six steps of equal lightness from 0.8 to 0.27 (Oklab), pale sand to plum for age, pale
// aqua to night blue for the residual, leaf to pine for the pressure, lilac to violet for a share; contrast
// on white 1.8 to 15 to 1 by the formula of WCAG 2.1. Told apart by lightness alone, whatever the eye.
struct MapScale {
  MapValue value = MapValue::kAge;
  std::vector<double> limits;  // rising; class i holds limits[i - 1] <= value < limits[i]
  bool low_is_bad = false;
  SheetUnits units = SheetUnits::kMetric;  // of pressure: psi or metres of water

  size_t classes() const { return limits.size() + 1; }
  size_t ClassOf(double value) const;  // REQUIRES: finite
  // 0 for the best class, 1 for the worst.
  double BadnessOf(size_t which) const;
  Ink InkOf(size_t which) const;
  double WidthOf_pt(size_t which) const;
  // "under 12 h", "12 to 24 h", "over 7 d".
  std::string LabelOf(size_t which) const;
};

// Round limits for values from `least` to `greatest`: ages [h] on the steps of days and weeks; residuals
// against their target on half, one, one and a half, two and three of it; the rest on 1, 2 or 5 times a power
// of ten. `limit`, where given, is one of them if it can be: what a residual is held to.
MapScale ScaleFor(MapValue value, double least, double greatest, std::optional<double> limit = {},
                  SheetUnits units = SheetUnits::kMetric);

// A pressure in the unit a map of `units` has it in: psi or metres of water.
// SOURCE: 1 psi is 6894.757 Pa, 1 m of water 9806.65 Pa (both by definition).
double PressureOnMap(double pressure_m, SheetUnits units);

}  // namespace lastreach
