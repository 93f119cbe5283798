#include "year/turned_settings.h"

#include <gtest/gtest.h>

#include "plan/test_devices.h"

namespace lastreach {
namespace {

TimerSettings TwoProgrammes() {
  TimerSettings settings;
  settings.programmes = {{{70, 400}, 20, EveryNDays{3, *ParseDate("2026-06-04")}, {}},
                         {{900}, 10, kEveryWeekday, {}}};
  return settings;
}

TEST(FirstDays, GoAndComeWithTheDayOfKeying) {
  const TimerSettings bare = WithoutFirstDays(TwoProgrammes());
  EXPECT_EQ(std::get<EveryNDays>(bare.programmes[0].days).from, std::nullopt);
  EXPECT_EQ(KeyedOn(*ParseDate("2026-06-04"), bare), TwoProgrammes());
}

TEST(AtPercent, TurnsTheWholeTimerOrEachProgramme) {
  ControllerForm form = RichForm();
  const auto all = AtPercent(form, TwoProgrammes(), 50);
  ASSERT_TRUE(all);
  EXPECT_EQ(all->percent, 50);
  EXPECT_EQ(EffectiveMinutes(form, *all, all->programmes[0]), 10);
  form.percent_scope = PercentScope::kEach;
  const auto each = AtPercent(form, TwoProgrammes(), 50);
  ASSERT_TRUE(each);
  EXPECT_EQ(each->percent, 100);
  EXPECT_EQ(EffectiveMinutes(form, *each, each->programmes[1]), 5);
  EXPECT_EQ(PercentOf(*all), 50);
  EXPECT_EQ(PercentOf(*each), 50);
  EXPECT_TRUE(DifferOnlyInPercent(*all, TwoProgrammes()));
  EXPECT_TRUE(DifferOnlyInPercent(*each, TwoProgrammes()));
  EXPECT_FALSE(DifferOnlyInPercent(*all, *StepLonger(form, TwoProgrammes())));
}

TEST(AtPercent, IsNotThereWhereTheTimerHasNone) {
  ControllerForm form = RichForm();
  EXPECT_FALSE(AtPercent(form, TwoProgrammes(), 55));
  EXPECT_FALSE(AtPercent(form, TwoProgrammes(), 210));
  EXPECT_EQ(PercentsUpTo100(form, TwoProgrammes()),
            (std::vector<int>{10, 20, 30, 40, 50, 60, 70, 80, 90, 100}));
  form.percent_step.reset();
  EXPECT_FALSE(AtPercent(form, TwoProgrammes(), 50));
  form = RichForm();
  form.percent_scope = PercentScope::kNone;
  EXPECT_TRUE(PercentsUpTo100(form, TwoProgrammes()).empty());
}

TEST(StepLonger, StopsAtTheMostTheTimerTakes) {
  ControllerForm form = RichForm();
  EXPECT_EQ(StepLonger(form, TwoProgrammes())->programmes[1].minutes, 11);
  form.minutes_max = 20;
  EXPECT_FALSE(StepLonger(form, TwoProgrammes()));
}

}  // namespace
}  // namespace lastreach
