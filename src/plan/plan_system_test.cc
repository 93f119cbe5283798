#include "plan/plan_system.h"

#include <gtest/gtest.h>

#include <atomic>

#include "plan/all_cores.h"

namespace lastreach {
namespace {

DevicePlan Using(std::optional<double> planned_m3_per_day, double present_m3_per_day) {
  DevicePlan device;
  if (planned_m3_per_day) {
    device.planned_outcome = Outcome{};
    device.planned_outcome->water_m3_per_day = *planned_m3_per_day;
  }
  device.present_outcome = Outcome{};
  device.present_outcome->water_m3_per_day = present_m3_per_day;
  return device;
}

TEST(PresentOfPlanned, LeavesOutWhatNoSettingsCanHold) {
  const SystemPlan plan = Assemble({Using(2, 5), Using({}, 40), Using(3, 1)}, {});
  EXPECT_DOUBLE_EQ(plan.planned_m3_per_day, 5);
  EXPECT_DOUBLE_EQ(plan.present_m3_per_day, 46);
  EXPECT_DOUBLE_EQ(PresentOfPlanned_m3_per_day(plan), 6);
}

TEST(OnAllCores, CallsEachNumberOnce) {
  std::vector<std::atomic<int>> calls(1000);
  OnAllCores(calls.size(), [&](size_t i) { ++calls[i]; });
  for (const auto& count : calls) EXPECT_EQ(count, 1);
  OnAllCores(0, [](size_t) { FAIL(); });
}

}  // namespace
}  // namespace lastreach
