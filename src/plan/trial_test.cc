#include "plan/trial.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "calendar/minute_oracle.h"
#include "plan/search.h"
#include "plan/test_devices.h"
#include "quality/particle_oracle.h"

// Against a timer walked minute by minute and parcels of water pushed along the pipe.
namespace lastreach {
namespace {

using std::chrono::minutes;

struct Bracket {
  double below = std::numeric_limits<double>::infinity();
  double above = std::numeric_limits<double>::infinity();
};

// What the drive is at each minute, with nothing summed up or looked ahead.
BranchDrive DriveMinuteByMinute(const ReachModel& model, const std::vector<Run>& runs, const Zone& zone,
                                MinuteInstant begin, MinuteInstant end) {
  BranchDrive drive;
  for (MinuteInstant now = begin; now < end; now += minutes(1)) {
    const LocalTime local = zone.ToLocal(Instant(now));
    const auto hour =
        std::chrono::floor<std::chrono::hours>(local - std::chrono::floor<std::chrono::days>(local)).count();
    const bool open = std::any_of(runs.begin(), runs.end(),
                                  [now](const Run& run) { return run.start <= now && now < run.end(); });
    drive.time_s.push_back(static_cast<double>((now - begin).count()) * 60);
    drive.demand_factor.push_back(kHouseholdHours[hour]);
    drive.end_flow_m3_per_s.push_back(open ? model.flow_m3_per_s : 0);
  }
  drive.time_s.push_back(static_cast<double>((end - begin).count()) * 60);
  drive.root_mg_per_l.assign(drive.time_s.size(), model.upstream_mg_per_l);
  return drive;
}

// What standing or passing water loses in the segment before a tap up to each minute, from the beginning on.
std::vector<double> LossByMinute(const ReachModel& model, const BranchDrive& drive, size_t tap) {
  double beyond = 0;
  for (size_t j = tap; j < model.branch.segments.size(); ++j)
    beyond += model.branch.segments[j].tap_demand_m3_per_s;
  const BranchSegment& s = model.branch.segments[tap];
  std::vector<double> lost = {0};
  for (size_t i = 0; i < drive.steps(); ++i) {
    const double flow = drive.demand_factor[i] * beyond + drive.end_flow_m3_per_s[i];
    const double wall =
        flow > 0 ? FlowingWallRate_per_s(s.length_m, s.diameter_m, flow, s.wall_m_per_s, model.kinetics) : 0;
    lost.push_back(lost.back() + (s.bulk_per_s + wall) * 60);
  }
  return lost;
}

// The lowest residual lies between these. Above: no parcel that met a judged tap had less. Below: water that
// met the tap between two parcels is behind the first, so at the second's meeting it is no older than the
// first would have been there.
Bracket LowestByParcels(const ControllerForm& form, const TimerSettings& settings, const ReachModel& model,
                        const Zone& zone, DateWindow window, int fast_min, int warm_up_days) {
  const DateWindow whole{AddDays(window.from, -warm_up_days), window.to};
  const auto moment = [&](Date date) {
    return std::chrono::floor<minutes>(zone.FirstInstant(Midnight(date)));
  };
  const auto runs = RunsByWalkingEveryMinute(form, settings, zone, whole,
                                             {form.follows_clock_change.value_or(false), fast_min});
  const MinuteInstant begin = moment(whole.from);
  const BranchDrive drive = DriveMinuteByMinute(model, runs, zone, begin, moment(whole.to));
  const auto from_s = static_cast<double>((moment(window.from) - begin).count()) * 60;
  const std::vector<Crossing> met = PushParcels(model.branch, drive, 60, model.kinetics);

  Bracket bracket;
  for (const size_t tap : model.judged) {
    const std::vector<double> lost = LossByMinute(model, drive, tap);
    const auto at = [&lost](double time_s) {
      const auto minute = std::min(static_cast<size_t>(time_s / 60), lost.size() - 2);
      return std::lerp(lost[minute], lost[minute + 1], time_s / 60 - static_cast<double>(minute));
    };
    const Crossing* last = nullptr;
    for (const Crossing& crossing : met) {
      if (crossing.tap != tap) continue;
      if (last != nullptr && crossing.time_s >= from_s) {
        const double loss = last->log_loss + at(crossing.time_s) - at(last->time_s);
        bracket.below = std::min(bracket.below, model.upstream_mg_per_l * std::exp(-loss));
      }
      if (crossing.time_s >= from_s) {
        bracket.above = std::min(bracket.above, model.upstream_mg_per_l * std::exp(-crossing.log_loss));
      }
      last = &crossing;
    }
  }
  return bracket;
}

struct Reach {
  const char* name;
  int services;
  double length_m;
  double wall_m_per_day;
};
constexpr Reach kReaches[] = {{"no services", 0, 200, 0},
                              {"one service", 1, 150, 0},
                              {"three services", 3, 400, 0},
                              {"three services, iron", 3, 250, 0.3},
                              {"twelve services", 12, 600, 0}};

PlanningNumbers NumbersOf(const Reach& reach) {
  DeviceFacts facts = MadeUpDevice(reach.services, reach.length_m);
  facts.supply.wall_m_per_day = Typed(reach.wall_m_per_day);
  return *GatherNumbers(facts, FourWeeks());
}

TimerSettings TwiceADay() {
  TimerSettings settings;
  settings.programmes = {{{95, 700}, 20, kEveryWeekday, {}}, {{1000}, 35, Weekdays{0b0010101}, {}}};
  return settings;
}

TEST(Trial, FindsTheLowestThatParcelsOfWaterFind) {
  const Zone chicago = *Zone::Find("America/Chicago");
  for (const Reach& reach : kReaches) {
    for (const char* date : {"2026-06-03", "2026-10-31"}) {  // the second over a change of the clock
      for (const int fast_min : {0, 60}) {
        SCOPED_TRACE(std::string(reach.name) + " " + date + " clock fast by " + std::to_string(fast_min));
        const PlanningNumbers numbers = NumbersOf(reach);
        const ReachModel model = ModelReach(numbers, {});
        const DateWindow window{*ParseDate(date), AddDays(*ParseDate(date), 3)};
        Trial trial(RichForm(), chicago, numbers);
        const int clocks[] = {fast_min};
        const double lowest = trial.Lowest(TwiceADay(), model, window, clocks).mg_per_l;
        const Bracket bracket = LowestByParcels(RichForm(), TwiceADay(), model, chicago, window, fast_min, 6);
        // With walls the water behind the first parcel may lose a little faster, nearer the main.
        EXPECT_GE(lowest, bracket.below * (1 - (reach.wall_m_per_day > 0 ? 5e-3 : 1e-9)));
        EXPECT_LE(lowest, bracket.above * (1 + 1e-9));
        EXPECT_LT(bracket.above - bracket.below, 0.02) << "the parcels say too little to be a check";
      }
    }
  }
}

TEST(Trial, HoldsJustBelowTheLowestAndNotJustAbove) {
  for (const Reach& reach : kReaches) {
    SCOPED_TRACE(reach.name);
    PlanningNumbers numbers = NumbersOf(reach);
    const ReachModel model = ModelReach(numbers, {});
    const DateWindow window{*ParseDate("2026-06-03"), *ParseDate("2026-06-10")};
    const double lowest =
        Trial(RichForm(), Zone::Utc(), numbers).Lowest(TwiceADay(), model, window, kClockErrors_min).mg_per_l;
    ASSERT_GT(lowest, 0.05);
    numbers.target_mg_per_l = lowest * (1 - 1e-9);
    EXPECT_TRUE(Trial(RichForm(), Zone::Utc(), numbers).Holds(TwiceADay(), model, {window}));
    numbers.target_mg_per_l = lowest * (1 + 1e-9);
    EXPECT_FALSE(Trial(RichForm(), Zone::Utc(), numbers).Holds(TwiceADay(), model, {window}));
  }
}

TEST(Trial, SeesTheClockAnHourOutEitherWay) {
  const PlanningNumbers numbers = NumbersOf(kReaches[2]);
  const ReachModel model = ModelReach(numbers, {});
  const DateWindow window{*ParseDate("2026-06-03"), *ParseDate("2026-06-10")};
  Trial trial(RichForm(), Zone::Utc(), numbers);
  double least = 1e9;
  for (const int fast : kClockErrors_min) {
    const int alone[] = {fast};
    least = std::min(least, trial.Lowest(TwiceADay(), model, window, alone).mg_per_l);
  }
  EXPECT_DOUBLE_EQ(trial.Lowest(TwiceADay(), model, window, kClockErrors_min).mg_per_l, least);
}

TEST(Trial, NeverHoldsWhatTheMainCannotGive) {
  PlanningNumbers numbers = NumbersOf(kReaches[1]);
  numbers.target_mg_per_l = 1.01;
  EXPECT_FALSE(Trial(RichForm(), Zone::Utc(), numbers)
                   .Holds(TwiceADay(), ModelReach(numbers, {}),
                          {{*ParseDate("2026-06-03"), *ParseDate("2026-06-04")}}));
}

// What lets minutes be bisected: seeded settings and reaches without walls, a minute more each time.
TEST(Trial, NeverFindsLessWithMoreMinutes) {
  for (int seed = 0; seed < 40; ++seed) {
    const PlanningNumbers numbers =
        *GatherNumbers(MadeUpDevice(seed % 5, 120 + 37 * (seed % 7)), FourWeeks());
    const ReachModel model = ModelReach(numbers, {});
    const DateWindow window{*ParseDate("2026-06-03"), *ParseDate("2026-06-08")};
    Trial trial(RichForm(), Zone::Utc(), numbers);
    TimerSettings settings;
    settings.programmes = {{{(seed * 97) % 700, 700 + (seed * 53) % 600}, 1, kEveryWeekday, {}}};
    double last = -1;
    for (int length = 4; length <= 40; length += 4) {
      settings.programmes[0].minutes = length;
      const double lowest = trial.Lowest(settings, model, window, kClockErrors_min).mg_per_l;
      EXPECT_GE(lowest, last - 1e-12) << "seed " << seed << " minutes " << length;
      last = lowest;
    }
  }
}

}  // namespace
}  // namespace lastreach
