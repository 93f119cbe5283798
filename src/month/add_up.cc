#include "month/add_up.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>

namespace lastreach {

std::vector<int64_t> ShareUnits(int64_t total, std::span<const double> parts) {
  std::vector<int64_t> units(parts.size(), 0);
  const double sum = std::accumulate(parts.begin(), parts.end(), 0.0);
  if (total == 0 || parts.empty()) return units;
  if (!(sum > 0)) {
    units.front() = total;
    return units;
  }
  std::vector<double> remainders(parts.size());
  int64_t left = total;
  for (size_t i = 0; i < parts.size(); ++i) {
    const double share = static_cast<double>(total) * (parts[i] / sum);
    units[i] = static_cast<int64_t>(std::floor(share));
    remainders[i] = share - std::floor(share);
    left -= units[i];
  }
  std::vector<size_t> order(parts.size());
  std::iota(order.begin(), order.end(), size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](size_t a, size_t b) { return remainders[a] > remainders[b]; });
  // Rounding of the shares themselves can leave one unit too few or too many.
  for (size_t k = 0; left > 0; k = (k + 1) % order.size(), --left) ++units[order[k]];
  for (size_t k = order.size(); left < 0 && k-- > 0;) {
    if (units[order[k]] == 0) continue;
    --units[order[k]];
    ++left;
  }
  return units;
}

std::vector<int64_t> RoundToAddUp(std::span<const double> values) {
  return ShareUnits(std::llround(std::accumulate(values.begin(), values.end(), 0.0)), values);
}

}  // namespace lastreach
