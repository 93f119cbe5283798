#include "evidence/residual_trend.h"

#include <algorithm>
#include <cmath>

namespace lastreach {

std::optional<ResidualTrend> TrendOf(std::span<const Sample> samples) {
  constexpr size_t kFew = 5;
  if (samples.size() < kFew) return std::nullopt;
  const auto n = static_cast<double>(samples.size());
  const auto y_of = [](const Sample& sample) {
    return sample.residual.milligrams_per_litre() / (sample.below_detection ? 2 : 1);
  };
  double x_mean = 0, y_mean = 0;
  for (const Sample& sample : samples) {
    x_mean += DayNumber(sample.day) / n;
    y_mean += y_of(sample) / n;
  }
  double xx = 0, xy = 0, yy = 0;
  for (const Sample& sample : samples) {
    const double x = DayNumber(sample.day) - x_mean, y = y_of(sample) - y_mean;
    xx += x * x;
    xy += x * y;
    yy += y * y;
  }
  if (!(xx > 0)) return std::nullopt;
  ResidualTrend trend;
  trend.samples = static_cast<int>(samples.size());
  trend.slope_mg_per_l_per_day = xy / xx;
  trend.slope_error_mg_per_l_per_day =
      std::sqrt(std::max(0.0, yy - trend.slope_mg_per_l_per_day * xy) / ((n - 2) * xx));
  trend.middle_mg_per_l = y_mean;
  trend.middle_day = x_mean;
  return trend;
}

}  // namespace lastreach
