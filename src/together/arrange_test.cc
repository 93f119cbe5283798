#include "together/arrange.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "together/network_judge.h"
#include "together/network_plan.h"
#include "together/open_times.h"
#include "together/test_street.h"

namespace lastreach {
namespace {

DateWindow July() { return {Date{std::chrono::year{2026} / 7 / 1}, Date{std::chrono::year{2026} / 7 / 29}}; }

TimerSettings AtHour(int hour) {
  TimerSettings settings;
  settings.programmes.push_back({{60 * hour}, 30, kEveryWeekday, {}});
  return settings;
}

DevicePlan Planned(const DeviceFacts& facts, const TimerSettings& settings) {
  DevicePlan plan;
  plan.point = facts.point;
  plan.form = facts.form;
  plan.verdict = Verdict::kChange;
  plan.settings = settings;
  plan.planned_outcome = Outcome{};
  plan.planned_outcome->water_m3_per_day = 5.4;
  return plan;
}

// Every full hour of the day; those from noon on cost a little more.
std::vector<OtherHours> EveryHour(const DeviceFacts&, const DevicePlan&) {
  std::vector<OtherHours> all;
  for (int hour = 0; hour < 23; ++hour) all.push_back({AtHour(hour), hour < 12 ? 5.5 : 5.6});
  return all;
}

class TwoDevices : public ::testing::Test {
 protected:
  TwoDevices() : street_(ForkedStreet()), facts_{MadeUpDevice(2, 400), MadeUpDevice(2, 400)} {
    facts_[0].point.code = PointCode("A");
    facts_[1].point.code = PointCode("B");
    for (const DeviceFacts& facts : facts_) plans_.push_back(Planned(facts, AtHour(2)));
  }
  Result<ArrangementSummary> Arrange(const std::vector<Limit>& limits) {
    auto arranger =
        Arranger::Make(street_, facts_, TogetherLimitsOf(limits), Zone::Utc(), July(), EveryHour, Planned);
    if (!arranger.ok()) return arranger.error();
    auto summary = arranger->Arrange(facts_, plans_);
    if (!summary.ok()) return summary;
    const auto learned = arranger->ConfirmWeek(facts_, plans_, *summary);
    if (!learned.ok()) return learned.error();
    return summary;
  }
  // Minutes from one device's start to the other's, round the day.
  int Apart() const {
    const int a = plans_[0].settings.programmes[0].starts_min[0];
    const int b = plans_[1].settings.programmes[0].starts_min[0];
    return std::min(std::abs(a - b), kMinutesADay - std::abs(a - b));
  }
  double LowestPressure_m() const {
    std::vector<DeviceDuty> duties;
    for (size_t d = 0; d < 2; ++d) duties.push_back(PlannedDuty(facts_[d], plans_[d]));
    return JudgeOnNetwork(street_, duties, Zone::Utc(), July())->lowest_pressure_m;
  }

  PlanningNetwork street_;
  std::vector<DeviceFacts> facts_;
  std::vector<DevicePlan> plans_;
};

Limit OfSystem(LimitRule rule) { return {{}, LimitScope::kSystem, "", std::move(rule), "made up"}; }

TEST_F(TwoDevices, StayWhereNothingForbidsIt) {
  const auto summary = Arrange({OfSystem(MostTogether{2})});
  ASSERT_TRUE(summary.ok());
  EXPECT_EQ(summary->moved, 0);
  EXPECT_EQ(Apart(), 0);
}

TEST_F(TwoDevices, AreKeptApartByTheirRunAndAnHourOfEachClock) {
  const auto summary = Arrange({OfSystem(MostTogether{1})});
  ASSERT_TRUE(summary.ok());
  EXPECT_EQ(summary->moved, 1);
  EXPECT_TRUE(summary->conflicts.empty());
  EXPECT_EQ(summary->care, "all clocks may be wrong");
  EXPECT_GE(Apart(), 30 + 120);
  EXPECT_NEAR(summary->water_m3_per_day, 5.4 + 5.5, 1e-9);
  ASSERT_EQ(plans_[0].reasons.size() + plans_[1].reasons.size(), 1U);
}

TEST_F(TwoDevices, AreKeptApartWhereTogetherTheyPullThePressureDown) {
  const double together_m = LowestPressure_m();
  DevicePlan off = plans_[1];
  plans_[1].settings.on = false;
  const double one_m = LowestPressure_m();
  plans_[1] = off;
  ASSERT_GT(one_m, together_m + 0.1);
  const auto summary = Arrange({OfSystem(LeastPressure{Pressure::MetresOfWater((one_m + together_m) / 2)})});
  ASSERT_TRUE(summary.ok());
  EXPECT_EQ(summary->moved, 1);
  EXPECT_GE(LowestPressure_m(), (one_m + together_m) / 2);
}

TEST_F(TwoDevices, SayWhatCannotBeKept) {
  const auto summary = Arrange({OfSystem(LeastPressure{Pressure::MetresOfWater(59.999)})});
  ASSERT_TRUE(summary.ok());
  EXPECT_FALSE(summary->conflicts.empty() && summary->cautions.empty());
}

TEST(TogetherLimitsOf, TakesWhatDevicesKeepTogether) {
  const Limit zone{{}, LimitScope::kZone, "Hill", MostTogether{2}, "made up"};
  const TogetherLimits limits = TogetherLimitsOf(
      {zone, OfSystem(LeastPressure{Pressure::MetresOfWater(14)}), OfSystem(MostVolumeADay{})});
  ASSERT_EQ(limits.at_once.size(), 1U);
  EXPECT_EQ(limits.at_once[0].zone, "Hill");
  EXPECT_EQ(limits.at_once[0].devices, 2);
  ASSERT_EQ(limits.pressure.size(), 1U);
  EXPECT_EQ(limits.pressure[0].zone, "");
  EXPECT_NEAR(limits.pressure[0].least_m, 14, 1e-9);
}

// A tank of a few cubic metres at the tee, that a run of both draws down; nothing else looks after it.
class TwoDevicesByATank : public TwoDevices {
 protected:
  TwoDevicesByATank() {
    Network& network = street_.network;
    Node tank;
    tank.id = "TANK";
    tank.kind = NodeKind::kTank;
    tank.elevation_m = {52, {}};
    tank.tank = TankShape{1, 4, 0.5, 8, TankMixing::kMixed};
    network.nodes.push_back(tank);
    Link link;
    link.id = "riser";
    link.from = NodeIndex(1);
    link.to = static_cast<NodeIndex>(network.nodes.size() - 1);
    link.length_m = {50, {}};
    link.inner_diameter_m = Sourced<double>{0.2, {}};
    link.roughness = Sourced<double>{130, {}};
    network.links.push_back(link);
  }
};

TEST_F(TwoDevicesByATank, SayHowFarItFallsAndWhetherItsReserveIsKept) {
  const auto kept = Arrange({OfSystem(LeastTankLevel{"TANK", Length::Metres(0.6)})});
  ASSERT_TRUE(kept.ok()) << kept.error().ToString();
  EXPECT_THAT(kept->conflicts, testing::IsEmpty());
  EXPECT_THAT(kept->week, testing::Contains(testing::HasSubstr("tank TANK falls to")));
  const auto broken = Arrange({OfSystem(LeastTankLevel{"TANK", Length::Metres(7.95)})});
  ASSERT_TRUE(broken.ok());
  EXPECT_THAT(broken->conflicts, testing::Contains(testing::HasSubstr("less than its reserve of 7.95 m")));
}

TEST_F(TwoDevicesByATank, SayThatAReserveOfAnotherTankIsNotJudged) {
  const auto summary = Arrange({OfSystem(LeastTankLevel{"NORTH", Length::Metres(1)})});
  ASSERT_TRUE(summary.ok());
  EXPECT_THAT(summary->week,
              testing::Contains("There is no tank 'NORTH' on the map: its reserve is not judged."));
}

}  // namespace
}  // namespace lastreach
