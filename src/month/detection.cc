#include "month/detection.h"

#include <limits>

namespace lastreach {

double UndetectedPercent(const DetectionCounts& counts) {
  const int sampled = counts.measured + counts.bacteria_only;
  if (sampled == 0) return std::numeric_limits<double>::quiet_NaN();
  return 100.0 * (counts.undetected + counts.undetected_high + counts.unmeasured_high) / sampled;
}

bool IsOverInBoth(double percent, double percent_before) {
  return percent > kMostUndetectedPercent && percent_before > kMostUndetectedPercent;
}

}  // namespace lastreach
