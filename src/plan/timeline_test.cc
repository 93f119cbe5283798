#include "plan/timeline.h"

#include <gtest/gtest.h>

#include "plan/reach_model.h"
#include "plan/test_devices.h"
#include "plan/trial.h"

// Against DriveOf, which lays out the same runs for one model, and against ExpandRuns for each clock.
namespace lastreach {
namespace {

TimerSettings Mixed() {
  TimerSettings settings;
  settings.programmes = {{{5, 700}, 25, kEveryWeekday, {}},
                         {{1000, 1425}, 12, EveryNDays{3, *ParseDate("2026-01-01")}, {}},
                         {{340}, 9, OddDates{}, {}}};
  return settings;
}

TEST(LaidOut, IsTheDriveThatThoseRunsMake) {
  const Zone chicago = *Zone::Find("America/Chicago");
  const ReachModel model = ModelReach(*GatherNumbers(MadeUpDevice(2, 100), FourWeeks()), {});
  const ControllerForm form = RichForm();
  const TimerSettings settings = Mixed();
  LaidOut::Grids grids(chicago);
  const int clocks[] = {0, -60, 60, 7};
  for (const char* date : {"2026-06-03", "2026-10-31", "2026-11-02", "2026-03-08"}) {
    const DateWindow windows[] = {{*ParseDate(date), AddDays(*ParseDate(date), 3)}};
    LaidOut laid(form, settings, grids, windows, clocks, {});
    for (const int warm_up : {2, 5, 3}) {  // the last is answered with what stands since the second
      for (size_t clock = 0; clock < std::size(clocks); ++clock) {
        SCOPED_TRACE(testing::Message() << date << " warm-up " << warm_up << " clock " << clocks[clock]);
        const Timeline& line = laid.At(0, clock, warm_up);
        const int laid_days = laid.warm_up_days(0, clock);
        EXPECT_GE(laid_days, warm_up);
        const DateWindow whole{AddDays(windows[0].from, -laid_days), windows[0].to};
        const auto moment = [&](Date day) {
          return std::chrono::floor<std::chrono::minutes>(chicago.FirstInstant(Midnight(day)));
        };
        // From a day before, for what runs over midnight into the first day.
        const auto runs =
            ExpandRuns(form, settings, chicago, {AddDays(whole.from, -1), whole.to}, {false, clocks[clock]});
        const BranchDrive drive = DriveOf(model, runs, chicago, moment(whole.from), moment(whole.to));
        ASSERT_EQ(line.time_s, drive.time_s);
        EXPECT_EQ(line.time_s[line.first_judged],
                  static_cast<double>((moment(windows[0].from) - line.begin).count()) * 60);
        double factor_sum = 0;
        double open_sum = 0;
        for (size_t i = 0; i < line.steps(); ++i) {
          const double span = drive.time_s[i + 1] - drive.time_s[i];
          ASSERT_EQ(kHouseholdHours[line.kind[i] / 2], drive.demand_factor[i]) << i;
          ASSERT_EQ(line.kind[i] % 2 != 0, drive.end_flow_m3_per_s[i] > 0) << i;
          factor_sum += drive.demand_factor[i] * span;
          open_sum += drive.end_flow_m3_per_s[i] > 0 ? span : 0;
          ASSERT_DOUBLE_EQ(line.factor_sum_s[i + 1], factor_sum);
          ASSERT_DOUBLE_EQ(line.open_sum_s[i + 1], open_sum);
        }
      }
    }
  }
}

TEST(LaidOut, KeepsTheDaysOfUnknownPhases) {
  TimerSettings settings;
  settings.programmes = {{{120}, 30, EveryNDays{4, {}}, {}}};
  const ControllerForm form = RichForm();
  LaidOut::Grids grids(Zone::Utc());
  const DateWindow windows[] = {{*ParseDate("2026-06-03"), *ParseDate("2026-06-11")}};
  const int right[] = {0};
  for (int phase = 0; phase < 4; ++phase) {
    const std::vector<int> phases = {phase};
    const auto runs = ExpandRuns(form, settings, Zone::Utc(), windows[0], {}, phases);
    LaidOut laid(form, settings, grids, windows, right, phases);
    const Timeline& line = laid.At(0, 0, 5);
    std::vector<MinuteInstant> opened;
    for (size_t i = line.first_judged; i < line.steps(); ++i) {
      if (line.kind[i] % 2 != 0 && line.kind[i - 1] % 2 == 0)
        opened.push_back(line.begin + std::chrono::minutes(static_cast<int64_t>(line.time_s[i] / 60)));
    }
    ASSERT_EQ(opened.size(), runs.size());
    for (size_t i = 0; i < runs.size(); ++i) EXPECT_EQ(opened[i], runs[i].start) << "phase " << phase;
  }
}

}  // namespace
}  // namespace lastreach
