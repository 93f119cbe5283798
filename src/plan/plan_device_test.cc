#include "plan/plan_device.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "calendar/minute_oracle.h"
#include "plan/search.h"
#include "plan/settle.h"
#include "plan/sureness.h"
#include "plan/test_devices.h"
#include "quality/particle_oracle.h"

namespace lastreach {
namespace {

using std::chrono::minutes;
using testing::Contains;
using testing::HasSubstr;
using testing::IsEmpty;

// Draws enough for the tests' purposes; each claim below holds for the draws it was planned with.
PlanOptions FewDraws() {
  PlanOptions options = FourWeeks();
  options.draws = 100;
  options.confirming_draws = 200;
  return options;
}

TimerSettings Keyed(std::vector<int> starts_min, int run_minutes) {
  TimerSettings settings;
  settings.programmes = {{std::move(starts_min), run_minutes, kEveryWeekday, {}}};
  return settings;
}

TEST(PlanDevice, ChangesWhatDoesNotHold) {
  DeviceFacts facts = MadeUpDevice(3, 300);
  facts.present = Keyed({120}, 5);
  const DevicePlan plan = PlanDevice(facts, FewDraws());
  EXPECT_EQ(plan.verdict, Verdict::kChange);
  ASSERT_TRUE(plan.planned_outcome && plan.present_outcome);
  EXPECT_LT(plan.present_outcome->sureness, 0.9);
  EXPECT_GE(plan.planned_outcome->sureness, 0.9);
  EXPECT_GE(plan.planned_outcome->lowest_mg_per_l, 0.4);
  EXPECT_GT(plan.planned_outcome->middle_lowest_mg_per_l, plan.planned_outcome->lowest_mg_per_l);
  EXPECT_THAT(WhatCannotBeKeyed(facts.form, plan.settings), IsEmpty());
  EXPECT_THAT(plan.reasons, Contains(HasSubstr("keyed now leaves")));
  EXPECT_EQ(plan.next_runs.size(), 3u);
  EXPECT_EQ(plan.planned_series.hours.size(), plan.planned_series.mg_per_l.size());
  EXPECT_FALSE(plan.present_series.hours.empty());
}

TEST(PlanDevice, SaysWhatIsKeyedNowWastesWater) {
  DeviceFacts facts = MadeUpDevice(3, 300);
  facts.present = Keyed({120, 840}, 120);
  const DevicePlan plan = PlanDevice(facts, FewDraws());
  EXPECT_EQ(plan.verdict, Verdict::kChange);
  EXPECT_GT(plan.present_outcome->water_m3_per_day, plan.planned_outcome->water_m3_per_day * 1.1);
  EXPECT_THAT(plan.reasons, Contains(HasSubstr("holds too")));
}

TEST(PlanDevice, KeepsWhatHoldsUnlessTheSavingIsWorthAVisit) {
  DeviceFacts facts = MadeUpDevice(3, 300);
  const DevicePlan from_nothing = PlanDevice(facts, FewDraws());
  ASSERT_EQ(from_nothing.verdict, Verdict::kChange);
  // A minute more in each run than was found to do.
  facts.present = from_nothing.settings;
  for (Programme& programme : facts.present->programmes) programme.minutes += 1;
  const DevicePlan kept = PlanDevice(facts, FewDraws());
  ASSERT_LT(kept.present_outcome->water_m3_per_day, from_nothing.planned_outcome->water_m3_per_day * 1.3);
  PlanOptions options = FewDraws();
  options.worth_a_visit = 0.3;
  const DevicePlan settled = PlanDevice(facts, options);
  EXPECT_EQ(settled.verdict, Verdict::kKeep);
  EXPECT_EQ(settled.settings, *facts.present);
  EXPECT_DOUBLE_EQ(settled.planned_outcome->water_m3_per_day, settled.present_outcome->water_m3_per_day);
  options.worth_a_visit = 0;
  EXPECT_EQ(PlanDevice(facts, options).verdict, Verdict::kChange);
}

TEST(PlanDevice, DoesNotKeepWhatBreaksARule) {
  DeviceFacts facts = MadeUpDevice(3, 300);
  facts.present = PlanDevice(facts, FewDraws()).settings;
  ASSERT_EQ(PlanDevice(facts, FewDraws()).verdict, Verdict::kKeep);
  const int start = facts.present->programmes[0].starts_min[0];
  facts.limits = {Rule(ForbiddenHours{start, start + 1})};
  const DevicePlan plan = PlanDevice(facts, FewDraws());
  EXPECT_EQ(plan.verdict, Verdict::kChange);
  for (const Programme& programme : plan.settings.programmes) {
    for (const int planned : programme.starts_min) {
      EXPECT_TRUE(planned + programme.minutes <= start - 60 || planned >= start + 61) << planned;
    }
  }
}

TEST(PlanDevice, NeedsNoFlushWhereCustomersKeepTheReachFresh) {
  DeviceFacts facts = MadeUpDevice(12, 60);
  facts.supply.demand_per_service = Measured(Flow::LitresPerSecond(0.02));
  facts.present = Keyed({120}, 30);
  const DevicePlan plan = PlanDevice(facts, FewDraws());
  EXPECT_EQ(plan.verdict, Verdict::kNoFlushNeeded);
  EXPECT_FALSE(plan.settings.on);
  EXPECT_EQ(plan.planned_outcome->water_m3_per_day, 0);
  EXPECT_EQ(plan.bound_m3_per_day, 0);
  EXPECT_GE(plan.planned_outcome->sureness, 0.9);
}

TEST(PlanDevice, IsNotTheAnswerWhereTheMainIsTooWeak) {
  DeviceFacts facts = MadeUpDevice(3, 300);
  facts.supply.upstream_residual = Measured(Concentration::MilligramsPerLitre(0.42));
  const DevicePlan plan = PlanDevice(facts, FewDraws());
  EXPECT_EQ(plan.verdict, Verdict::kFlushingIsNotTheAnswer);
  EXPECT_THAT(plan.reasons, Contains(HasSubstr("main upstream carries")));
  EXPECT_FALSE(plan.planned_outcome);
}

TEST(PlanDevice, IsNotTheAnswerWhereEvenAnOpenValveDoesNotHold) {
  DeviceFacts facts = MadeUpDevice(3, 20000);
  facts.point.flow = Measured(Flow::LitresPerSecond(1));
  const DevicePlan plan = PlanDevice(facts, FewDraws());
  EXPECT_EQ(plan.verdict, Verdict::kFlushingIsNotTheAnswer);
  EXPECT_THAT(plan.reasons, Contains(HasSubstr("open round the clock")));
}

TEST(PlanDevice, CannotHoldWithinALimitAndSaysWhichOneBinds) {
  DeviceFacts facts = MadeUpDevice(3, 300);
  facts.limits = {Rule(MostVolumeADay{Volume::CubicMetres(1)})};
  facts.present = Keyed({120}, 5);
  const DevicePlan plan = PlanDevice(facts, FewDraws());
  EXPECT_EQ(plan.verdict, Verdict::kCannotHold);
  EXPECT_THAT(plan.binds, Contains(HasSubstr("without the limits on volume")));
  EXPECT_FALSE(plan.planned_outcome);
  EXPECT_EQ(plan.settings, *facts.present);
}

TEST(PlanDevice, RefusesADeviceThatFlowsMoreThanItsOutletMayTake) {
  DeviceFacts facts = MadeUpDevice(3, 300);
  facts.limits = {Rule(MostFlow{Flow::LitresPerSecond(2)})};
  const DevicePlan plan = PlanDevice(facts, FewDraws());
  EXPECT_EQ(plan.verdict, Verdict::kCannotHold);
  EXPECT_THAT(plan.reasons, Contains(HasSubstr("made up")));  // the limit's own source
  facts.limits = {Rule(MostFlow{Flow::LitresPerSecond(3)})};
  EXPECT_EQ(PlanDevice(facts, FewDraws()).verdict, Verdict::kChange);
}

TEST(PlanDevice, SaysWhatIsMissingWhereTooLittleIsKnown) {
  DeviceFacts facts = MadeUpDevice(3, 300);
  facts.point.flow.reset();
  facts.present = Keyed({120}, 5);
  const DevicePlan plan = PlanDevice(facts, FewDraws());
  EXPECT_EQ(plan.verdict, Verdict::kTooLittleKnown);
  EXPECT_THAT(plan.reasons, Contains(HasSubstr("flow is not known")));
  EXPECT_EQ(plan.settings, *facts.present);
}

TEST(PlanDevice, PlansForATimerNobodyHasLookedAt) {
  DeviceFacts facts = MadeUpDevice(3, 200);
  facts.form = {};
  const DevicePlan plan = PlanDevice(facts, FewDraws());
  EXPECT_EQ(plan.verdict, Verdict::kChange);
  EXPECT_THAT(plan.assumed, Contains(HasSubstr("how many programmes")));
  ASSERT_EQ(plan.settings.programmes.size(), 1u);
  EXPECT_EQ(plan.settings.programmes[0].starts_min.size(), 1u);
  EXPECT_EQ(plan.settings.programmes[0].starts_min[0] % 60, 0);
  EXPECT_EQ(plan.settings.programmes[0].minutes % 5, 0);
}

TEST(PlanDevice, IsTheSamePlanForTheSameFacts) {
  const DeviceFacts facts = MadeUpDevice(5, 400);
  const DevicePlan once = PlanDevice(facts, FewDraws());
  const DevicePlan again = PlanDevice(facts, FewDraws());
  EXPECT_EQ(once.settings, again.settings);
  EXPECT_EQ(once.planned_outcome->lowest_mg_per_l, again.planned_outcome->lowest_mg_per_l);
  EXPECT_EQ(once.binds, again.binds);
}

// Stopped at every one of its questions in turn: what it gives by then is sure, or it is no plan.
TEST(PlanDevice, GivesWhatIsSureByThenWhenStopped) {
  DeviceFacts facts = MadeUpDevice(3, 300);
  facts.present = Keyed({120}, 5);
  const DevicePlan full = PlanDevice(facts, FewDraws());
  EXPECT_FALSE(full.stopped_early);
  int planned = 0;
  bool came_to_its_end = false;
  for (int answered = 0; !came_to_its_end && answered < 400; ++answered) {
    int asked = 0;
    PlanOptions options = FewDraws();
    options.stop = [&] { return ++asked > answered; };
    const DevicePlan plan = PlanDevice(facts, options);
    came_to_its_end = !plan.stopped_early;
    if (plan.verdict == Verdict::kTooLittleKnown) {
      EXPECT_TRUE(plan.stopped_early);
      EXPECT_EQ(plan.settings, *facts.present);
      EXPECT_FALSE(plan.planned_outcome);
      continue;
    }
    ++planned;
    ASSERT_EQ(plan.verdict, Verdict::kChange);
    EXPECT_GE(plan.planned_outcome->sureness, options.sureness) << "stopped after " << answered;
    if (came_to_its_end) {
      EXPECT_EQ(plan.settings, full.settings);
    }
  }
  EXPECT_TRUE(came_to_its_end);
  EXPECT_GT(planned, 1);
}

TEST(PlanDevice, NamesWhatTheTimersCoarsenessCosts) {
  DeviceFacts facts = MadeUpDevice(0, 250);
  facts.form = SmallForm(1, 1, 15, 240);
  const DevicePlan plan = PlanDevice(facts, FewDraws());
  ASSERT_EQ(plan.verdict, Verdict::kChange);
  EXPECT_THAT(plan.binds, Contains(HasSubstr("less water with a timer keyed to the minute")));
}

// The water lasts half a day, and the hours left to the device are a third of one.
TEST(PlanDevice, SaysThatForbiddenHoursAreWhyNothingHolds) {
  DeviceFacts facts = MadeUpDevice(0, 150);
  facts.supply.bulk_per_day_at_20c = Measured(1.0);
  facts.limits = {Rule(ForbiddenHours{6 * 60, 22 * 60})};
  const DevicePlan plan = PlanDevice(facts, FewDraws());
  EXPECT_EQ(plan.verdict, Verdict::kCannotHold);
  EXPECT_THAT(plan.binds, Contains("It would hold without the forbidden hours."));
}

TEST(PlanDevice, NeverGoesBelowItsBound) {
  for (const int services : {0, 1, 4, 9}) {
    for (const double length_m : {80.0, 250.0, 500.0}) {
      const DevicePlan plan = PlanDevice(MadeUpDevice(services, length_m), FewDraws());
      if (plan.verdict != Verdict::kChange) continue;
      EXPECT_GT(plan.bound_m3_per_day, 0) << services << " on " << length_m;
      EXPECT_LE(plan.bound_m3_per_day, plan.planned_outcome->water_m3_per_day)
          << services << " on " << length_m;
    }
  }
}

// Each change for the worse may only cost water. A plan is whole minutes and whole runs, and near ties go to
// fewer runs, so a few per cent either way are the price of that.
TEST(PlanDevice, NeverNeedsLessWaterWhenMattersAreWorse) {
  struct Change {
    const char* name;
    void (*worsen)(DeviceFacts&);
  };
  const Change changes[] = {
      {"more decay", [](DeviceFacts& f) { f.supply.bulk_per_day_at_20c->value *= 1.25; }},
      {"less demand",
       [](DeviceFacts& f) { f.supply.demand_per_service->value = f.supply.demand_per_service->value * 0.6; }},
      {"less upstream",
       [](DeviceFacts& f) { f.supply.upstream_residual->value = f.supply.upstream_residual->value * 0.88; }},
      {"a longer reach",
       [](DeviceFacts& f) { f.reach.pipes[0].length.value = f.reach.pipes[0].length.value * 1.3; }},
  };
  for (const int services : {2, 6}) {
    const DeviceFacts facts = MadeUpDevice(services, 260);
    const DevicePlan before = PlanDevice(facts, FewDraws());
    ASSERT_EQ(before.verdict, Verdict::kChange);
    for (const Change& change : changes) {
      DeviceFacts worse = facts;
      change.worsen(worse);
      const DevicePlan after = PlanDevice(worse, FewDraws());
      ASSERT_EQ(after.verdict, Verdict::kChange) << change.name;
      EXPECT_GE(after.planned_outcome->water_m3_per_day,
                before.planned_outcome->water_m3_per_day * (1 - 2 * kSameWater))
          << change.name << " with " << services;
      EXPECT_GE(after.bound_m3_per_day, before.bound_m3_per_day * (1 - 5e-3)) << change.name;
    }
  }
}

// The whole plan against enumeration: everything a small timer can be keyed to, judged by the same draws.
TEST(PlanDevice, IsNotBeatenByEnumerationOfASmallTimer) {
  for (const int services : {0, 3}) {
    SCOPED_TRACE(services);
    DeviceFacts facts = MadeUpDevice(services, services == 0 ? 90 : 220);
    facts.form = SmallForm(1, 1, 10, 120);
    PlanOptions options = FourWeeks();
    options.to = AddDays(options.from, 14);
    options.draws = 40;
    options.confirming_draws = 40;
    const DevicePlan plan = PlanDevice(facts, options);
    ASSERT_EQ(plan.verdict, Verdict::kChange);

    const PlanningNumbers numbers = *GatherNumbers(facts, options);
    Trial trial(facts.form, options.zone, numbers);
    const Deviates slopes = GuessSlopes(numbers);
    SurenessJudge searched(trial, StratifiedDraws(40, options.seed), slopes);
    SurenessJudge confirmed(trial, PlainDraws(40, options.seed + 1), slopes);
    const DateWindow season{options.from, options.to};
    double least_m3_per_day = plan.planned_outcome->water_m3_per_day / (1 + kSameWater);
    for (const DayPattern& days : [] {
           std::vector<DayPattern> patterns = {OddDates{}, EvenDates{}};
           for (unsigned bits = 1; bits < 128; ++bits) patterns.emplace_back(Weekdays{bits});
           for (int n = 2; n <= 4; ++n)
             patterns.emplace_back(EveryNDays{n, AddDays(FourWeeks().from, -70 * n)});
           return patterns;
         }()) {
      for (int start = 0; start < 1440; start += 240) {
        for (int run_minutes = 10; run_minutes <= 120; run_minutes += 10) {
          TimerSettings settings;
          settings.programmes = {{{start}, run_minutes, days, {}}};
          const double water =
              static_cast<double>(ExpandRuns(facts.form, settings, options.zone, season, {}).size()) *
              run_minutes * 60 * numbers.flow_m3_per_s / 14;
          if (water >= least_m3_per_day || start + run_minutes > 1440) continue;
          EXPECT_FALSE(searched.Holds(settings, {season}, options.sureness) &&
                       confirmed.Holds(settings, {season}, options.sureness))
              << Describe(days) << " at " << FormatTimeOfDay(start) << " for " << run_minutes
              << " min: " << water << " against " << plan.planned_outcome->water_m3_per_day << " m3/d";
        }
      }
    }
  }
}

// The plan in the oracle's hands: its own numbers drawn anew, the timer walked minute by minute, and parcels
// of water pushed along the pipe, over the day that the plan calls its worst.
TEST(PlanDevice, IsAsSureAsItSaysInTheOraclesHands) {
  constexpr int kDraws = 2000;
  DeviceFacts facts = MadeUpDevice(1, 70);
  PlanOptions options = FourWeeks();
  const DevicePlan plan = PlanDevice(facts, options);
  ASSERT_EQ(plan.verdict, Verdict::kChange);
  const Date worst = DateOf(Instant(plan.planned_outcome->lowest_when));
  const DateWindow window{AddDays(worst, -3), AddDays(worst, 1)};
  const MinuteInstant begin = std::chrono::sys_days(window.from);
  constexpr int kJudgeFrom_min = 3 * 1440;
  constexpr int kAll_min = 4 * 1440;
  constexpr int kStep_min = 10;

  std::vector<std::vector<char>> open;
  for (const int fast_min : kClockErrors_min) {
    std::vector<char> by_minute(kAll_min, 0);
    for (const lastreach::Run& run :
         RunsByWalkingEveryMinute(facts.form, plan.settings, options.zone, window, {false, fast_min})) {
      for (MinuteInstant now = run.start; now < run.end(); now += minutes(1)) {
        const auto minute = (now - begin).count();
        if (minute >= 0 && minute < kAll_min) by_minute[static_cast<size_t>(minute)] = 1;
      }
    }
    open.push_back(std::move(by_minute));
  }

  const PlanningNumbers numbers = *GatherNumbers(facts, options);
  int held = 0;
  for (const Deviates& draw : PlainDraws(kDraws, 99)) {
    const ReachModel model = ModelReach(numbers, draw);
    bool holds = true;
    for (const std::vector<char>& by_minute : open) {
      BranchDrive drive;
      for (size_t minute = 0; minute < by_minute.size(); minute += kStep_min) {
        // Planned runs begin and end on any minute; the average of ten moves the same water.
        const auto on =
            std::accumulate(by_minute.begin() + static_cast<std::ptrdiff_t>(minute),
                            by_minute.begin() + static_cast<std::ptrdiff_t>(minute) + kStep_min, 0);
        drive.time_s.push_back(static_cast<double>(minute) * 60);
        drive.demand_factor.push_back(kHouseholdHours[minute / 60 % 24]);
        drive.end_flow_m3_per_s.push_back(model.flow_m3_per_s * on / kStep_min);
      }
      drive.time_s.push_back(static_cast<double>(by_minute.size()) * 60);
      drive.root_mg_per_l.assign(drive.time_s.size(), model.upstream_mg_per_l);
      double lowest = model.upstream_mg_per_l;
      for (const Crossing& crossing : PushParcels(model.branch, drive, kStep_min * 60, model.kinetics)) {
        if (crossing.time_s < kJudgeFrom_min * 60) continue;
        lowest = std::min(lowest, model.upstream_mg_per_l * std::exp(-crossing.log_loss));
      }
      holds &= lowest >= numbers.target_mg_per_l;
    }
    held += holds ? 1 : 0;
  }
  // Both shares are of finite draws: three standard errors of each, with 1,000 and 2,000 of them.
  const double error = 3 * std::sqrt(0.9 * 0.1 * (1 / 1000.0 + 1.0 / kDraws));
  EXPECT_NEAR(held / double{kDraws}, plan.planned_outcome->sureness, error);
}

PlannedBefore AsPlannedBefore(const DevicePlan& plan) {
  return {plan.settings, plan.planned_outcome->water_m3_per_day, plan.bound_m3_per_day, false};
}

TEST(PlanDevice, BeginsFromWhatWasPlannedForNearlyTheSameWater) {
  for (const double upstream_mg_per_l : {0.85, 0.95, 1.05}) {
    DeviceFacts facts = MadeUpDevice(4, 350);
    const DevicePlan before = PlanDevice(facts, FewDraws());
    facts.supply.upstream_residual = Measured(Concentration::MilligramsPerLitre(upstream_mg_per_l));
    const DevicePlan anew = PlanDevice(facts, FewDraws());
    facts.planned_before = AsPlannedBefore(before);
    const DevicePlan plan = PlanDevice(facts, FewDraws());
    EXPECT_EQ(plan.verdict, Verdict::kChange);
    EXPECT_GE(plan.planned_outcome->sureness, 0.9);
    // Three parts in a hundred are what it may be farther from the bound, and as much again is a step of
    // minutes.
    EXPECT_LT(plan.planned_outcome->water_m3_per_day, 1.06 * anew.planned_outcome->water_m3_per_day);
  }
}

TEST(PlanDevice, LooksFurtherWhereWhatWasPlannedBeforeWasNearerToItsBound) {
  DeviceFacts facts = MadeUpDevice(4, 350);
  const DevicePlan anew = PlanDevice(facts, FewDraws());
  facts.planned_before = AsPlannedBefore(anew);
  facts.planned_before->settings = Keyed({300}, 200);
  const DevicePlan plan = PlanDevice(facts, FewDraws());
  EXPECT_EQ(plan.settings, anew.settings);
  EXPECT_EQ(plan.planned_outcome->water_m3_per_day, anew.planned_outcome->water_m3_per_day);
}

TEST(SayWhatBinds, SaysAfterwardsWhatAPlanWouldHaveSaid) {
  DeviceFacts facts = MadeUpDevice(4, 350);
  facts.form.programmes = 1;
  facts.form.starts_per_programme = 1;
  facts.limits = {Rule(ForbiddenHours{5 * 60, 23 * 60})};
  const DevicePlan all = PlanDevice(facts, FewDraws());
  PlanOptions without = FewDraws();
  without.what_binds = false;
  DevicePlan plan = PlanDevice(facts, without);
  EXPECT_EQ(plan.settings, all.settings);
  EXPECT_LT(plan.binds.size(), all.binds.size());
  SayWhatBinds(facts, FewDraws(), plan);
  ASSERT_EQ(plan.binds.size(), all.binds.size());
  EXPECT_THAT(plan.binds, Contains(HasSubstr("without the forbidden hours")));
  EXPECT_EQ(plan.binds.back(), all.binds.back());
}

}  // namespace
}  // namespace lastreach
