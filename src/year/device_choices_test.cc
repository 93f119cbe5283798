#include "year/device_choices.h"

#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <algorithm>

#include "year/fake_parts.h"
#include "year/turned_settings.h"

namespace lastreach {
namespace {

// Whether a schedule holds in every part, asked anew.
bool HoldsThroughout(FakeParts& parts, const DeviceChoices& choices, const ChangeSchedule& schedule) {
  for (size_t p = 0; p < schedule.candidate.size(); ++p) {
    const TimerSettings& settings = choices.candidates[schedule.candidate[p]];
    if (choices.states[p] == PartState::kHeld && parts.Judge(p, settings, 0).sureness < 0.9) return false;
    if (choices.states[p] == PartState::kFrost && settings.on) return false;
  }
  return true;
}

// Least water over every way of cutting the year into stretches, each kept on the most any of its parts
// needs: what monotony says is best where nothing but minutes tells settings apart.
double ByCuttingTheYear(const std::vector<YearPart>& year, const std::vector<int>& needed, int most_changes) {
  const size_t n = year.size();
  double least = kMayNotStand;
  for (unsigned cuts = 0; cuts < 1U << n; ++cuts) {
    const int changes = __builtin_popcount(cuts) == 1 ? 0 : __builtin_popcount(cuts);
    if (changes > most_changes) continue;
    double water = 0;
    for (size_t p = 0; p < n; ++p) {
      int most = needed[p];
      for (size_t q = p; cuts != 0 && (cuts >> q & 1U) == 0;)
        most = std::max(most, needed[q = (q + n - 1) % n]);
      for (size_t q = (p + 1) % n; q != p && (cuts >> q & 1U) == 0; q = (q + 1) % n)
        most = std::max(most, needed[q]);
      water += most * year[p].length_days();
    }
    least = std::min(least, water);
  }
  return least;
}

TEST(ChoicesOf, AreThoseOfEveryWayOfCuttingTheYear) {
  EXPECT_TRUE(rc::check([] {
    const auto year = FourSeasons();
    std::vector<int> needed;
    for (size_t p = 0; p < year.size(); ++p) needed.push_back(*rc::gen::inRange(0, 60));
    FakeParts parts(year, needed);
    parts.form.percent_scope = PercentScope::kNone;
    const DeviceChoices choices = ChoicesOf(parts, year, {});
    RC_ASSERT(choices.exists());
    for (int visits = 0; visits <= 4; ++visits) {
      const ChangeSchedule& schedule = choices.by_visits[static_cast<size_t>(visits)];
      RC_ASSERT(schedule.water_m3 == ByCuttingTheYear(year, needed, visits));
      RC_ASSERT(HoldsThroughout(parts, choices, schedule));
    }
    RC_ASSERT(choices.unchanged.changes == 0);
    RC_ASSERT(choices.two_changes.water_m3 == choices.by_visits[2].water_m3);
    RC_ASSERT(!choices.percentage.exists());
  }));
}

TEST(ChoicesOf, NeverReturnWhatWasNotJudgedToHold) {
  EXPECT_TRUE(rc::check([] {
    const auto year = FourSeasons();
    std::vector<int> needed;
    for (size_t p = 0; p < year.size(); ++p) needed.push_back(*rc::gen::inRange(0, 60));
    FakeParts parts(year, needed);
    // Some settings fail where monotony says they should hold, and the quick look errs.
    const int salt = *rc::gen::inRange(1, 1000);
    parts.fails_all_the_same = [&](size_t p, const TimerSettings& settings) {
      const int minutes = static_cast<int>(parts.Minutes(settings));
      return minutes != needed[p] && (minutes * 7 + static_cast<int>(p) * 13 + salt) % 3 == 0;
    };
    parts.seems_wrong_by = *rc::gen::inRange(-5, 6);
    const DeviceChoices choices = ChoicesOf(parts, year, {});
    RC_ASSERT(choices.exists());
    for (const ChangeSchedule& schedule : choices.by_visits) {
      RC_ASSERT(!schedule.exists() || HoldsThroughout(parts, choices, schedule));
      for (size_t p = 0; p < schedule.candidate.size(); ++p)
        RC_ASSERT(choices.outcomes.contains({schedule.candidate[p], p}));
    }
    for (const ChangeSchedule* schedule : {&choices.unchanged, &choices.two_changes, &choices.percentage})
      RC_ASSERT(!schedule->exists() || HoldsThroughout(parts, choices, *schedule));
  }));
}

TEST(ChoicesOf, TurnThePercentageToTheLeastStepThatHolds) {
  const auto year = TwelveMonths();
  const std::vector<int> needed = {10, 15, 28, 40, 40, 31, 20, 12, 8, 6, 6, 8};
  FakeParts parts(year, needed);
  const DeviceChoices choices = ChoicesOf(parts, year, {});
  ASSERT_TRUE(choices.percentage.exists());
  ASSERT_TRUE(HoldsThroughout(parts, choices, choices.percentage));
  for (size_t p = 0; p < year.size(); ++p) {
    const TimerSettings& settings = choices.candidates[choices.percentage.candidate[p]];
    EXPECT_TRUE(settings == FakeParts::Settings(40) ||
                DifferOnlyInPercent(settings, FakeParts::Settings(40)));
    const auto less = AtPercent(parts.form, settings, PercentOf(settings) - 10);
    EXPECT_TRUE(!less || parts.Judge(p, *less, 0).sureness < 0.9) << year[p].name;
  }
}

TEST(ChoicesOf, GoAPercentageUpWhereTheQuickLookWasTooHopeful) {
  const auto year = FourSeasons();
  FakeParts parts(year, {20, 40, 20, 20});
  parts.seems_wrong_by = -4;
  const DeviceChoices choices = ChoicesOf(parts, year, {});
  ASSERT_TRUE(choices.percentage.exists());
  EXPECT_TRUE(HoldsThroughout(parts, choices, choices.percentage));
  EXPECT_EQ(PercentOf(choices.candidates[choices.percentage.candidate[0]]), 50);
}

TEST(ChoicesOf, AskForLittleOfWhatMightBeAsked) {
  const auto year = TwelveMonths();
  const std::vector<int> needed = {10, 15, 28, 40, 40, 31, 20, 12, 8, 6, 6, 8};
  FakeParts parts(year, needed);
  const DeviceChoices choices = ChoicesOf(parts, year, {});
  EXPECT_EQ(parts.plans, 12);
  EXPECT_LT(parts.judgements, static_cast<int>(12 * choices.candidates.size()) * 2 / 3);
}

TEST(ChoicesOf, AreOffInFrostAndTwoChangesForIt) {
  const std::set<int> frost = {12, 1, 2};
  const auto year = FourSeasons(CutsAt(frost));
  FakeParts parts(year, std::vector<int>(year.size(), 10));
  const DeviceChoices choices = ChoicesOf(parts, year, {.frost = {frost, "road office"}});
  EXPECT_EQ(parts.plans, 4);
  EXPECT_FALSE(choices.by_visits[0].exists());
  EXPECT_EQ(choices.unchanged.changes, 2);
  for (size_t p = 0; p < year.size(); ++p) {
    const TimerSettings& settings = choices.candidates[choices.unchanged.candidate[p]];
    EXPECT_EQ(settings.on, !LiesIn(year[p], frost)) << year[p].name;
    if (settings.on) continue;
    EXPECT_LT(choices.outcomes.at({choices.unchanged.candidate[p], p}).sureness, 0.9);
  }
}

TEST(ChoicesOf, TakeAPartThatNothingHoldsOnTheHardestPartsSettings) {
  const auto year = FourSeasons();
  FakeParts parts(year, {12, -1, 15, 10});
  const DeviceChoices choices = ChoicesOf(parts, year, {});
  ASSERT_TRUE(choices.exists());
  EXPECT_EQ(choices.states[1], PartState::kNotHeld);
  for (const ChangeSchedule& schedule : choices.by_visits)
    EXPECT_EQ(choices.candidates[schedule.candidate[1]], FakeParts::Settings(15));
  FakeParts never(year, {-1, -1, -1, -1});
  EXPECT_FALSE(ChoicesOf(never, year, {}).exists());
}

TEST(ChoicesOf, KeepARuleThatHoldsInOnePartOnly) {
  const auto year = FourSeasons();
  FakeParts parts(year, {20, 40, 20, 10});
  parts.form.percent_scope = PercentScope::kNone;
  // Summer's settings break a rule in winter, as a clock that does not follow the change may.
  parts.forbidden = [](size_t part, const TimerSettings& settings) {
    return part == 2 && settings == FakeParts::Settings(40);
  };
  const DeviceChoices choices = ChoicesOf(parts, year, {});
  EXPECT_FALSE(choices.by_visits[0].exists());
  EXPECT_NE(choices.candidates[choices.by_visits[2].candidate[2]], FakeParts::Settings(40));
}

TEST(ChoicesOf, HoldWhatIsKeyedNowAgainstTheRest) {
  const auto year = FourSeasons();
  FakeParts parts(year, {20, 40, 20, 10});
  ChoiceOptions options;
  options.present = FakeParts::Settings(38);
  // 38 minutes is less than 40 by less than a tenth: asked, and found not to hold in summer.
  const DeviceChoices choices = ChoicesOf(parts, year, options);
  EXPECT_EQ(choices.candidates[choices.unchanged.candidate[0]], FakeParts::Settings(40));
  EXPECT_TRUE(std::find(choices.candidates.begin(), choices.candidates.end(), FakeParts::Settings(38)) !=
              choices.candidates.end());
}

}  // namespace
}  // namespace lastreach
