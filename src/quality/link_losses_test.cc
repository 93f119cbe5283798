#include "quality/link_losses.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <random>

#include "quality/flow_script.h"

namespace lastreach {
namespace {

constexpr double kDay_s = 86400;

// Flows that creep, jump, turn and change between laminar and turbulent.
TEST(LinkLosses, AreThoseOfTheWallFormulas) {
  std::mt19937_64 random(5);
  const auto number = [&](double low, double high) {
    return std::uniform_real_distribution<>(low, high)(random);
  };
  for (int i = 0; i < 200; ++i) {
    ScriptedNetwork town;
    const LinkIndex pipe = town.AddPipe(town.AddSource(1), town.AddNode(), number(0.1, 5),
                                        std::array{0.05, 0.1, 0.2}[static_cast<std::size_t>(i % 3)]);
    Network& network = town.network;
    network[pipe].wall_m_per_day = std::exp(number(-4, 1));
    network[pipe].bulk_per_day = number(0, 2);
    const std::array<uint32_t, 1> links{0};
    LinkLosses losses(network, links);
    const Kinetics kinetics{.viscosity_m2_per_s = network.options.viscosity_m2_per_s,
                            .diffusivity_m2_per_s = network.options.diffusivity_m2_per_s};
    double flow = 1e-4;
    for (int step = 0; step < 200; ++step) {
      flow *= step % 10 == 0 ? -std::exp(number(-2, 2)) : 1 + number(-0.03, 0.03);
      const double expected =
          *network[pipe].bulk_per_day / kDay_s +
          FlowingWallRate_per_s(network[pipe].length_m.value, network[pipe].inner_diameter_m->value,
                                std::abs(flow), *network[pipe].wall_m_per_day / kDay_s, kinetics);
      EXPECT_NEAR(losses.Next_per_s(0, flow, 60), expected, 1e-12 * expected);
    }
  }
}

// However a time of rest is cut into periods, and asked within one.
TEST(LinkLosses, OfStillWaterFollowTheTimeItHasStood) {
  ScriptedNetwork town;
  const LinkIndex pipe = town.AddPipe(town.AddSource(1), town.AddNode(), 1, 0.1);
  town.network[pipe].wall_m_per_day = 0.5;
  const std::array<uint32_t, 1> links{0};
  LinkLosses whole(town.network, links);
  const double lost = whole.Next_per_s(0, 0, 7200) * 7200;
  EXPECT_NEAR(whole.StillLossAt(0, 7200), lost, 1e-12);
  LinkLosses cut(town.network, links);
  double sum = cut.Next_per_s(0, 0, 1800) * 1800;
  EXPECT_NEAR(whole.StillLossAt(0, 1800), sum, 1e-12);
  sum += cut.Next_per_s(0, 0, 5400) * 5400;
  EXPECT_NEAR(sum, lost, 1e-12);
  // Once it has moved the count starts anew, and the wall takes more again.
  EXPECT_GT(cut.Next_per_s(0, 1e-5, 60), 0);
  EXPECT_NEAR(cut.Next_per_s(0, 0, 7200) * 7200, lost, 1e-12);
}

}  // namespace
}  // namespace lastreach
