#include "import/ground_length.h"

#include <cmath>
#include <numbers>

namespace lastreach {

double GroundLength_m(const std::vector<Position>& line) {
  constexpr double kRadius_m = 6378137;
  constexpr double kFlattening = 1 / 298.257223563;
  constexpr double kEccentricity2 = kFlattening * (2 - kFlattening);
  constexpr double kPerDegree = std::numbers::pi / 180;
  double length_m = 0;
  for (size_t i = 0; i + 1 < line.size(); ++i) {
    const double latitude = (line[i].latitude_deg + line[i + 1].latitude_deg) / 2 * kPerDegree;
    const double sine = std::sin(latitude);
    const double w2 = 1 - kEccentricity2 * sine * sine;
    const double across_m = kRadius_m / std::sqrt(w2);
    const double along_m = across_m * (1 - kEccentricity2) / w2;
    length_m += std::hypot(
        (line[i + 1].longitude_deg - line[i].longitude_deg) * kPerDegree * across_m * std::cos(latitude),
        (line[i + 1].latitude_deg - line[i].latitude_deg) * kPerDegree * along_m);
  }
  return length_m;
}

}  // namespace lastreach
