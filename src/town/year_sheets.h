#pragma once

#include <string>

namespace lastreach {

// Sheets about the year, as text. Each is the same to the byte every time.
std::string TemperaturesSheet();  // temperatures.csv, both zones by month
std::string TripsSheet();         // trips.csv, visits made anyway
std::string PricesSheet();        // prices.csv, water and a visit

}  // namespace lastreach
