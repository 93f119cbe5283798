#include "report/week_calendar.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <random>
#include <set>

#include "report/running_together.h"
#include "report/test_pages.h"
#include "report/test_plans.h"

namespace lastreach {
namespace {

using testing::HasSubstr;

const Zone kChicago = *Zone::Find("America/Chicago");

SheetOptions Options(Paper paper) {
  SheetOptions options;
  options.paper = paper;
  options.printed_on = TestDate(2026, 6, 22);
  return options;
}

DevicePlan Device(const std::string& code, const TimerSettings& settings) {
  DevicePlan device = TestDevice();
  device.point.code = PointCode(code);
  device.settings = settings;
  return device;
}

TEST(RunsTogether, FindsWhoSharesMinutes) {
  const DevicePlan a = Device("A", {true, 100, {{{60}, 30, kEveryWeekday, {}}}});
  const DevicePlan b = Device("B", {true, 100, {{{80}, 30, Weekdays{0x01}, {}}}});  // Mondays
  const DevicePlan c = Device("C", {true, 100, {{{90}, 30, Weekdays{0x02}, {}}}});  // begins as A ends
  const WeekTogether week = RunsTogether(TestPlan({a, b, c}), kChicago);
  ASSERT_EQ(week.pairs.size(), 1u);
  EXPECT_EQ(week.pairs[0].code, "A");
  EXPECT_EQ(week.pairs[0].other_code, "B");
  EXPECT_EQ(week.pairs[0].span, (ClockSpan{140, 150}));  // an hour later in summer
  EXPECT_EQ(week.pairs[0].minutes, 10);
  EXPECT_EQ(week.most_at_once[139], 1);
  EXPECT_EQ(week.most_at_once[140], 2);
  EXPECT_EQ(week.most_at_once[150], 1);
  EXPECT_EQ(week.most_at_once[120 - 1], 0);
}

// By walking through every minute of the week with a set of those that run.
TEST(RunsTogether, AgreesWithLookingAtEveryMinute) {
  std::mt19937 random(7);
  for (int round = 0; round < 20; ++round) {
    std::vector<DevicePlan> devices;
    for (int d = 0; d < 5; ++d) {
      TimerSettings settings{true, 100, {{{}, static_cast<int>(random() % 200 + 1), {}, {}}}};
      settings.programmes[0].days = Weekdays{static_cast<unsigned>(random() % 127 + 1)};
      for (int i = 0; i < 3; ++i)
        settings.programmes[0].starts_min.push_back(static_cast<int>(random() % 1440));
      devices.push_back(Device(std::to_string(d), settings));
      devices.back().form.follows_clock_change = true;
      devices.back().form.overlap = Overlap::kMerge;
    }
    const SystemPlan plan = TestPlan(devices);
    const WeekTogether week = RunsTogether(plan, kChicago);
    const Date monday = TestDate(2026, 7, 6);
    std::vector<std::set<size_t>> running(8 * 1440);
    for (size_t d = 0; d < devices.size(); ++d) {
      for (const lastreach::Run& run : ExpandRuns(devices[d].form, devices[d].settings, kChicago,
                                                  {monday, AddDays(monday, 7)}, {true, 0})) {
        const auto since =
            std::chrono::floor<std::chrono::minutes>(kChicago.ToLocal(run.start) - Midnight(monday));
        for (int i = 0; i < run.minutes; ++i) running[static_cast<size_t>(since.count() + i)].insert(d);
      }
    }
    std::map<std::pair<std::string, std::string>, int> shared;
    std::array<int, 1440> most{};
    for (size_t minute = 0; minute < running.size(); ++minute) {
      most[minute % 1440] = std::max(most[minute % 1440], static_cast<int>(running[minute].size()));
      for (const size_t a : running[minute]) {
        for (const size_t b : running[minute]) {
          if (a < b) ++shared[{std::to_string(a), std::to_string(b)}];
        }
      }
    }
    EXPECT_EQ(week.most_at_once, most);
    EXPECT_EQ(week.pairs.size(), shared.size());
    for (const Together& pair : week.pairs) EXPECT_EQ(pair.minutes, (shared[{pair.code, pair.other_code}]));
  }
}

TEST(WeekCalendar, HasALaneForEveryDeviceAndKindOfDay) {
  const TestFolder folder;
  DevicePlan off = Device("FP-9", {false, 100, {}});
  DevicePlan found = Device("FP-3", {});
  found.verdict = Verdict::kCannotHold;  // runs on as found: two kinds of day
  const SystemPlan plan = TestPlan({TestDevice(), found, off});
  ASSERT_TRUE(WriteWeekCalendar(plan, Options(Paper::kLetter), folder / "week.pdf").ok());
  const std::string words = WordsOf(folder / "week.pdf");
  EXPECT_THAT(words, HasSubstr("Who runs when, summer 2026"));
  EXPECT_THAT(words, HasSubstr("FP-014 every day"));
  EXPECT_THAT(words, HasSubstr("FP-3 Mon, Wed and Fri"));
  EXPECT_THAT(words, HasSubstr("odd dates"));
  EXPECT_THAT(words, HasSubstr("No runs, or none known: FP-9."));
  EXPECT_THAT(words, HasSubstr("At the same time run FP-014 with FP-3 (2:10 to 2:22 in the morning)."));
}

TEST(WeekCalendar, TakesManyDevicesAndClockChanges) {
  const TestFolder folder;
  SystemPlan plan = TestPlan(std::vector<DevicePlan>(70, TestDevice()));
  plan.to = TestDate(2026, 12, 1);
  for (const Paper paper : {Paper::kA4, Paper::kLetter}) {
    const Status status = WriteWeekCalendar(plan, Options(paper), folder / "week.pdf");
    ASSERT_TRUE(status.ok()) << status.error().ToString();
    EXPECT_THAT(WordsOf(folder / "week.pdf"), HasSubstr("Clocks change within this season"));
  }
  SystemPlan empty = TestPlan({});
  ASSERT_TRUE(WriteWeekCalendar(empty, Options(Paper::kA4), folder / "none.pdf").ok());
  EXPECT_THAT(WordsOf(folder / "none.pdf"), HasSubstr("No two devices run at the same time."));
}

}  // namespace
}  // namespace lastreach
