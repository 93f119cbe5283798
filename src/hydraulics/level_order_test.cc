// How exactly levels are carried, against closed forms and an integrator that knows nothing of networks.
#include <gmock/gmock.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "hydraulics/link_law.h"
#include "hydraulics/simulated.h"
#include "hydraulics/test_networks.h"

namespace lastreach {
namespace {

constexpr double kGravity_m_per_s2 = 9.80665;

double AreaOf(const TankShape& tank) { return std::numbers::pi / 4 * tank.diameter_m * tank.diameter_m; }

// Steps of exactly this length: nothing else may shorten them, and no level counts as still.
FlowSimulationOptions InSteps(double hours, double step_s) {
  FlowSimulationOptions options;
  options.hours = hours;
  options.longest_step_s = step_s;
  options.level_tolerance_m = 1e6;
  options.still_level_m = 0;
  return options;
}

// A tank drained through an opening right below it: sqrt(level) falls in a straight line [Torricelli].
TEST(TankLevels, DrainThroughAnOpeningAsTorricelliHasIt) {
  Hand hand;
  const TankShape shape{6, 9, 0, 10, TankMixing::kMixed};
  const NodeIndex tank = hand.Tank(20, shape);
  const NodeIndex outlet = hand.Junction(20, 0);
  Link& joint = hand.Add(LinkKind::kPipe, tank, outlet);  // short and wide: its loss is below 1e-6 m
  joint.length_m.value = 1e-3;
  joint.inner_diameter_m = Sourced<double>{2, {}};
  joint.roughness = Sourced<double>{130, {}};
  hand.network.runs = {{outlet, 0, 600, {}, 0.1, 0.6}};
  const double conductance = OpeningConductance(0.1, 0.6);
  const auto exact_m = [&](double second) {
    const double root = 3 - conductance * second / (2 * AreaOf(shape));
    return root * root;
  };
  for (const double tolerance_m : {0.01, 0.001, 0.0001}) {
    FlowSimulationOptions options{.hours = 3};
    options.level_tolerance_m = tolerance_m;
    const Simulated run = Simulate(hand.network, options);
    for (const double second : {600.0, 1800.0, 3600.0, 7200.0}) {
      EXPECT_NEAR(run.LevelAt_m(hand.network, tank, second), exact_m(second), 2 * tolerance_m) << second;
    }
    // Empty when the root is 0.
    const double empty_s = 3 * 2 * AreaOf(shape) / conductance;
    EXPECT_NEAR(run.LevelAt_m(hand.network, tank, empty_s), 0, 2 * tolerance_m);
  }
}

// dL/dt = Q(L)/A of a source that fills a tank along one pipe, as GSL sees it.
struct OnePipe {
  double drive_head_m, elevation_m, area_m2, resistance;
  double drawn_m3_per_s;
};
int Slope(double /*second*/, const double level[], double slope[], void* given) {
  const auto& pipe = *static_cast<const OnePipe*>(given);
  const double drive_m = pipe.drive_head_m - pipe.elevation_m - level[0];
  const double flow = std::copysign(std::pow(std::abs(drive_m) / pipe.resistance, 1 / 1.852), drive_m);
  slope[0] = (flow - pipe.drawn_m3_per_s) / pipe.area_m2;
  return GSL_SUCCESS;
}

double LevelByGsl_m(OnePipe pipe, double level_m, double second) {
  gsl_odeiv2_system system{Slope, nullptr, 1, &pipe};
  gsl_odeiv2_driver* driver = gsl_odeiv2_driver_alloc_y_new(&system, gsl_odeiv2_step_rk8pd, 1, 1e-12, 1e-12);
  double at_s = 0;
  EXPECT_EQ(gsl_odeiv2_driver_apply(driver, &at_s, second, &level_m), GSL_SUCCESS);
  gsl_odeiv2_driver_free(driver);
  return level_m;
}

struct SourceAndTank {
  Hand hand;
  NodeIndex tank{};
  TankShape shape{8, 1, 0, 12, TankMixing::kMixed};
  OnePipe pipe{};
  SourceAndTank() {
    const NodeIndex source = hand.Source(60);
    tank = hand.Tank(50, shape);
    hand.Pipe(source, tank, 1500, 0.2, 110);
    pipe = {60, 50, AreaOf(shape), 10.667 * 1500 / (std::pow(110, 1.852) * std::pow(0.2, 4.871)), 0};
  }
};

TEST(TankLevels, ConvergeAtOrderTwoToAnIntegratorOfTheSameEquation) {
  const SourceAndTank filled;
  constexpr double kHours = 4;
  const double exact_m = LevelByGsl_m(filled.pipe, 1, kHours * 3600);
  std::vector<double> errors_m;
  for (const double step_s : {900.0, 450.0, 225.0, 112.5}) {
    const Simulated run = Simulate(filled.hand.network, InSteps(kHours, step_s));
    errors_m.push_back(std::abs(run.LevelAtEnd_m(filled.hand.network, filled.tank) - exact_m));
    RecordProperty("error_m_at_" + std::to_string(static_cast<int>(step_s)), std::to_string(errors_m.back()));
  }
  for (size_t i = 1; i < errors_m.size(); ++i) {
    EXPECT_NEAR(std::log2(errors_m[i - 1] / errors_m[i]), 2, 0.25) << errors_m[i - 1] << " " << errors_m[i];
  }
}

// What single steps add up to, where levels go to rest, stays near what one may add: observed 1.2 times.
// Laminar flow loses head in proportion: dL/dt = -k (L - rest). One step must be exact, however long.
TEST(TankLevels, ThatGoToRestAsAnExponentialAreExactInOneStep) {
  Hand hand;
  hand.network.options.head_loss = HeadLoss::kDarcyWeisbach;
  hand.network.options.viscosity_m2_per_s = 1e-3;
  const TankShape shape{2, 1, 0, 12, TankMixing::kMixed};
  const NodeIndex source = hand.Source(56);
  const NodeIndex tank = hand.Tank(50, shape);
  hand.Pipe(source, tank, 1000, 0.2, 1e-4);
  const double per_s =
      std::numbers::pi * kGravity_m_per_s2 * std::pow(0.2, 4) / (128 * 1e-3 * 1000) / AreaOf(shape);
  for (const double hours : {1.0, 10.0, 100.0}) {
    const Simulated run = Simulate(hand.network, InSteps(hours, hours * 3600));
    ASSERT_EQ(run.periods.size(), 1U);
    EXPECT_NEAR(run.LevelAtEnd_m(hand.network, tank), 6 - 5 * std::exp(-per_s * hours * 3600), 1e-5) << hours;
  }
}

TEST(TankLevels, AreWithinTwiceTheirToleranceWhateverTheLongestStep) {
  const SourceAndTank filled;
  for (const double tolerance_m : {0.02, 0.005, 0.001}) {
    FlowSimulationOptions options{.hours = 12};
    options.longest_step_s = 12 * 3600;
    options.level_tolerance_m = tolerance_m;
    const Simulated run = Simulate(filled.hand.network, options);
    for (const double hour : {1.0, 3.0, 6.0, 12.0}) {
      EXPECT_NEAR(run.LevelAt_m(filled.hand.network, filled.tank, hour * 3600),
                  LevelByGsl_m(filled.pipe, 1, hour * 3600), 2 * tolerance_m)
          << tolerance_m << " at hour " << hour;
    }
  }
}

}  // namespace
}  // namespace lastreach
