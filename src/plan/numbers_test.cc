#include "plan/numbers.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "core/stated_spread.h"
#include "plan/test_devices.h"
#include "quality/kinetics.h"

namespace lastreach {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing::Not;

PlanningNumbers Gathered(const DeviceFacts& facts) { return *GatherNumbers(facts, FourWeeks()); }

TEST(GatherNumbers, NamesWhatNothingCanStandInFor) {
  struct Case {
    const char* words;
    void (*lose)(DeviceFacts&);
  };
  const Case cases[] = {
      {"no pipe", [](DeviceFacts& f) { f.reach.pipes.clear(); }},
      {"length of the reach", [](DeviceFacts& f) { f.reach.pipes[0].length.value = Length::Metres(0); }},
      {"device's flow", [](DeviceFacts& f) { f.point.flow.reset(); }},
      {"device's flow", [](DeviceFacts& f) { f.point.flow->value = Flow::LitresPerSecond(0); }},
      {"main upstream", [](DeviceFacts& f) { f.supply.upstream_residual.reset(); }},
      {"zone 'Invented'", [](DeviceFacts& f) { f.supply.target_residual.reset(); }},
  };
  for (const Case& c : cases) {
    DeviceFacts facts = MadeUpDevice(3, 300);
    c.lose(facts);
    const auto numbers = GatherNumbers(facts, FourWeeks());
    ASSERT_FALSE(numbers.ok()) << c.words;
    EXPECT_EQ(numbers.error().code, ErrorCode::kBadInput);
    EXPECT_THAT(numbers.error().message, HasSubstr(c.words));
    EXPECT_THAT(numbers.error().message, Not(HasSubstr("\n")));
  }
}

TEST(GatherNumbers, AssumesNothingWhereAllIsKnown) {
  EXPECT_THAT(Gathered(MadeUpDevice(3, 300)).assumed, testing::IsEmpty());
}

TEST(GatherNumbers, SaysEveryDefaultItTook) {
  DeviceFacts facts = MadeUpDevice(3, 300);
  ReachPipe& pipe = facts.reach.pipes[0];
  pipe.inner_diameter.value = Diameter::Millimetres(0);
  pipe.services.origin.kind = OriginKind::kAssumed;
  pipe.length.origin.kind = OriginKind::kEstimated;
  pipe.material.clear();
  SupplyZone& supply = facts.supply;
  supply.bulk_per_day_at_20c.reset();
  supply.wall_m_per_day.reset();
  supply.worst_week.reset();
  supply.demand_per_service.reset();
  const PlanningNumbers numbers = Gathered(facts);
  for (const char* words :
       {"worst week 25 C", "0.5 per day at 20 C", "diameter 6 in", "length is about right", "services: 3",
        "150 gal/d", "0.05 m/d, material not known"}) {
    EXPECT_THAT(numbers.assumed, Contains(HasSubstr(words)));
  }
  EXPECT_NEAR(numbers.pipes[0].diameter_m, 0.1524, 1e-12);  // 6 in exactly
  // 150 gal/d a service: 150 x 231 in3 = 0.567811767 m3 (NIST SP 811).
  EXPECT_NEAR(numbers.demand_m3_per_s() * 86400, 3 * 0.567811767, 1e-8);
}

TEST(GatherNumbers, SaysTheUseOfAServiceWhereOnlyAnotherPipesDrawIsKnown) {
  DeviceFacts facts = MadeUpDevice(3, 300);
  facts.supply.demand_per_service.reset();
  facts.reach.pipes.push_back(facts.reach.pipes[0]);
  facts.reach.pipes[0].demand = Measured(Flow::LitresPerSecond(0.1));
  EXPECT_THAT(Gathered(facts).assumed, Contains(HasSubstr("use of a service")));
}

TEST(GatherNumbers, APipeWithoutDrawDoesNotMakeTheDrawLessSure) {
  DeviceFacts facts = MadeUpDevice(3, 300);
  const double alone = Gathered(facts).log_sd[kDemand];
  facts.reach.pipes.push_back(facts.reach.pipes[0]);
  facts.reach.pipes[1].services.value = 0;
  EXPECT_DOUBLE_EQ(Gathered(facts).log_sd[kDemand], alone);
}

TEST(GatherNumbers, TrustsMeasuredOverTypedOverEstimatedOverAssumed) {
  constexpr OriginKind kFromBest[] = {OriginKind::kMeasured, OriginKind::kTyped, OriginKind::kEstimated,
                                      OriginKind::kAssumed};
  std::array<double, kUncertainCount> last{};
  for (const OriginKind kind : kFromBest) {
    DeviceFacts facts = MadeUpDevice(3, 300);
    facts.point.flow->origin.kind = kind;
    facts.reach.pipes[0].length.origin.kind = kind;
    facts.reach.pipes[0].inner_diameter.origin.kind = kind;
    facts.supply.demand_per_service->origin.kind = kind;
    facts.supply.bulk_per_day_at_20c->origin.kind = kind;
    facts.supply.wall_m_per_day->origin.kind = kind;
    const PlanningNumbers numbers = Gathered(facts);
    for (const Uncertain which : {kBulkLoss, kWallLoss, kReachVolume, kDemand, kDeviceFlow}) {
      EXPECT_GT(numbers.log_sd[which], last[which]) << which << " " << ToText(kind);
    }
    last = numbers.log_sd;
  }
}

TEST(GatherNumbers, CarriesTheLossToTheTemperatureOfTheWorstWeek) {
  DeviceFacts facts = MadeUpDevice(3, 300);
  facts.supply.worst_week = Measured(Temperature::Celsius(20));
  EXPECT_NEAR(Gathered(facts).bulk_per_s * 86400, 0.4, 1e-12);
  facts.supply.worst_week = Measured(Temperature::Celsius(30));
  // exp[7500 (1/293.15 - 1/303.15)] = 2.3253, worked by hand.
  EXPECT_NEAR(Gathered(facts).bulk_per_s * 86400, 0.4 * 2.3253, 2e-4);
}

TEST(GatherNumbers, TakesTheStrictestTarget) {
  DeviceFacts facts = MadeUpDevice(3, 300);
  PlanOptions options = FourWeeks();
  EXPECT_DOUBLE_EQ(GatherNumbers(facts, options)->target_mg_per_l, 0.4);
  facts.limits.push_back(Rule(LeastResidual{Concentration::MilligramsPerLitre(0.5)}));
  EXPECT_DOUBLE_EQ(GatherNumbers(facts, options)->target_mg_per_l, 0.5);
  options.target_mg_per_l = 0.6;
  EXPECT_DOUBLE_EQ(GatherNumbers(facts, options)->target_mg_per_l, 0.6);
  options.target_mg_per_l = 0.3;
  EXPECT_DOUBLE_EQ(GatherNumbers(facts, options)->target_mg_per_l, 0.5);
}

TEST(GatherNumbers, TakesTheReachsOwnUpstreamReadingFirst) {
  DeviceFacts facts = MadeUpDevice(3, 300);
  facts.reach.upstream_residual = Measured(Concentration::MilligramsPerLitre(0.8));
  EXPECT_DOUBLE_EQ(Gathered(facts).upstream_mg_per_l, 0.8);
}

TEST(GatherNumbers, DrawsTheUseOfAPipeWithoutServicesAtItsEnd) {
  DeviceFacts facts = MadeUpDevice(0, 300);
  facts.reach.pipes[0].demand = Measured(Flow::LitresPerSecond(0.02));
  const PlanningNumbers numbers = Gathered(facts);
  EXPECT_EQ(numbers.services(), 1);
  EXPECT_THAT(numbers.assumed, Contains(HasSubstr("drawn at its end")));
}

TEST(Factor, IsOnTheBadSideForPositiveDeviates) {
  const PlanningNumbers numbers = Gathered(MadeUpDevice(3, 300));
  Deviates bad{};
  bad.fill(1);
  for (const Uncertain more : {kBulkLoss, kWallLoss, kReachVolume}) {
    EXPECT_DOUBLE_EQ(Factor(numbers, more, bad), std::exp(numbers.log_sd[more]));
  }
  for (const Uncertain less : {kDemand, kDeviceFlow, kUpstream}) {
    EXPECT_DOUBLE_EQ(Factor(numbers, less, bad), std::exp(-numbers.log_sd[less]));
  }
}

TEST(GatherNumbers, TakesTheSpreadThatAFitStated) {
  DeviceFacts facts = MadeUpDevice(4, 100);
  const auto spread = [&](Uncertain which) {
    const auto numbers = GatherNumbers(facts, FourWeeks());
    return numbers.ok() ? numbers->log_sd[which] : -1;
  };
  facts.supply.wall_m_per_day = From(OriginKind::kEstimated, 0.05);
  EXPECT_DOUBLE_EQ(spread(kWallLoss), 0.30);
  facts.supply.wall_m_per_day->origin.note = LogSdNote(0.12);
  EXPECT_DOUBLE_EQ(spread(kWallLoss), 0.12);
  facts.supply.bulk_per_day_at_20c = From(OriginKind::kEstimated, 0.4);
  const double before = spread(kBulkLoss);
  facts.supply.bulk_per_day_at_20c->origin.note = LogSdNote(0.05);
  EXPECT_NEAR(before * before - spread(kBulkLoss) * spread(kBulkLoss), 0.3 * 0.3 - 0.05 * 0.05, 1e-12);
  facts.reach.pipes[0].demand = From(OriginKind::kEstimated, Flow::LitresPerSecond(0.01));
  facts.reach.pipes[0].demand->origin.note = LogSdNote(0.2);
  EXPECT_DOUBLE_EQ(spread(kDemand), 0.2);
  facts.supply.upstream_residual->origin.note = LogSdNote(0.02);
  EXPECT_DOUBLE_EQ(spread(kUpstream), std::hypot(0.10, 0.02));
}

}  // namespace
}  // namespace lastreach
