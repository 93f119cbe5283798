#include "hydraulics/level_step.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lastreach {

double LevelError_m(std::span<const LevelTank> tanks, const StepFlows& flows, double seconds) {
  double worst_m = 0;
  for (size_t i = 0; i < tanks.size(); ++i) {
    const double start = flows.start_m3_per_s[i];
    const double middle = flows.middle_m3_per_s[i];
    const double off = std::abs(middle - start);
    const double greater = std::max(std::abs(start), std::abs(middle));
    const double apart_m = off * seconds / tanks[i].area_m2;
    const double x = greater > 0 ? std::min(2 * off / greater, 1.0) : 1;
    worst_m = std::max(worst_m, apart_m * std::max(0.25, x / 3));
  }
  return worst_m;
}

double GreatestMove_m(std::span<const LevelTank> tanks, std::span<const double> inflow_m3_per_s,
                      double seconds) {
  double greatest_m = 0;
  for (size_t i = 0; i < tanks.size(); ++i) {
    greatest_m = std::max(greatest_m, std::abs(inflow_m3_per_s[i]) * seconds / tanks[i].area_m2);
  }
  return greatest_m;
}

double FirstMark_s(std::span<const LevelTank> tanks, std::span<const double> inflow_m3_per_s) {
  double first_s = std::numeric_limits<double>::infinity();
  for (size_t i = 0; i < tanks.size(); ++i) {
    first_s = std::min(first_s, TimeToMark_s(tanks[i], inflow_m3_per_s[i]));
  }
  return first_s;
}

}  // namespace lastreach
