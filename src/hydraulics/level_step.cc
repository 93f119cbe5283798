#include "hydraulics/level_step.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lastreach {

double ShareOfStep(double x) {
  constexpr double kSmall = 1e-3;
  if (x < kSmall) return 0.5 + x / 12;
  return -1 / std::expm1(-x) - 1 / x;
}

void UpdateRest(const StepFlows& flows, std::span<const double> shares, double seconds,
                std::span<double> rest_per_s) {
  constexpr double kNothing_m3_per_s = 1e-6;  // ten times what flows are found to
  for (size_t i = 0; i < rest_per_s.size(); ++i) {
    const double start = flows.start_m3_per_s[i];
    const double step = flows.step_m3_per_s[i];
    if (std::abs(step) < kNothing_m3_per_s || (start > 0) != (step > 0)) continue;
    rest_per_s[i] = std::max(0.0, (start / step - 1) / (shares[i] * seconds));
  }
}

double LevelError_m(std::span<const LevelTank> tanks, const StepFlows& flows, double seconds) {
  double worst_m = 0;
  for (size_t i = 0; i < tanks.size(); ++i) {
    const double start = flows.start_m3_per_s[i];
    const double step = flows.step_m3_per_s[i];
    double off = std::abs(start - step) / 4;
    if ((start > 0) == (step > 0) && std::abs(start) > std::abs(step)) off = std::min(off, std::abs(step));
    worst_m = std::max(worst_m, off * seconds / tanks[i].area_m2);
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
