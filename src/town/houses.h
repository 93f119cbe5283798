#pragma once

#include <optional>
#include <string>
#include <vector>

#include "town/street_plan.h"

namespace lastreach {

// A house and its one connection to the main in front of it.
struct House {
  size_t street = 0;   // in StreetPlan()
  double along_m = 0;  // of the street's line, where the connection is
  TownPoint at;
  int number = 0;       // even on the left of the line, odd on the right
  std::string address;  // as the office writes it, in more ways than one; "" where nobody did
  std::optional<double> use_gal_per_day;  // none where no meter is read
};

// All houses of the town, 8 to 15 m off the main that serves them, and at least 6 m nearer to it than to any
// other. Computed once. COST: houses times stretches near them.
const std::vector<House>& Houses();

// How many houses the map has on a flushed street beyond those of the sheets (town_ends.h): 0 but for three.
int HousesTheSheetsMiss(const std::string& end_code);

}  // namespace lastreach
