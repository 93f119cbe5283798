#include "together/speed_cautions.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "together/test_street.h"

namespace lastreach {
namespace {

DevicePlan RunningAt(const DeviceFacts& facts, int start_min) {
  DevicePlan plan;
  plan.point = facts.point;
  plan.form = facts.form;
  plan.verdict = Verdict::kChange;
  plan.settings.programmes.push_back({{start_min}, 30, kEveryWeekday, {}});
  return plan;
}

// Two devices of 40 L/s behind 2 km of one 200 mm main: 1.3 m/s of it each, where customers draw 0.01 m/s.
class TwoStrongDevices : public ::testing::Test {
 protected:
  TwoStrongDevices() : street_(ForkedStreet()), facts_{MadeUpDevice(2, 400), MadeUpDevice(2, 400)} {
    facts_[0].point.code = PointCode("A");
    facts_[1].point.code = PointCode("B");
    for (DeviceFacts& facts : facts_) facts.point.flow->value = Flow::LitresPerSecond(40);
  }
  std::vector<std::string> Closings(int start_a_min, int start_b_min) {
    plans_ = {RunningAt(facts_[0], start_a_min), RunningAt(facts_[1], start_b_min)};
    const auto closings = AddSpeedCautions(street_, facts_, plans_);
    EXPECT_TRUE(closings.ok());
    return closings.ok() ? *closings : std::vector<std::string>{};
  }

  PlanningNetwork street_;
  std::vector<DeviceFacts> facts_;
  std::vector<DevicePlan> plans_;
};

TEST_F(TwoStrongDevices, AreNamedWhereTheyShutInTheSameMinute) {
  EXPECT_THAT(Closings(120, 120),
              testing::ElementsAre(testing::HasSubstr("A and B shut in the same minute, 2:30")));
  EXPECT_THAT(Closings(120, 125), testing::IsEmpty());
}

TEST_F(TwoStrongDevices, SayWhichMainTheyMayStirUp) {
  Closings(120, 240);
  for (const DevicePlan& plan : plans_) {
    EXPECT_THAT(plan.cautions, testing::Contains(testing::HasSubstr("may be stirred up.")));
  }
}

TEST_F(TwoStrongDevices, SayNothingOfOneThatIsOff) {
  facts_[1].present = TimerSettings{};
  facts_[1].present->on = false;
  plans_ = {RunningAt(facts_[0], 120), RunningAt(facts_[1], 120)};
  plans_[1].verdict = Verdict::kNoFlushNeeded;
  plans_[1].settings.on = false;
  const auto closings = AddSpeedCautions(street_, facts_, plans_);
  ASSERT_TRUE(closings.ok());
  EXPECT_THAT(*closings, testing::IsEmpty());
  EXPECT_THAT(plans_[1].cautions, testing::IsEmpty());
}

}  // namespace
}  // namespace lastreach
