#pragma once

#include <vector>

#include "import/fields.h"

namespace lastreach {

// The fields of sheets about the year.
std::vector<Field> TemperatureFields();
std::vector<Field> TripFields();
std::vector<Field> PriceFields();

}  // namespace lastreach
