#pragma once

#include <optional>
#include <string>

#include "core/origin.h"
#include "core/quantity.h"

namespace lastreach {

// What the water of one supply zone is like in one month of any year. Empty items fall back on the zone's.
struct MonthWater {
  std::string zone;
  int month = 1;                                    // 1 to 12
  std::optional<Sourced<Temperature>> temperature;  // in the month's warmest week
  std::optional<Sourced<double>> use_factor;        // use of the customers over that of the mean month
  std::optional<Sourced<Concentration>> upstream_residual;  // in the well-fed mains
  friend bool operator==(const MonthWater&, const MonthWater&) = default;
};

// `newer` with what it leaves empty taken from `older`.
MonthWater FilledFrom(MonthWater newer, const MonthWater& older);

}  // namespace lastreach
