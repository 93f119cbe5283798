#pragma once

#include <cstdint>
#include <span>
#include <vector>

namespace lastreach {

// Shares `total` whole units out in proportion to `parts`, so that what is printed line by line adds up to
// what is printed below the line: each gets its share rounded down, and the units left over go one each to
// the largest remainders, earlier ones first among equals. No line is off by a whole unit.
//
// With no part above zero everything is zero, unless `total` is not: then the first line has it all.
// REQUIRES: total >= 0; parts finite and >= 0; at least one if total > 0. COST: O(n log n).
std::vector<int64_t> ShareUnits(int64_t total, std::span<const double> parts);

// Whole units near `values` that add up to their rounded sum.
std::vector<int64_t> RoundToAddUp(std::span<const double> values);

}  // namespace lastreach
