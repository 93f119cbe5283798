#include "plan/start_rules.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "plan/test_devices.h"

namespace lastreach {
namespace {

using testing::Contains;
using testing::HasSubstr;

constexpr int kHour = 60;
constexpr double kFlow_m3_per_s = 0.003;

DateWindow Days(const char* from, int days) { return {*ParseDate(from), AddDays(*ParseDate(from), days)}; }

StartRules RulesWith(std::vector<Limit> limits, int guard_min = 0, const ControllerForm& form = RichForm(),
                     Relaxations relaxed = {}) {
  return StartRules(form, limits, Zone::Utc(), Days("2026-06-01", 28), kFlow_m3_per_s, guard_min, relaxed);
}

TEST(StartRules, KeepsTheWholeRunOutOfForbiddenHours) {
  const StartRules rules = RulesWith({Rule(ForbiddenHours{7 * kHour, 9 * kHour})});
  EXPECT_TRUE(rules.Allows(6 * kHour, 60));
  EXPECT_FALSE(rules.Allows(6 * kHour, 61));
  EXPECT_FALSE(rules.Allows(7 * kHour, 1));
  EXPECT_FALSE(rules.Allows(8 * kHour + 59, 1));
  EXPECT_TRUE(rules.Allows(9 * kHour, 1));
}

TEST(StartRules, KnowsForbiddenHoursPastMidnightAndRoundTheClock) {
  const StartRules night = RulesWith({Rule(ForbiddenHours{22 * kHour, 6 * kHour})});
  EXPECT_TRUE(night.Allows(21 * kHour, 60));
  EXPECT_FALSE(night.Allows(21 * kHour, 61));
  EXPECT_FALSE(night.Allows(0, 1));
  EXPECT_FALSE(night.Allows(5 * kHour + 59, 1));
  EXPECT_TRUE(night.Allows(6 * kHour, 1));
  const StartRules always = RulesWith({Rule(ForbiddenHours{0, 0})});
  EXPECT_FALSE(always.Nearest(720, 1).has_value());
}

TEST(StartRules, LeavesRoomForAClockThatIsOut) {
  const StartRules rules = RulesWith({Rule(ForbiddenHours{7 * kHour, 9 * kHour})}, 60);
  EXPECT_TRUE(rules.Allows(5 * kHour, 60));
  EXPECT_FALSE(rules.Allows(5 * kHour, 61));
  EXPECT_FALSE(rules.Allows(9 * kHour + 59, 1));
  EXPECT_TRUE(rules.Allows(10 * kHour, 1));
}

// A clock on standard time reads 06:00 when it is 07:00 in summer, so the hour before is forbidden on its
// face; over a season with a change both hours are.
TEST(StartRules, MovesForbiddenHoursWithTheClockChange) {
  const Zone chicago = *Zone::Find("America/Chicago");
  const std::vector<Limit> limits = {Rule(ForbiddenHours{7 * kHour, 9 * kHour})};
  const auto rules = [&](const ControllerForm& form, DateWindow season) {
    return StartRules(form, limits, chicago, season, kFlow_m3_per_s, 0, {});
  };
  const StartRules summer = rules(RichForm(), Days("2026-06-01", 28));
  EXPECT_FALSE(summer.Allows(6 * kHour, 1));
  EXPECT_TRUE(summer.Allows(8 * kHour, 1));
  const StartRules winter = rules(RichForm(), Days("2026-01-05", 28));
  EXPECT_TRUE(winter.Allows(6 * kHour, 60));
  EXPECT_FALSE(winter.Allows(8 * kHour, 1));
  const StartRules both = rules(RichForm(), Days("2026-10-20", 28));
  EXPECT_FALSE(both.Allows(6 * kHour, 1));
  EXPECT_FALSE(both.Allows(8 * kHour, 1));
  ControllerForm follows = RichForm();
  follows.follows_clock_change = true;
  const StartRules following = rules(follows, Days("2026-10-20", 28));
  EXPECT_TRUE(following.Allows(6 * kHour, 60));
  EXPECT_FALSE(following.Allows(8 * kHour, 1));
}

TEST(StartRules, EndsEveryRunByMidnight) {
  const StartRules rules = RulesWith({});
  EXPECT_TRUE(rules.Allows(23 * kHour, 60));
  EXPECT_FALSE(rules.Allows(23 * kHour, 61));
  EXPECT_FALSE(rules.Allows(-5, 1));
  EXPECT_EQ(rules.Nearest(23 * kHour + 50, 60), 23 * kHour);
}

TEST(StartRules, FindsTheNearestAllowedStartOnTheStep) {
  const StartRules rules = RulesWith({Rule(ForbiddenHours{7 * kHour, 9 * kHour})});
  EXPECT_EQ(rules.Nearest(7 * kHour + 10, 30), 6 * kHour + 30);
  EXPECT_EQ(rules.Nearest(8 * kHour + 30, 30), 9 * kHour);
  EXPECT_EQ(rules.Nearest(123, 30), 125);
  ControllerForm hourly = RichForm();
  hourly.start_step_minutes = 60;
  const StartRules coarse = RulesWith({Rule(ForbiddenHours{1 * kHour, 1 * kHour + 50})}, 0, hourly);
  // 01:10 and 01:50 forbidden: 02:00 is 50 minutes from 01:10 and 00:00 is 70.
  EXPECT_EQ(coarse.Nearest(70, 30), 120);
}

TEST(StartRules, HoldsVolumesARunAndADay) {
  // 3 L/s is 0.18 m3 a minute.
  const StartRules run = RulesWith({Rule(MostVolumeARun{Volume::CubicMetres(3.6)})});
  EXPECT_EQ(run.MostMinutes(1), 20);
  EXPECT_EQ(run.MostMinutes(12), 20);
  const StartRules day = RulesWith({Rule(MostVolumeADay{Volume::CubicMetres(7.2)})});
  EXPECT_EQ(day.MostMinutes(1), 40);
  EXPECT_EQ(day.MostMinutes(3), 13);
  const StartRules strictest = RulesWith(
      {Rule(MostVolumeARun{Volume::CubicMetres(9)}), Rule(MostVolumeARun{Volume::CubicMetres(1.8)})});
  EXPECT_EQ(strictest.MostMinutes(1), 10);
  ControllerForm fives = RichForm();
  fives.minutes_step = 5;
  EXPECT_EQ(RulesWith({Rule(MostVolumeADay{Volume::CubicMetres(7.2)})}, 0, fives).MostMinutes(3), 10);
}

TEST(StartRules, SpacesStartsForTheHighestPercentage) {
  EXPECT_EQ(RulesWith({}).LeastSpacing(45), 90);
  ControllerForm odd = RichForm();
  odd.percent_max = 150;
  EXPECT_EQ(RulesWith({}, 0, odd).LeastSpacing(15), 23);  // 22.5, rounded up
  odd.percent_scope = PercentScope::kNone;
  EXPECT_EQ(RulesWith({}, 0, odd).LeastSpacing(15), 15);
}

TEST(StartRules, LeavesOutWhatIsRelaxed) {
  const std::vector<Limit> limits = {Rule(ForbiddenHours{7 * kHour, 9 * kHour}),
                                     Rule(MostVolumeARun{Volume::CubicMetres(3.6)})};
  EXPECT_TRUE(RulesWith(limits, 0, RichForm(), {.forbidden_hours = true}).Allows(8 * kHour, 20));
  EXPECT_EQ(RulesWith(limits, 0, RichForm(), {.volumes = true}).MostMinutes(1), 360);
  const ControllerForm small = SmallForm(1, 1, 15, 60);
  EXPECT_EQ(RulesWith(limits, 0, small).most_starts(), 1);
  EXPECT_EQ(RulesWith(limits, 0, small, {.starts = true}).most_starts(), 12);
  EXPECT_EQ(RulesWith(limits, 0, small, {.steps = true}).minutes_step(), 1);
}

TEST(CautiousForm, FillsInEveryUnknownItemAndSaysSo) {
  std::vector<std::string> notes;
  const ControllerForm form = CautiousForm({}, &notes);
  EXPECT_TRUE(form.programmes && form.starts_per_programme && form.start_step_minutes && form.minutes_step &&
              form.minutes_min && form.minutes_max && form.percent_max && form.day_patterns &&
              form.every_n_max && form.follows_clock_change && form.odd_skips_31st && form.percent_scope);
  EXPECT_EQ(*form.programmes, 1);
  EXPECT_EQ(*form.starts_per_programme, 1);
  for (const char* words : {"programmes", "starts a programme", "step of start times", "step of minutes",
                            "least minutes", "most minutes", "percentage", "day patterns", "clock change"}) {
    EXPECT_THAT(notes, Contains(HasSubstr(words)));
  }
}

TEST(CautiousForm, LeavesWhatIsKnown) {
  std::vector<std::string> notes;
  EXPECT_EQ(CautiousForm(RichForm(), &notes), RichForm());
  EXPECT_TRUE(notes.empty());
}

}  // namespace
}  // namespace lastreach
