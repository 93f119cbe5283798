#include "plan/alternatives.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "plan/measure.h"
#include "plan/plan_device.h"
#include "plan/search.h"
#include "plan/settle.h"
#include "plan/sureness.h"
#include "plan/test_devices.h"

namespace lastreach {
namespace {

PlanOptions FewDraws() {
  PlanOptions options = FourWeeks();
  options.draws = 60;
  options.confirming_draws = 100;
  return options;
}

DeviceFacts QuietAtNight() {
  DeviceFacts facts = MadeUpDevice(3, 300);
  facts.limits = {Rule(ForbiddenHours{22 * 60, 6 * 60})};
  return facts;
}

// What the alternatives are chosen by, asked anew of every one: sure in both sets of draws as it is, and not
// in both a step shorter.
TEST(AlternativesOf, AreSureAndNotAStepLongerThanNeedBe) {
  const DeviceFacts facts = QuietAtNight();
  const PlanOptions options = FewDraws();
  const DevicePlan plan = PlanDevice(facts, options);
  ASSERT_EQ(plan.verdict, Verdict::kChange);
  const std::vector<Alternative> alternatives = AlternativesOf(facts, options, plan, 60);
  ASSERT_GT(alternatives.size(), 4u);
  EXPECT_EQ(alternatives.front().settings, plan.settings);
  EXPECT_EQ(alternatives.front().shift_min, 0);

  const PlanningNumbers numbers = *GatherNumbers(facts, options);
  Trial trial(RichForm(), options.zone, numbers);
  SurenessJudge judge(trial, StratifiedDraws(60, options.seed), GuessSlopes(numbers), options.search_taps);
  SurenessJudge fresh(trial, PlainDraws(100, options.seed + 1), GuessSlopes(numbers));
  const std::vector<DateWindow> windows =
      WindowsToJudge(kEveryWeekday, options.zone, {options.from, options.to});
  for (size_t i = 1; i < alternatives.size(); ++i) {
    SCOPED_TRACE(alternatives[i].shift_min);
    TimerSettings settings = KeyedLongAgo(alternatives[i].settings);
    ASSERT_EQ(settings.programmes.front().days, DayPattern(kEveryWeekday)) << "the test knows no other";
    const auto is_sure = [&] {
      return judge.Holds(settings, windows, options.sureness) &&
             fresh.Holds(settings, windows, options.sureness);
    };
    EXPECT_TRUE(is_sure());
    EXPECT_GE(Settle(facts, options, alternatives[i].settings).planned_outcome->sureness, options.sureness);
    bool fits = true;
    for (Programme& programme : settings.programmes) {
      programme.minutes -= 1;
      fits &= programme.minutes >= options.least_run_minutes;
    }
    EXPECT_TRUE(!fits || !is_sure());
  }
}

TEST(AlternativesOf, KeepRulesDaysAndTheNumberOfStartsAndTellTheirRuns) {
  const DeviceFacts facts = QuietAtNight();
  const PlanOptions options = FewDraws();
  const DevicePlan plan = PlanDevice(facts, options);
  const auto starts_of = [](const TimerSettings& settings) {
    size_t count = 0;
    for (const Programme& programme : settings.programmes) count += programme.starts_min.size();
    return count;
  };
  const auto alternatives = AlternativesOf(facts, options, plan);
  std::vector<int> shifts;
  for (const Alternative& alternative : alternatives) {
    shifts.push_back(alternative.shift_min);
    EXPECT_EQ(alternative.shift_min % 30, 0);
    EXPECT_EQ(starts_of(alternative.settings), starts_of(plan.settings));
    EXPECT_EQ(alternative.runs_clock_min.size(), starts_of(plan.settings));
    int minutes_a_day = 0;
    for (const auto& [opens, shuts] : alternative.runs_clock_min) {
      EXPECT_GE(opens, 6 * 60 + 60) << "with the clock an hour slow or fast";
      EXPECT_LE(shuts, 22 * 60 - 60);
      minutes_a_day += shuts - opens;
    }
    EXPECT_NEAR(alternative.water_m3_per_day, minutes_a_day * 60 * 0.003, 1e-9);
  }
  EXPECT_TRUE(std::is_sorted(shifts.begin(), shifts.end()));
  EXPECT_EQ(std::adjacent_find(shifts.begin(), shifts.end()), shifts.end());
}

TEST(AlternativesOf, AreNoneWhereNothingRuns) {
  DeviceFacts facts = MadeUpDevice(12, 60);
  facts.supply.demand_per_service = Measured(Flow::LitresPerSecond(0.02));
  const DevicePlan off = PlanDevice(facts, FewDraws());
  ASSERT_EQ(off.verdict, Verdict::kNoFlushNeeded);
  EXPECT_TRUE(AlternativesOf(facts, FewDraws(), off).empty());
}

TEST(AlternativesOf, EndsWhenAskedToStop) {
  const DeviceFacts facts = MadeUpDevice(3, 300);
  PlanOptions options = FewDraws();
  const DevicePlan plan = PlanDevice(facts, options);
  const size_t all = AlternativesOf(facts, options, plan).size();
  int asked = 0;
  options.stop = [&asked] { return ++asked > 5; };
  const size_t some = AlternativesOf(facts, options, plan).size();
  EXPECT_LE(some, 6u);
  EXPECT_LT(some, all);
}

// Settling a plan's own settings gives that plan.
TEST(Settle, MakesThePlanThatChoseThoseSettings) {
  DeviceFacts facts = QuietAtNight();
  facts.present = TimerSettings{};
  facts.present->programmes = {{{600}, 2, kEveryWeekday, {}}};
  const PlanOptions options = FewDraws();
  const DevicePlan plan = PlanDevice(facts, options);
  const DevicePlan settled = Settle(facts, options, plan.settings);
  EXPECT_EQ(settled.verdict, plan.verdict);
  EXPECT_EQ(settled.settings, plan.settings);
  EXPECT_EQ(settled.planned_outcome->sureness, plan.planned_outcome->sureness);
  EXPECT_EQ(settled.planned_outcome->lowest_mg_per_l, plan.planned_outcome->lowest_mg_per_l);
  EXPECT_EQ(settled.present_outcome->sureness, plan.present_outcome->sureness);
  EXPECT_EQ(settled.planned_series.mg_per_l, plan.planned_series.mg_per_l);
  EXPECT_EQ(settled.reasons, plan.reasons);
  EXPECT_EQ(settled.binds, plan.binds);
  EXPECT_EQ(settled.cautions, plan.cautions);
  EXPECT_EQ(settled.bound_m3_per_day, plan.bound_m3_per_day);
}

TEST(Settle, DoesNotCallSureWhatIsNot) {
  const DeviceFacts facts = MadeUpDevice(3, 300);
  TimerSettings settings;
  settings.programmes = {{{600}, 3, kEveryWeekday, {}}};
  const DevicePlan settled = Settle(facts, FewDraws(), settings);
  EXPECT_EQ(settled.verdict, Verdict::kCannotHold);
  EXPECT_EQ(settled.settings, settings);
  EXPECT_LT(settled.planned_outcome->sureness, 0.9);
}

}  // namespace
}  // namespace lastreach
