#include "report/changes.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "report/cautions.h"
#include "report/test_plans.h"

namespace lastreach {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

std::vector<std::string> Changes(const TimerSettings& present, const TimerSettings& planned) {
  return ChangesBetween(TestForm(), present, planned, SheetUnits::kMetric);
}

TEST(ChangesBetween, NamesEveryDifferenceOnceInShortSentences) {
  const DevicePlan device = TestDevice();
  EXPECT_THAT(Changes(*device.present, device.settings),
              ElementsAre("Percentage 130 % back to 100 %", "Programme 1: start 13:10 added",
                          "Programme 1: minutes 30 → 12", "Programme 1: days Mon, Wed, Fri → every day",
                          "Programme 2: off"));
}

TEST(ChangesBetween, SaysNothingWhenOnlyTheOrderOfKeyingDiffers) {
  const TimerSettings one{true, 100, {{{70, 790}, 12, kEveryWeekday, {}}}};
  const TimerSettings other{true, 100, {{{790, 70}, 12, kEveryWeekday, {}}, {{}, 30, OddDates{}, {}}}};
  EXPECT_THAT(Changes(one, other), IsEmpty());
}

TEST(ChangesBetween, CallsAMovedStartMoved) {
  const TimerSettings one{true, 100, {{{70, 790}, 12, kEveryWeekday, {}}}};
  const TimerSettings other{true, 100, {{{130, 790}, 12, kEveryWeekday, {}}}};
  EXPECT_THAT(Changes(one, other), ElementsAre("Programme 1: start 01:10 → 02:10"));
}

TEST(ChangesBetween, NamesStateAndNewProgrammes) {
  const TimerSettings off{false, 100, {}};
  const TimerSettings on{true, 100, {{{70}, 12, kEveryWeekday, {}}}};
  EXPECT_THAT(Changes(off, on), ElementsAre("Turn it ON; it was OFF", "Programme 1: newly used"));
}

TEST(ChangesBetween, ComparesThePercentageThatRunsWhereEachProgrammeHasItsOwn) {
  ControllerForm form = TestForm();
  form.percent_scope = PercentScope::kEach;
  const TimerSettings one{true, 130, {{{70}, 12, kEveryWeekday, {}}, {{300}, 5, kEveryWeekday, 80}}};
  const TimerSettings other{true, 100, {{{70}, 12, kEveryWeekday, 130}, {{300}, 5, kEveryWeekday, {}}}};
  EXPECT_THAT(ChangesBetween(form, one, other, SheetUnits::kMetric),
              ElementsAre("Programme 2: percentage 80 % back to 100 %"));
  form.percent_scope = PercentScope::kNone;
  EXPECT_THAT(ChangesBetween(form, one, other, SheetUnits::kMetric), IsEmpty());
}

TEST(ChangesBetween, SaysNothingExactlyWhenTheSameWouldRun) {
  const std::vector<TimerSettings> all = {
      {true, 100, {{{70}, 12, kEveryWeekday, {}}}},
      {true, 110, {{{70}, 12, kEveryWeekday, {}}}},
      {false, 100, {{{70}, 12, kEveryWeekday, {}}}},
      {true, 100, {{{75}, 12, kEveryWeekday, {}}}},
      {true, 100, {{{70}, 13, kEveryWeekday, {}}}},
      {true, 100, {{{70}, 12, Weekdays{0x1F}, {}}}},
      {true, 100, {{{70}, 12, EveryNDays{3, {}}, {}}}},
      {true, 100, {{{70, 70}, 12, kEveryWeekday, {}}}},
      {true, 100, {}},
  };
  for (size_t i = 0; i < all.size(); ++i) {
    for (size_t j = 0; j < all.size(); ++j)
      EXPECT_EQ(Changes(all[i], all[j]).empty(), i == j) << i << " " << j;
  }
}

TEST(Cautions, FitTheOutletAndTheVerdict) {
  DevicePlan device = TestDevice();
  EXPECT_THAT(CautionsFor(device), Contains(HasSubstr("storm drain: dechlorinate")));
  EXPECT_THAT(CautionsFor(device), Not(Contains(HasSubstr("creek"))));
  device.point.discharge = DischargeTo::kRoad;
  EXPECT_THAT(CautionsFor(device), Contains(HasSubstr("frost")));
  EXPECT_THAT(CautionsFor(device), Not(Contains(HasSubstr("percentage"))));
  device.settings.percent = 130;
  EXPECT_THAT(CautionsFor(device), Contains(HasSubstr("percentage")));
  device.verdict = Verdict::kFlushingIsNotTheAnswer;
  EXPECT_THAT(CautionsFor(device), Contains(HasSubstr("source, the tank and the valves")));
}

TEST(Cautions, LeaveTheOutletToThePlanWhereItNamesIt) {
  DevicePlan device = TestDevice();
  device.cautions = {"The water reaches a storm drain: dechlorinate, and check the dose where it enters."};
  EXPECT_THAT(CautionsFor(device), Not(Contains(HasSubstr("before the inlet"))));
  device.point.discharge = DischargeTo::kUnknown;
  EXPECT_THAT(CautionsFor(device), Contains(HasSubstr("follow it to its end")));
}

TEST(Cautions, WarnOfTheCalendarOnlyWhereWhatIsKeyedStays) {
  DevicePlan device = TestDevice();
  device.calendar_warnings = {"even dates: three days pass without a run"};
  EXPECT_THAT(CautionsFor(device), Not(Contains(HasSubstr("three days pass"))));
  device.verdict = Verdict::kKeep;
  EXPECT_THAT(CautionsFor(device), Contains(HasSubstr("three days pass")));
}

TEST(Cautions, AreNotRepeated) {
  DevicePlan device = TestDevice();
  device.verdict = Verdict::kKeep;
  device.calendar_warnings = device.cautions;
  const auto cautions = CautionsFor(device);
  EXPECT_EQ(std::count(cautions.begin(), cautions.end(), device.cautions[0]), 1);
}

}  // namespace
}  // namespace lastreach
