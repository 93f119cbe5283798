#include "map/plane.h"

#include <algorithm>
#include <cmath>

namespace lastreach {
namespace {

constexpr double kPi = 3.14159265358979323846;
constexpr double kRadiansPerDegree = kPi / 180;
// WGS 84. SOURCE: [NGA.STND.0036] table 3.1.
constexpr double kSemiMajor_m = 6378137;
constexpr double kFlattening = 1 / 298.257223563;
constexpr double kE2 = kFlattening * (2 - kFlattening);  // eccentricity squared
constexpr double kEp2 = kE2 / (1 - kE2);                 // the same, second

// Metres along the meridian from the equator. SOURCE: [Snyder1987] eq. 3-21.
double Meridian_m(double latitude) {
  constexpr double e2 = kE2, e4 = e2 * e2, e6 = e4 * e2;
  return kSemiMajor_m * ((1 - e2 / 4 - 3 * e4 / 64 - 5 * e6 / 256) * latitude -
                         (3 * e2 / 8 + 3 * e4 / 32 + 45 * e6 / 1024) * std::sin(2 * latitude) +
                         (15 * e4 / 256 + 45 * e6 / 1024) * std::sin(4 * latitude) -
                         35 * e6 / 3072 * std::sin(6 * latitude));
}

}  // namespace

Plane::Plane(Position middle)
    : middle_(middle), meridian_m_(Meridian_m(middle.latitude_deg * kRadiansPerDegree)) {}

Plane Plane::Around(const std::vector<Position>& positions) {
  if (positions.empty()) return Plane({});
  Position least = positions.front();
  Position most = positions.front();
  for (const Position& p : positions) {
    least.longitude_deg = std::min(least.longitude_deg, p.longitude_deg);
    least.latitude_deg = std::min(least.latitude_deg, p.latitude_deg);
    most.longitude_deg = std::max(most.longitude_deg, p.longitude_deg);
    most.latitude_deg = std::max(most.latitude_deg, p.latitude_deg);
  }
  return Plane(
      {(least.longitude_deg + most.longitude_deg) / 2, (least.latitude_deg + most.latitude_deg) / 2});
}

// SOURCE: [Snyder1987] eq. 8-9, 8-10 with k0 = 1.
PlanePoint Plane::To(Position position) const {
  const double latitude = position.latitude_deg * kRadiansPerDegree;
  const double s = std::sin(latitude);
  const double c = std::cos(latitude);
  const double n = kSemiMajor_m / std::sqrt(1 - kE2 * s * s);
  const double t = s * s / (c * c);
  const double cc = kEp2 * c * c;
  const double a = (position.longitude_deg - middle_.longitude_deg) * kRadiansPerDegree * c;
  const double a2 = a * a;
  const double x =
      n * a * (1 + a2 / 6 * (1 - t + cc) + a2 * a2 / 120 * (5 - 18 * t + t * t + 72 * cc - 58 * kEp2));
  const double y = Meridian_m(latitude) - meridian_m_ +
                   n * s / c *
                       (a2 / 2 + a2 * a2 / 24 * (5 - t + 9 * cc + 4 * cc * cc) +
                        a2 * a2 * a2 / 720 * (61 - 58 * t + t * t + 600 * cc - 330 * kEp2));
  return {x, y};
}

// SOURCE: [Snyder1987] eq. 3-24, 3-26, 8-17, 8-18.
Position Plane::From(PlanePoint point) const {
  constexpr double e2 = kE2, e4 = e2 * e2, e6 = e4 * e2;
  const double mu = (meridian_m_ + point.y_m) / (kSemiMajor_m * (1 - e2 / 4 - 3 * e4 / 64 - 5 * e6 / 256));
  const double root = std::sqrt(1 - kE2);
  const double e1 = (1 - root) / (1 + root);
  const double foot = mu + (3 * e1 / 2 - 27 * std::pow(e1, 3) / 32) * std::sin(2 * mu) +
                      (21 * e1 * e1 / 16 - 55 * std::pow(e1, 4) / 32) * std::sin(4 * mu) +
                      151 * std::pow(e1, 3) / 96 * std::sin(6 * mu) +
                      1097 * std::pow(e1, 4) / 512 * std::sin(8 * mu);
  const double s = std::sin(foot);
  const double c = std::cos(foot);
  const double cc = kEp2 * c * c;
  const double t = s * s / (c * c);
  const double n = kSemiMajor_m / std::sqrt(1 - kE2 * s * s);
  const double r = kSemiMajor_m * (1 - kE2) / std::pow(1 - kE2 * s * s, 1.5);
  const double d = point.x_m / n;
  const double d2 = d * d;
  const double latitude =
      foot - n * s / c / r *
                 (d2 / 2 - d2 * d2 / 24 * (5 + 3 * t + 10 * cc - 4 * cc * cc - 9 * kEp2) +
                  d2 * d2 * d2 / 720 * (61 + 90 * t + 298 * cc + 45 * t * t - 252 * kEp2 - 3 * cc * cc));
  const double longitude = d *
                           (1 - d2 / 6 * (1 + 2 * t + cc) +
                            d2 * d2 / 120 * (5 - 2 * cc + 28 * t - 3 * cc * cc + 8 * kEp2 + 24 * t * t)) /
                           c;
  return {middle_.longitude_deg + longitude / kRadiansPerDegree, latitude / kRadiansPerDegree};
}

double Distance_m(PlanePoint a, PlanePoint b) { return std::hypot(a.x_m - b.x_m, a.y_m - b.y_m); }

}  // namespace lastreach
