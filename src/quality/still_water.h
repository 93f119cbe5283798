#pragma once

#include <vector>

namespace lastreach {

// The loss to the wall while water stands in a round pipe: diffusion to a wall that takes k_w C.
// The share phi of the disinfectant left after a time t is
//
//   phi(T) = SUM 4 Bi^2 / [lam^2 (lam^2 + Bi^2)] exp(-lam^2 T),   lam J1(lam) = Bi J0(lam)
//
// with T = D_m t / a^2 (Fourier number), Bi = k_w a / D_m (Biot number) and a the inner radius. Water is
// taken as mixed over the width when it comes to rest; each time it moves it is mixed again and the count
// starts anew. SOURCE: Crank, The Mathematics of Diffusion, 2nd ed. 1975, eq. 5.46 to 5.49 (from memory; held
// against the series in the test). Loss in the bulk comes on top and simply multiplies.
//
// LogLoss gives -ln phi from a table in ln(1 + max(Bi, 1) sqrt(T)), with value and slope at each knot from
// the Laplace transform, and beyond T = 1 along the slowest mode. ERROR: within 1e-7 of the value (observed
// 2e-8, Bi 1e-4 to 1e4), but never better than 1e-12. COST: a table takes about a quarter of a millisecond, a
// look-up one logarithm and a square root.
class StillWater {
 public:
  // REQUIRES: biot >= 0; 0 loses nothing.
  explicit StillWater(double biot);

  double biot() const { return biot_; }
  // -ln phi [-] at Fourier number `fourier` >= 0. Grows with it, and ever more slowly.
  double LogLoss(double fourier) const;

 private:
  double biot_;
  double stretch_;  // max(Bi, 1)
  double knots_per_unit_ = 0;
  double late_slope_ = 0;      // lam_1^2
  std::vector<double> value_;  // at each knot
  std::vector<double> slope_;  // per knot spacing
};

// Share lost early on to a wall that takes all that reaches it, (4 / a) sqrt(D_m t / pi): the first term for
// small times, which overstates the loss, by 1 % at T = 0.0005 and 9 % at T = 0.03. SOURCE: Crank 1975 (from
// memory).
double EarlyAbsorbedShare(double fourier);

}  // namespace lastreach
