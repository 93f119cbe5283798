#include "quality/mixed_tank.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>
#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace lastreach {
namespace {

struct TankCase {
  double volume_m3, in_m3_per_s, out_m3_per_s, seconds;
  double in_first_ln, in_last_ln, bulk_per_s;
};

// y = c, birth, what has left [g], what has decayed [g].
int Slope(double t, const double y[], double dydt[], void* data) {
  const auto& c = *static_cast<const TankCase*>(data);
  const double volume = c.volume_m3 + (c.in_m3_per_s - c.out_m3_per_s) * t;
  const double in = std::exp(c.in_first_ln + (c.in_last_ln - c.in_first_ln) * t / c.seconds);
  dydt[0] = c.in_m3_per_s / volume * (in - y[0]) - c.bulk_per_s * y[0];
  dydt[1] = c.in_m3_per_s / volume * (t - y[1]);  // new water comes
  dydt[2] = c.out_m3_per_s * y[0];
  dydt[3] = c.bulk_per_s * volume * y[0];
  return GSL_SUCCESS;
}

// Tanks that fill, empty, or both at once, small and large against what flows, with a loss.
TEST(PassMixedTank, SolvesItsEquation) {
  std::mt19937_64 random(3);
  const auto number = [&](double low, double high) {
    return std::uniform_real_distribution<>(low, high)(random);
  };
  for (int i = 0; i < 400; ++i) {
    SCOPED_TRACE(i);
    TankCase c{.volume_m3 = std::exp(number(0, 6)),
               .in_m3_per_s = i % 5 == 0 ? 0 : number(0, 0.02),
               .out_m3_per_s = i % 5 == 1 ? 0 : number(0, 0.02),
               .seconds = std::exp(number(4, 9)),
               .in_first_ln = number(-3, 0.5),
               .in_last_ln = number(-3, 0.5),
               .bulk_per_s = i % 3 == 0 ? 0 : number(0, 3) / 86400};
    if (c.volume_m3 + (c.in_m3_per_s - c.out_m3_per_s) * c.seconds < 0.05 * c.volume_m3) continue;
    double y[] = {number(0, 1), -number(0, 1e5), 0, 0};
    using C = Carried<1, true>;
    MixedTank<C> tank{.volume_m3 = c.volume_m3, .bulk_per_s = c.bulk_per_s};
    tank.now = {y[1], std::log(y[0])};
    const double held_g = tank.held_g();
    NodeStretch<C> in{.seconds = c.seconds};
    in.first = {0, c.in_first_ln};
    in.last = {c.seconds, c.in_last_ln};
    double left_g = 0;
    double error = 0;
    PassMixedTank<C>(tank, in, c.in_m3_per_s, c.out_m3_per_s, {1.0, 1e-5}, [&](const NodeStretch<C>& out) {
      left_g += out.seconds * c.out_m3_per_s * out.mean_mg_per_l;
      error = std::max<double>(error, out.error[1]);
    });

    gsl_odeiv2_system system{Slope, nullptr, 4, &c};
    gsl_odeiv2_driver* driver =
        gsl_odeiv2_driver_alloc_y_new(&system, gsl_odeiv2_step_rk8pd, 1e-3, 1e-10, 1e-10);
    double t = 0;
    ASSERT_EQ(gsl_odeiv2_driver_apply(driver, &t, c.seconds, y), GSL_SUCCESS);
    gsl_odeiv2_driver_free(driver);
    EXPECT_NEAR(tank.now[0], y[1], 1);
    EXPECT_NEAR(std::exp(tank.now[1]), y[0],
                2e-5 * y[0] + 2e-5 * std::exp(std::max(c.in_first_ln, c.in_last_ln)));
    EXPECT_NEAR(left_g, y[2], 1e-4 * (y[2] + 1e-3));
    EXPECT_NEAR(tank.decayed_g, y[3], 1e-4 * (y[3] + y[2] + held_g));
    EXPECT_LT(error, 1e-3);
  }
}

}  // namespace
}  // namespace lastreach
