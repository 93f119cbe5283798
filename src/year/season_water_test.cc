#include "year/season_water.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "plan/numbers.h"
#include "plan/test_devices.h"

namespace lastreach {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;

const YearPart& Summer() {
  static const YearPart summer = PartsOfYear(*ParseDate("2026-06-01"), YearDivision::kSeasons, false).front();
  return summer;
}

std::vector<MonthWater> EverySummerMonth() {
  std::vector<MonthWater> water;
  for (int month = 6; month <= 9; ++month) {
    water.push_back({"Invented", month, Measured(Temperature::Celsius(16.0 + month)), Typed(0.1 * month),
                     Measured(Concentration::MilligramsPerLitre(0.1 * month))});
  }
  return water;
}

PlanningNumbers Numbers(const FactsOfPart& part) {
  const auto numbers = GatherNumbers(part.facts, part.options);
  EXPECT_TRUE(numbers.ok());
  return *numbers;
}

TEST(FactsIn, ArePartByPartThoseOfTheHardestMonth) {
  const DeviceFacts facts = MadeUpDevice(10, 300);
  const FactsOfPart part = FactsIn(Summer(), facts, FourWeeks(), EverySummerMonth());
  EXPECT_EQ(part.options.from, Summer().days.from);
  EXPECT_EQ(part.options.to, Summer().days.to);
  EXPECT_THAT(part.as_worst_week, IsEmpty());
  const PlanningNumbers numbers = Numbers(part);
  EXPECT_NEAR(numbers.temperature_c, 25, 1e-9);
  EXPECT_NEAR(numbers.upstream_mg_per_l, 0.6, 1e-9);
  EXPECT_NEAR(numbers.demand_m3_per_s(), 0.6 * 10 * 4e-6, 1e-12);
}

TEST(FactsIn, SayWhatIsTakenAsInTheWorstWeek) {
  DeviceFacts facts = MadeUpDevice(10, 300);
  const FactsOfPart none = FactsIn(Summer(), facts, FourWeeks(), {});
  EXPECT_THAT(none.as_worst_week, SizeIs(3));
  EXPECT_NEAR(Numbers(none).temperature_c, 25, 1e-9);
  std::vector<MonthWater> water = EverySummerMonth();
  water[0] = {"Invented", 6, {}, {}, {}};
  const FactsOfPart part = FactsIn(Summer(), facts, FourWeeks(), water);
  EXPECT_THAT(part.as_worst_week, Contains(HasSubstr("temperature")));
  // June is the coolest month: unknown, it counts as the worst week. A known month may be harder still.
  EXPECT_NEAR(Numbers(part).temperature_c, 25, 1e-9);
  water[2].temperature = Measured(Temperature::Celsius(28));
  EXPECT_NEAR(Numbers(FactsIn(Summer(), facts, FourWeeks(), water)).temperature_c, 28, 1e-9);
  facts.supply.worst_week = Measured(Temperature::Celsius(30));
  EXPECT_NEAR(Numbers(FactsIn(Summer(), facts, FourWeeks(), water)).temperature_c, 30, 1e-9);
}

TEST(FactsIn, ScaleUseWhereverItCameFrom) {
  std::vector<MonthWater> water = EverySummerMonth();
  for (MonthWater& month : water) month.use_factor = Typed(1.5);
  DeviceFacts facts = MadeUpDevice(10, 300);
  for (const bool of_zone : {true, false}) {
    if (!of_zone) facts.supply.demand_per_service.reset();
    const double base = GatherNumbers(facts, FourWeeks())->demand_m3_per_s();
    const FactsOfPart part = FactsIn(Summer(), facts, FourWeeks(), water);
    EXPECT_NEAR(Numbers(part).demand_m3_per_s(), 1.5 * base, 1e-12) << of_zone;
    EXPECT_DOUBLE_EQ(Numbers(part).log_sd[kDemand], GatherNumbers(facts, FourWeeks())->log_sd[kDemand]);
  }
  facts.reach.pipes[0].demand = Measured(Flow::LitresPerSecond(0.1));
  EXPECT_NEAR(Numbers(FactsIn(Summer(), facts, FourWeeks(), water)).demand_m3_per_s(), 1.5e-4, 1e-12);
}

TEST(FactsIn, AResidualOfTheReachItselfMovesAsTheZones) {
  DeviceFacts facts = MadeUpDevice(10, 300);
  facts.reach.upstream_residual = Measured(Concentration::MilligramsPerLitre(0.8));
  // Zone 1.0 in the worst week, 0.6 in June: the reach's 0.8 becomes 0.48.
  EXPECT_NEAR(Numbers(FactsIn(Summer(), facts, FourWeeks(), EverySummerMonth())).upstream_mg_per_l, 0.48,
              1e-9);
  facts.supply.upstream_residual.reset();
  EXPECT_NEAR(Numbers(FactsIn(Summer(), facts, FourWeeks(), EverySummerMonth())).upstream_mg_per_l, 0.6,
              1e-9);
}

TEST(FactsIn, ATemperatureAskedForStandsWhereTheMonthsAreNotKnown) {
  PlanOptions options = FourWeeks();
  options.temperature_c = 12;
  const DeviceFacts facts = MadeUpDevice(10, 300);
  EXPECT_NEAR(Numbers(FactsIn(Summer(), facts, options, {})).temperature_c, 12, 1e-9);
  EXPECT_NEAR(Numbers(FactsIn(Summer(), facts, options, EverySummerMonth())).temperature_c, 25, 1e-9);
}

TEST(ZonesIn, AreThoseOfFactsInAndUseIsTheLeastOfTheZones) {
  const YearPart& summer = Summer();
  std::vector<MonthWater> water = EverySummerMonth();
  const DeviceFacts device = MadeUpDevice(3, 300);
  SupplyZone other = device.supply;
  other.name = "Other";
  for (MonthWater month : EverySummerMonth()) {
    month.zone = other.name;
    month.use_factor = Typed(0.5);
    water.push_back(month);
  }
  const PlanOptions options{};
  const ZonesOfPart zones = ZonesIn(summer, {device.supply, other}, options, water);
  const SupplyZone of_facts = FactsIn(summer, device, options, water).facts.supply;
  ASSERT_EQ(zones.zones.size(), 2U);
  EXPECT_EQ(zones.zones[0].worst_week, of_facts.worst_week);
  EXPECT_EQ(zones.zones[0].upstream_residual, of_facts.upstream_residual);
  // The network has the customers' use as its own: it is multiplied once, by the factor.
  EXPECT_EQ(zones.zones[0].demand_per_service, device.supply.demand_per_service);
  EXPECT_DOUBLE_EQ(zones.use_factor, 0.5);
  EXPECT_DOUBLE_EQ(ZonesIn(summer, {}, options, water).use_factor, 1);
}

}  // namespace
}  // namespace lastreach
