#include "year/drought.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck.h>

#include "plan/test_devices.h"

namespace lastreach {
namespace {

using testing::HasSubstr;

DroughtDevice Device(const std::string& code, double water, int services, double low) {
  return {PointCode(code), water, services, 0.4, low, "", {}};
}

double Total(const std::vector<double>& values, const std::vector<bool>& taken) {
  double sum = 0;
  for (size_t i = 0; i < values.size(); ++i) sum += taken[i] ? values[i] : 0;
  return sum;
}

TEST(MostWorth, IsThatOfEverySetTried) {
  EXPECT_TRUE(rc::check([] {
    const auto count = static_cast<size_t>(*rc::gen::inRange(0, 11));
    std::vector<double> weights, worths;
    for (size_t i = 0; i < count; ++i) {
      weights.push_back(*rc::gen::inRange(0, 20));
      worths.push_back(*rc::gen::inRange(0, 15));
    }
    const double capacity = *rc::gen::inRange(-1, 80);
    double most = 0, least_weight = 0;
    for (unsigned set = 0; set < 1U << count; ++set) {
      std::vector<bool> taken;
      for (size_t i = 0; i < count; ++i) taken.push_back((set >> i & 1U) != 0);
      const double weight = Total(weights, taken), worth = Total(worths, taken);
      if (weight > capacity || worth < most || (worth == most && weight >= least_weight)) continue;
      most = worth;
      least_weight = weight;
    }
    const std::vector<bool> taken = MostWorth(weights, worths, capacity);
    RC_ASSERT(Total(worths, taken) == most);
    RC_ASSERT(Total(weights, taken) == least_weight);
  }));
}

TEST(MostWorth, IsThatOfATableOverWholeWeights) {
  EXPECT_TRUE(rc::check([] {
    constexpr size_t kItems = 80;
    std::vector<double> weights, worths;
    for (size_t i = 0; i < kItems; ++i) {
      weights.push_back(*rc::gen::inRange(1, 60));
      // Worth much as weight is, which is what makes such choices hard.
      worths.push_back(weights.back() * 10 + *rc::gen::inRange(0, 12));
    }
    const auto capacity = static_cast<size_t>(*rc::gen::inRange(0, 2000));
    std::vector<double> most(capacity + 1, 0);
    for (size_t i = 0; i < kItems; ++i) {
      const auto weight = static_cast<size_t>(weights[i]);
      for (size_t room = capacity; room + 1 > weight; --room)
        most[room] = std::max(most[room], most[room - weight] + worths[i]);
    }
    const std::vector<bool> taken = MostWorth(weights, worths, static_cast<double>(capacity));
    RC_ASSERT(Total(worths, taken) == most.back());
    RC_ASSERT(Total(weights, taken) <= static_cast<double>(capacity));
  }));
}

TEST(PlanDrought, KeepsTheMostNeedWithinTheCap) {
  EXPECT_TRUE(rc::check([] {
    std::vector<DroughtDevice> devices;
    const int count = *rc::gen::inRange(1, 9);
    for (int i = 0; i < count; ++i) {
      devices.push_back(Device("T" + std::to_string(i), *rc::gen::inRange(1, 10), *rc::gen::inRange(0, 20),
                               0.1 * *rc::gen::inRange(0, 6)));
    }
    const DroughtCap cap{"stage 2", static_cast<double>(*rc::gen::inRange(0, 40)), "made up"};
    const DroughtPlan plan = PlanDrought(devices, cap);
    RC_ASSERT(plan.fits);
    double most = 0;
    for (unsigned set = 0; set < 1U << devices.size(); ++set) {
      double water = 0, need = 0;
      for (size_t d = 0; d < devices.size(); ++d) {
        if ((set >> d & 1U) == 0) continue;
        water += devices[d].water_m3_per_day;
        need += devices[d].need();
      }
      if (water <= cap.most_m3_per_day) most = std::max(most, need);
    }
    RC_ASSERT(std::abs(plan.need_kept - most) < 1e-9);
    RC_ASSERT(plan.water_m3_per_day <= cap.most_m3_per_day);
  }));
}

TEST(PlanDrought, LeavesAllOnWhereTheyFit) {
  const DroughtPlan plan =
      PlanDrought({Device("A", 3, 0, 0.5), Device("B", 4, 5, 0)}, {"stage 1", 7, "rule"});
  EXPECT_TRUE(plan.choices[0].on && plan.choices[1].on);
  EXPECT_EQ(plan.services_below_target, 0);
}

TEST(PlanDrought, ShutsInTheUsersOrderFirst) {
  std::vector<DroughtDevice> devices = {Device("A", 3, 50, 0), Device("B", 4, 1, 0.1), Device("C", 2, 9, 0)};
  devices[0].shut_rank = 2;
  devices[2].shut_rank = 1;
  const DroughtPlan one = PlanDrought(devices, {"stage 1", 7, "rule"});
  EXPECT_FALSE(one.choices[2].on);
  EXPECT_TRUE(one.choices[0].on && one.choices[1].on);
  EXPECT_THAT(one.choices[2].reason, HasSubstr("by the order given (1)"));
  const DroughtPlan both = PlanDrought(devices, {"stage 2", 4, "rule"});
  EXPECT_FALSE(both.choices[0].on);
  EXPECT_TRUE(both.choices[1].on);
  EXPECT_EQ(both.services_below_target, 59);
}

TEST(PlanDrought, NeverShutsWhatMustStayOn) {
  std::vector<DroughtDevice> devices = {Device("A", 5, 2, 0.3), Device("B", 4, 30, 0)};
  devices[0].stays_on_because = "dialysis centre";
  const DroughtPlan plan = PlanDrought(devices, {"stage 3", 4.5, "council"});
  EXPECT_TRUE(plan.choices[0].on);
  EXPECT_FALSE(plan.choices[1].on);
  EXPECT_FALSE(plan.fits);
  EXPECT_THAT(plan.choices[0].reason, HasSubstr("dialysis"));
  EXPECT_THAT(plan.notes[0], HasSubstr("council"));
}

TEST(DroughtDevicesOf, PredictWhatEndsHoldWithout) {
  std::vector<DeviceFacts> facts = {MadeUpDevice(3, 300), MadeUpDevice(12, 60)};
  facts[1].supply.demand_per_service = Measured(Flow::LitresPerSecond(0.02));
  SystemPlan plan;
  for (const DeviceFacts& device : facts) {
    DevicePlan& planned = plan.devices.emplace_back();
    planned.point = device.point;
    planned.target_mg_per_l = 0.4;
    planned.reach.services = device.reach.pipes[0].services.value;
    planned.planned_outcome.emplace().water_m3_per_day = 2;
  }
  plan.devices.emplace_back();
  const auto devices = DroughtDevicesOf(facts, plan, FourWeeks());
  ASSERT_EQ(devices.size(), 2u);
  EXPECT_LT(devices[0].low_without_mg_per_l, 0.1);
  EXPECT_GT(devices[0].need(), 2);
  EXPECT_GT(devices[1].low_without_mg_per_l, 0.4);
  EXPECT_EQ(devices[1].need(), 0);
}

}  // namespace
}  // namespace lastreach
