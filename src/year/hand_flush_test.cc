#include "year/hand_flush.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "plan/test_devices.h"
#include "year/fake_parts.h"
#include "year/hand_trial.h"

namespace lastreach {
namespace {

using testing::Contains;
using testing::HasSubstr;

PlanOptions FewDraws() {
  PlanOptions options = FourWeeks();
  options.draws = 80;
  options.confirming_draws = 150;
  return options;
}

// Water that lasts for weeks: chloramine-like loss.
DeviceFacts SlowlyLosing(double bulk_per_day_at_20c, int services = 2) {
  DeviceFacts facts = MadeUpDevice(services, 300);
  facts.point.kind = PointKind::kHand;
  facts.point.flow = Measured(Flow::LitresPerSecond(10));
  facts.supply.bulk_per_day_at_20c = Measured(bulk_per_day_at_20c);
  facts.supply.demand_per_service = Measured(Flow::LitresPerSecond(0.0001));
  return facts;
}

// The share of fresh draws that hold with flushes so many days apart, worked out from a flush at eight and
// one that ends at four, by planning's own trial of a timer that does just that.
double ShareHeldByATimer(const DeviceFacts& facts, const PlanOptions& options, int minutes, int days) {
  const PlanningNumbers numbers = *GatherNumbers(facts, options);
  size_t held = 0;
  const auto draws = PlainDraws(static_cast<size_t>(options.confirming_draws), options.seed + 1);
  TransportWorkspace workspace;
  for (const Deviates& draw : draws) {
    const ReachModel model = ModelReach(numbers, draw);
    std::vector<Run> runs;
    const auto at = [](Date day, int minute) {
      return std::chrono::time_point_cast<std::chrono::minutes>(std::chrono::sys_days(day)) +
             std::chrono::minutes(minute);
    };
    for (int flush = 8; flush >= 0; --flush)
      runs.push_back({at(AddDays(options.from, -flush * days), 480), minutes, 1});
    const MinuteInstant begin = runs.front().start, next = at(AddDays(options.from, days), 960 - minutes);
    const BranchDrive drive = DriveOf(model, runs, options.zone, begin, next);
    std::vector<double> times_s;
    const auto first = static_cast<double>((runs.back().end() - begin).count()) * 60;
    for (double t = first; t <= drive.time_s.back(); t += 900) times_s.push_back(t);
    times_s.back() = drive.time_s.back();
    double low = 9;
    for (const size_t judged : model.judged) {
      for (const double residual : ResidualsAt(model.branch, drive, judged, times_s, model.kinetics))
        low = std::min(low, residual);
    }
    held += low >= numbers.target_mg_per_l ? 1 : 0;
  }
  return static_cast<double>(held) / static_cast<double>(draws.size());
}

TEST(PlanHandFlush, HoldsAtItsDaysAndNotADayLater) {
  for (const double loss : {0.02, 0.04}) {
    const DeviceFacts facts = SlowlyLosing(loss);
    const HandFlushPlan plan = PlanHandFlush(facts, FewDraws(), {});
    ASSERT_EQ(plan.verdict, HandVerdict::kFlushEvery) << loss;
    const int days = *plan.days_that_hold;
    EXPECT_EQ(plan.days_between, days);
    EXPECT_GE(ShareHeldByATimer(facts, FewDraws(), plan.minutes, days), 0.9) << loss << " " << days;
    EXPECT_LT(ShareHeldByATimer(facts, FewDraws(), plan.minutes, days + 1), 0.9) << loss << " " << days;
    EXPECT_NEAR(plan.sureness, ShareHeldByATimer(facts, FewDraws(), plan.minutes, days), 1e-9);
    EXPECT_GE(plan.lowest_mg_per_l, 0.4);
  }
}

TEST(PlanHandFlush, FasterLossTakesMoreFlushes) {
  int before = 0;
  for (const double loss : {0.01, 0.02, 0.03, 0.05}) {
    const HandFlushPlan plan = PlanHandFlush(SlowlyLosing(loss), FewDraws(), {});
    EXPECT_GT(plan.flushes_per_year, before) << loss;
    before = plan.flushes_per_year;
  }
}

TEST(PlanHandFlush, SaysWhatNoCrewCanHold) {
  const HandFlushPlan plan = PlanHandFlush(MadeUpDevice(3, 300), FewDraws(), {});
  EXPECT_EQ(plan.verdict, HandVerdict::kTooOften);
  EXPECT_LT(*plan.days_that_hold, 7);
  EXPECT_THAT(plan.reasons, Contains(HasSubstr("onsider a device")));
  EXPECT_EQ(plan.flushes_per_year, 0);
  HandFlushOptions monthly;
  monthly.most_days_between = 31;
  monthly.rule_source = "state rule, as typed";
  const HandFlushPlan by_rule = PlanHandFlush(MadeUpDevice(3, 300), FewDraws(), monthly);
  EXPECT_EQ(by_rule.verdict, HandVerdict::kTooOften);
  // 31 days on are a weekend twice in seven, so crews come a little more than twelve times.
  EXPECT_EQ(by_rule.flushes_per_year, 13);
}

TEST(PlanHandFlush, IsCappedByTheRule) {
  HandFlushOptions hand;
  hand.most_days_between = 10;
  hand.rule_source = "state rule, as typed";
  const HandFlushPlan plan = PlanHandFlush(SlowlyLosing(0.02), FewDraws(), hand);
  EXPECT_GT(*plan.days_that_hold, 10);
  EXPECT_EQ(plan.days_between, 10);
  EXPECT_TRUE(plan.rule_binds);
  EXPECT_THAT(plan.reasons, Contains(HasSubstr("state rule")));
  EXPECT_GT(plan.sureness, PlanHandFlush(SlowlyLosing(0.02), FewDraws(), {}).sureness);
}

TEST(PlanHandFlush, NeedsNoneWhereCustomersKeepItFreshButTheRuleStands) {
  DeviceFacts facts = SlowlyLosing(0.4, 12);
  facts.supply.demand_per_service = Measured(Flow::LitresPerSecond(0.1));
  const HandFlushPlan plan = PlanHandFlush(facts, FewDraws(), {});
  EXPECT_EQ(plan.verdict, HandVerdict::kNoFlushNeeded);
  EXPECT_EQ(plan.flushes_per_year, 0);
  EXPECT_FALSE(plan.days_between);
  HandFlushOptions monthly;
  monthly.most_days_between = 31;
  monthly.weekends = true;
  EXPECT_EQ(PlanHandFlush(facts, FewDraws(), monthly).flushes_per_year, 12);
}

TEST(PlanHandFlush, IsNotTheAnswerWhereTheMainIsTooWeakOrLittleKnown) {
  DeviceFacts facts = SlowlyLosing(0.02);
  facts.supply.upstream_residual = Measured(Concentration::MilligramsPerLitre(0.42));
  EXPECT_EQ(PlanHandFlush(facts, FewDraws(), {}).verdict, HandVerdict::kFlushingIsNotTheAnswer);
  facts.point.flow.reset();
  const HandFlushPlan plan = PlanHandFlush(facts, FewDraws(), {});
  EXPECT_EQ(plan.verdict, HandVerdict::kTooLittleKnown);
  EXPECT_THAT(plan.reasons, Contains(HasSubstr("flow")));
}

TEST(PlanHandFlush, LastsForOneVolumeAndItsFrontSurely) {
  const DeviceFacts facts = SlowlyLosing(0.02);
  const PlanningNumbers numbers = *GatherNumbers(facts, FewDraws());
  const HandFlushPlan plan = PlanHandFlush(facts, FewDraws(), {});
  EXPECT_EQ(plan.minutes % 5, 0);
  EXPECT_GT(plan.water_m3_a_flush, numbers.volume_m3() * (1 + FrontAllowance(numbers, 0.010)));
  // The normal quantile of 0.9 is 1.2816 [M. Abramowitz & I. Stegun, Handbook, table 26.5].
  const double surely =
      std::exp(1.2816 * std::hypot(numbers.log_sd[kReachVolume], numbers.log_sd[kDeviceFlow]));
  EXPECT_LE((plan.minutes - 5) * 60 * 0.010,
            numbers.volume_m3() * (1 + FrontAllowance(numbers, 0.010)) * surely);
}

// 150 mm of smooth pipe well above Re 20,000: 4 to 6 % more at 100 m, 2 to 4 % at 300 m, 1 to 2 % at 1 km,
// worked out by hand from K = 10.1 a u* with u* a twentieth of the velocity.
TEST(FrontAllowance, FallsWithTheRootOfTheLength) {
  const auto at = [](double length_m, double flow_m3_per_s) {
    return FrontAllowance(*GatherNumbers(MadeUpDevice(3, length_m), FourWeeks()), flow_m3_per_s);
  };
  EXPECT_NEAR(at(100, 0.010), 0.05, 0.01);
  EXPECT_NEAR(at(300, 0.010), 0.03, 0.01);
  EXPECT_NEAR(at(1000, 0.010), 0.015, 0.005);
  EXPECT_NEAR(at(400, 0.010), at(100, 0.010) / 2, 1e-9);
  EXPECT_GT(at(300, 0.0018), 1.9 * at(300, 0.010));
  EXPECT_DOUBLE_EQ(at(300, 0.0002), 4);
}

TEST(FlushesPerYear, AreNoFewerThanGapsAllowAndNeverOnWeekends) {
  EXPECT_EQ(FlushesPerYear(7, true), 53);
  EXPECT_EQ(FlushesPerYear(7, false), 53);
  EXPECT_EQ(FlushesPerYear(31, true), 12);
  // From Monday a working day at most 9 days on is Wednesday of next week, then Friday, then Friday again
  // (Sunday is 9 on, Saturday 8), each week after.
  EXPECT_EQ(FlushesPerYear(9, false), 53);
  EXPECT_EQ(FlushesPerYear(2, false), 261);
  for (int days = 3; days < 40; ++days) {
    EXPECT_GE(FlushesPerYear(days, false), FlushesPerYear(days, true)) << days;
    EXPECT_LE(FlushesPerYear(days + 1, false), FlushesPerYear(days, false)) << days;
  }
}

TEST(PlanHandFlushYear, FlushesMoreOftenInTheWarmPart) {
  const auto year = FourSeasons();
  std::vector<MonthWater> water;
  for (int month = 1; month <= 12; ++month) {
    const double celsius = month >= 6 && month <= 9 ? 25 : 10;
    water.push_back({"Invented", month, Measured(Temperature::Celsius(celsius)), Typed(1.0),
                     Measured(Concentration::MilligramsPerLitre(1.0))});
  }
  const HandFlushYear of_year = PlanHandFlushYear(SlowlyLosing(0.03), FewDraws(), year, water, {});
  ASSERT_EQ(of_year.parts.size(), 4u);
  EXPECT_LT(*of_year.parts[1].days_between, *of_year.parts[3].days_between);
  EXPECT_GT(of_year.trips, of_year.parts[3].flushes_per_year);
  EXPECT_LT(of_year.trips, of_year.parts[1].flushes_per_year);
}

}  // namespace
}  // namespace lastreach
