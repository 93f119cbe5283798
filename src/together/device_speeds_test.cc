#include "together/device_speeds.h"

#include <gtest/gtest.h>

#include <numbers>

#include "hydraulics/test_networks.h"

namespace lastreach {
namespace {

constexpr double kArea150_m2 = std::numbers::pi / 4 * 0.15 * 0.15;

// Source, a main of 150 mm to a fork, from there a branch of 100 mm to the device and a customer.
struct Fork {
  explicit Fork(double demand_m3_per_s) {
    const NodeIndex source = hand.Source(50);
    fork = hand.Junction(0, 0);
    const NodeIndex customer = hand.Junction(0, demand_m3_per_s);
    end = hand.Junction(0, 0);
    hand.Pipe(source, fork, 300, 0.15).street = "Mill Street";
    hand.Pipe(fork, customer, 300, 0.15);
    hand.Pipe(fork, end, 200, 0.1);
  }
  Result<std::vector<DeviceSpeeds>> Speeds(double flow_m3_per_s, std::optional<NodeIndex> root) {
    return SpeedsOf(*MomentsOf(hand.network), {{end, flow_m3_per_s}}, {root}, {{}});
  }
  Hand hand;
  NodeIndex fork{}, end{};
};

TEST(SpeedsOf, TellTheMainFromTheBranchAndAddTheDevicesFlowToIt) {
  for (const bool root_known : {false, true}) {
    Fork town(2e-3);
    const auto speeds = town.Speeds(4e-3, root_known ? std::optional(town.fork) : std::nullopt);
    ASSERT_TRUE(speeds.ok()) << speeds.error().ToString();
    ASSERT_EQ(speeds->front().mains.size(), 1U);
    ASSERT_EQ(speeds->front().branch.size(), 1U);
    const SpeedInMain& main = speeds->front().mains[0];
    EXPECT_NEAR(main.change_m_per_s, 4e-3 / kArea150_m2, 1e-4);
    EXPECT_NEAR(main.with_m_per_s, 6e-3 / kArea150_m2, 1e-4);
    EXPECT_NEAR(main.daily_most_m_per_s, 2e-3 / kArea150_m2, 1e-4);
    const double reynolds = 4e-3 / (std::numbers::pi / 4 * 0.1 * 0.1) * 0.1 / 1.004e-6;
    EXPECT_NEAR(speeds->front().branch_reynolds, reynolds, reynolds * 1e-3);
  }
}

TEST(VelocityCautions, NameTheMainThatIsStirredUpAndItsStreet) {
  Fork town(1e-3);
  const auto speeds = town.Speeds(4e-3, town.fork);
  ASSERT_TRUE(speeds.ok());
  const std::vector<std::string> cautions = VelocityCautions(town.hand.network, speeds->front());
  ASSERT_EQ(cautions.size(), 1U);
  EXPECT_EQ(cautions[0],
            "Main L0 in Mill Street: water moves at 0.28 m/s while it is open, at most 0.06 m/s on any day "
            "without; "
            "what lies there may be stirred up");
}

TEST(VelocityCautions, SayNothingOfMainsUsedToAsMuch) {
  Fork fast(9e-3);  // 0.51 m/s every day; 0.74 with the device, less than one and a half times that
  const auto of_fast = fast.Speeds(4e-3, fast.fork);
  Fork slow(1e-4);  // 0.18 m/s with the device, less than 0.2
  const auto of_slow = slow.Speeds(3e-3, slow.fork);
  ASSERT_TRUE(of_fast.ok() && of_slow.ok());
  EXPECT_TRUE(VelocityCautions(fast.hand.network, of_fast->front()).empty());
  EXPECT_TRUE(VelocityCautions(slow.hand.network, of_slow->front()).empty());
}

TEST(VelocityCautions, WarnOfABranchThatIsNotTurbulent) {
  Fork town(1e-3);
  const auto speeds = town.Speeds(0.3e-3, town.fork);  // Re 3,800 in 100 mm
  ASSERT_TRUE(speeds.ok());
  const std::vector<std::string> cautions = VelocityCautions(town.hand.network, speeds->front());
  ASSERT_EQ(cautions.size(), 1U);
  EXPECT_TRUE(cautions[0].starts_with("Re 38")) << cautions[0];
}

}  // namespace
}  // namespace lastreach
