#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <numeric>

#include "quality/kinetics.h"
#include "quality/still_water.h"
#include "quality/transport.h"

// The wall, against the equations themselves in the hands of an ODE solver.
namespace lastreach {
namespace {

constexpr std::size_t kRings = 120;

// Diffusion over the width of a pipe in rings of equal thickness, wall taking Bi C; lengths in radii, time in
// a^2 / D.
int RadialDiffusion(double /*time*/, const double* c, double* rate, void* biot) {
  constexpr double h = 1.0 / kRings;
  double inward = 0;  // flux times radius through the ring's inner face
  for (std::size_t r = 0; r < kRings; ++r) {
    const double face = static_cast<double>(r + 1) * h;
    // At the wall half a ring of water stands in series with it.
    const double bi = *static_cast<const double*>(biot);
    const double outward =
        r + 1 < kRings ? face * (c[r] - c[r + 1]) / h : face * c[r] * bi / (1 + bi * h / 2);
    rate[r] = (inward - outward) / (h * (face - h / 2));
    inward = outward;
  }
  return GSL_SUCCESS;
}

double ShareLeftByOde(double biot, double fourier) {
  std::vector<double> c(kRings, 1.0);
  gsl_odeiv2_system system{RadialDiffusion, nullptr, kRings, &biot};
  gsl_odeiv2_driver* driver = gsl_odeiv2_driver_alloc_y_new(&system, gsl_odeiv2_step_rkf45, 1e-6, 1e-9, 1e-9);
  double time = 0;
  EXPECT_EQ(gsl_odeiv2_driver_apply(driver, &time, fourier, c.data()), GSL_SUCCESS);
  gsl_odeiv2_driver_free(driver);
  double held = 0;
  for (std::size_t r = 0; r < kRings; ++r) held += (2 * static_cast<double>(r) + 1) * c[r];
  return held / (kRings * kRings);
}

// Second order in the thickness of a ring, h = 1/120; observed up to 0.8 h^2.
TEST(StillWater, AgreesWithDiffusionSolvedRingByRing) {
  for (const double biot : {0.5, 5.0, 50.0}) {
    const StillWater still(biot);
    for (const double fourier : {0.02, 0.1, 0.5}) {
      EXPECT_NEAR(std::exp(-still.LogLoss(fourier)), ShareLeftByOde(biot, fourier), 1e-4)
          << biot << " " << fourier;
    }
  }
}

struct Decay {
  double rate_per_s;
};

int FirstOrder(double /*time*/, const double* c, double* rate, void* decay) {
  rate[0] = -static_cast<const Decay*>(decay)->rate_per_s * c[0];
  return GSL_SUCCESS;
}

double DecayByOde(double start, double rate_per_s, double span_s) {
  Decay decay{rate_per_s};
  gsl_odeiv2_system system{FirstOrder, nullptr, 1, &decay};
  gsl_odeiv2_driver* driver = gsl_odeiv2_driver_alloc_y_new(&system, gsl_odeiv2_step_rkf45, 1, 1e-12, 1e-12);
  double time = 0;
  EXPECT_EQ(gsl_odeiv2_driver_apply(driver, &time, span_s, &start), GSL_SUCCESS);
  gsl_odeiv2_driver_free(driver);
  return start;
}

// Water enters an unlined main, is carried half way, stands eight hours, and is flushed out.
TEST(WaterAt, WithAWallAgreesWithAnOdeAlongTheWay) {
  const BranchSegment main{.length_m = 200, .diameter_m = 0.15, .bulk_per_s = 5e-6, .wall_m_per_s = 4e-6};
  const Branch branch{{main}};
  const double slow = main.volume_m3() / 20000;
  const double fast = main.volume_m3() / 1000;
  const BranchDrive drive{.time_s = {0, 10000, 38800, 40000},
                          .demand_factor = {1, 1, 1},
                          .end_flow_m3_per_s = {slow, 0, fast},
                          .root_mg_per_l = {0.8, 0.8, 0.8, 0.8}};
  // What entered at 0 is half way when the flow stops, and out 500 s after it starts again.
  const Kinetics water;
  const auto flowing = [&](double flow) {
    return main.bulk_per_s +
           FlowingWallRate_per_s(main.length_m, main.diameter_m, flow, main.wall_m_per_s, water);
  };
  const double radius_m = main.diameter_m / 2;
  const double left = ShareLeftByOde(main.wall_m_per_s * radius_m / water.diffusivity_m2_per_s,
                                     water.diffusivity_m2_per_s * 28800 / (radius_m * radius_m));
  double c = DecayByOde(0.8, flowing(slow), 10000);
  c = DecayByOde(c, main.bulk_per_s, 28800) * left;
  c = DecayByOde(c, flowing(fast), 500);
  const std::vector<TapWater> met = WaterAt(branch, drive, 0, std::vector<double>{38800 + 500.0}, water);
  EXPECT_NEAR(met[0].age_s, 39300, 1e-3);
  EXPECT_NEAR(met[0].mg_per_l, c, 1e-4);
}

}  // namespace
}  // namespace lastreach
