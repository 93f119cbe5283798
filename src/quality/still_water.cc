#include "quality/still_water.h"

#include <array>
#include <cmath>
#include <complex>
#include <cstddef>
#include <numbers>

namespace lastreach {
namespace {

using Complex = std::complex<double>;

constexpr std::size_t kKnots = 257;
constexpr double kTableEnd = 1;  // Fourier number; the second mode is then below 1e-10 of the first

// Points and weights for turning a Laplace transform back: f(t) = Im SUM weight F(point / t) / t.
// SOURCE: Weideman & Trefethen, Math. Comp. 76, 1341-1356, 2007 (the improved cotangent contour; error about
// exp(-1.36 n), here 2e-12; from memory, held against the series in the test).
struct Contour {
  static constexpr std::size_t kPairs = 10;
  std::array<Complex, kPairs> root_of_point;
  std::array<Complex, kPairs> weight;
  std::array<Complex, kPairs> weight_per_point;

  Contour() {
    constexpr double kPoints = 2.0 * kPairs;
    for (std::size_t k = 0; k < kPairs; ++k) {
      const double angle = (2 * static_cast<double>(k) + 1) * std::numbers::pi / kPoints;
      const double inner = 0.6407 * angle;
      const double cotangent = std::cos(inner) / std::sin(inner);
      const double sine = std::sin(inner);
      const Complex point = kPoints * Complex(-0.6122 + 0.5017 * angle * cotangent, 0.2645 * angle);
      const Complex step(0.5017 * (cotangent - inner / (sine * sine)), 0.2645);
      root_of_point[k] = std::sqrt(point);
      weight[k] = 2.0 * std::exp(point) * step;  // the factor kPoints of the step and 1 / kPoints cancel
      weight_per_point[k] = weight[k] / point;
    }
  }
};

Complex Inverse(Complex z) {  // without the care for overflow that makes the library's division slow
  const double norm = z.real() * z.real() + z.imag() * z.imag();
  return {z.real() / norm, -z.imag() / norm};
}

// Coefficients of I1(q) / I0(q) in powers of 1/q, from its equation r' = 1 - r/q - r^2.
constexpr std::size_t kFarTerms = 16;
constexpr std::array<double, kFarTerms> FarCoefficients() {
  std::array<double, kFarTerms> a{1};
  for (std::size_t k = 1; k < kFarTerms; ++k) {
    double twice = (static_cast<double>(k) - 2) * a[k - 1];
    for (std::size_t i = 1; i < k; ++i) twice -= a[i] * a[k - i];
    a[k] = twice / 2;
  }
  return a;
}

// I1(q) / I0(q) for Re q > 0, given r = 1 / q: far out by the expansion, else by the continued fraction.
Complex BesselRatio(Complex r) {
  constexpr double kFar = 20;
  const double size = 1 / std::abs(r);
  if (size > kFar) {
    static constexpr std::array<double, kFarTerms> kFarSeries = FarCoefficients();
    Complex sum = 0;
    for (std::size_t k = kFarTerms; k-- > 0;) sum = sum * r + kFarSeries[k];
    return sum;
  }
  const int terms = 14 + static_cast<int>(size);
  Complex tail = 0;
  for (int m = terms; m >= 1; --m) tail = Inverse(2.0 * m * r + tail);
  return tail;
}

struct ShareLost {
  double share;  // 1 - phi
  double rate;   // d share / d fourier
};

// From the transform of the mean over the width, 1 - phi -> 2 Bi r / (p q (q r + Bi)), q = sqrt(p), r = I1 /
// I0.
ShareLost LostAt(double biot, double root_fourier) {
  static const Contour kContour;
  double share = 0;
  double rate = 0;
  for (std::size_t k = 0; k < Contour::kPairs; ++k) {
    const Complex q = kContour.root_of_point[k] / root_fourier;
    const Complex ratio = BesselRatio(Inverse(q));
    const Complex transform = 2 * biot * ratio * Inverse(q * (q * ratio + biot));
    rate += (kContour.weight[k] * transform).imag();
    share += (kContour.weight_per_point[k] * transform).imag();
  }
  return {share, rate / (root_fourier * root_fourier)};
}

}  // namespace

StillWater::StillWater(double biot) : biot_(biot), stretch_(std::max(biot, 1.0)) {
  if (biot == 0) return;
  const double end = std::log1p(stretch_ * std::sqrt(kTableEnd));
  const double spacing = end / (kKnots - 1);
  knots_per_unit_ = 1 / spacing;
  value_.assign(kKnots, 0);
  slope_.assign(kKnots, 0);  // at rest the first knot is 0 with slope 0: dT/du = 0 there
  for (std::size_t k = 1; k < kKnots; ++k) {
    const double grown = std::expm1(static_cast<double>(k) * spacing);
    const double root = grown / stretch_;
    const ShareLost lost = LostAt(biot, root);
    value_[k] = -std::log1p(-lost.share);
    late_slope_ = lost.rate / (1 - lost.share);
    slope_[k] = late_slope_ * 2 * root * (grown + 1) / stretch_ * spacing;
  }
}

double StillWater::LogLoss(double fourier) const {
  if (biot_ == 0) return 0;
  if (fourier >= kTableEnd) return value_.back() + late_slope_ * (fourier - kTableEnd);
  const double place = std::log1p(stretch_ * std::sqrt(fourier)) * knots_per_unit_;
  const std::size_t k = std::min(static_cast<std::size_t>(place), kKnots - 2);
  const double x = place - static_cast<double>(k);
  const double y = 1 - x;
  return y * y * ((1 + 2 * x) * value_[k] + x * slope_[k]) +
         x * x * ((1 + 2 * y) * value_[k + 1] - y * slope_[k + 1]);
}

double EarlyAbsorbedShare(double fourier) { return 4 * std::sqrt(fourier / std::numbers::pi); }

}  // namespace lastreach
