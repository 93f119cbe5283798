#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace lastreach {

// Weights w >= 0 for the greatest SUM_k gain_k w_k with SUM_k pull[m * count + k] w_k <= 1 in every row m: a
// linear programme, solved by a library. Empty where that fails. What the weights prove must be worked out
// from them afterwards (GainPerLoad), so that nothing rests on the solver. REQUIRES: size of pull a multiple
// of gain's; pulls 0 or more. COST: some ten milliseconds for 100 by 100.
std::vector<double> PackingWeights(std::span<const double> gain, std::span<const double> pull);

// SUM gain_k w_k over the greatest of the rows: what any weights >= 0 are good for. 0 where they weigh
// nothing.
double GainPerLoad(std::span<const double> gain, std::span<const double> pull,
                   std::span<const double> weight);

}  // namespace lastreach
