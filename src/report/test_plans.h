#pragma once

#include <cmath>

#include "core/zone.h"
#include "plan/device_plan.h"

namespace lastreach {

// Made by hand for the tests of this room: an invented town, plausible numbers, nothing computed.

inline Date TestDate(int year, unsigned month, unsigned day) {
  return Date(std::chrono::year(year), std::chrono::month(month), std::chrono::day(day));
}

inline MinuteInstant TestMoment(int year, unsigned month, unsigned day, int hour_utc, int minute) {
  return std::chrono::sys_days(TestDate(year, month, day)) + std::chrono::hours(hour_utc) +
         std::chrono::minutes(minute);
}

inline ControllerForm TestForm() {
  ControllerForm form;
  form.name = "two-dial";
  form.programmes = 3;
  form.starts_per_programme = 4;
  form.start_step_minutes = 5;
  form.minutes_min = 1;
  form.minutes_max = 360;
  form.minutes_step = 1;
  form.percent_min = 10;
  form.percent_max = 200;
  form.percent_step = 10;
  form.percent_scope = PercentScope::kAll;
  form.follows_clock_change = false;
  return form;
}

// A saw: falls from `high` at `rate_per_day`, back up every `period_h`.
inline ResidualSeries TestSeries(double high, double rate_per_day, double period_h, MinuteInstant begin) {
  ResidualSeries series;
  series.begin = begin;
  for (double hour = 0; hour <= 14 * 24; hour += 0.5) {
    series.hours.push_back(hour);
    series.mg_per_l.push_back(high * std::exp(-rate_per_day * std::fmod(hour, period_h) / 24));
  }
  return series;
}

inline Outcome TestOutcome(double lowest, double water_m3_per_day, double runs_per_day, double gap_h,
                           MinuteInstant when) {
  Outcome outcome;
  outcome.lowest_mg_per_l = lowest;
  outcome.middle_lowest_mg_per_l = lowest + 0.1;
  outcome.lowest_at = {7, "service 7 of 12"};
  outcome.lowest_when = when;
  outcome.sureness = lowest > 0.4 ? 0.93 : 0.2;
  outcome.water_m3_per_day = water_m3_per_day;
  outcome.runs_per_day = runs_per_day;
  outcome.longest_gap_h = gap_h;
  outcome.runs_per_year = static_cast<int>(365 * runs_per_day);
  return outcome;
}

inline DevicePlan TestDevice() {
  const MinuteInstant begin = TestMoment(2026, 7, 6, 5, 0);
  DevicePlan device;
  device.point.code = PointCode("FP-014");
  device.point.kind = PointKind::kDevice;
  device.point.place = "End of Heron Lane, at no. 27";
  device.point.supply_zone = "East";
  device.point.controller = "two-dial";
  device.point.flow =
      Sourced<Flow>{Flow::GallonsPerMinute(60), {OriginKind::kMeasured, "R. Doe", {}, "drum"}};
  device.point.discharge = DischargeTo::kStormDrain;
  device.point.isolation_valve = "2 m left of the hydrant, 14 turns";
  device.form = TestForm();
  device.verdict = Verdict::kChange;
  device.target_mg_per_l = 0.4;
  device.asked_sureness = 0.9;
  device.settings = {true, 100, {{{70, 790}, 12, kEveryWeekday, {}}}};
  device.present = TimerSettings{true, 130, {{{70}, 30, Weekdays{0x15}, {}}, {{300}, 5, OddDates{}, {}}}};
  device.planned_outcome = TestOutcome(0.45, 5.4, 2, 12, begin);
  device.present_outcome = TestOutcome(0.12, 9.8, 0.9, 72, begin);
  device.planned_series = TestSeries(0.9, 0.9, 12, begin);
  device.present_series = TestSeries(1.0, 0.9, 56, begin);
  device.bound_m3_per_day = 4.1;
  device.reach = {28.3, 430, 12, 2.4, 1.2, 0.9, 26};
  device.binds = {"service 7 of 12, on Sunday before the 01:10 run",
                  "no run between 07:15 and 09:00 (school)"};
  device.reasons = {"Three days pass without a run from Friday to Monday.",
                    "Two short runs a day hold more than one long one with less water."};
  device.assumed = {"pipe diameter taken as 6 in (nobody measured it)", "demand 0.2 m3 a day a service"};
  device.cautions = {"The sprinklers of the park start at 03:00; do not move the first start later."};
  device.next_runs = {{TestMoment(2026, 7, 1, 7, 10), 12, 1},
                      {TestMoment(2026, 7, 1, 19, 10), 12, 1},
                      {TestMoment(2026, 7, 2, 7, 10), 12, 1}};
  device.volume_a_run = Volume::Gallons(720);
  device.fast_clock_minutes = 7;
  return device;
}

inline SystemPlan TestPlan(const std::vector<DevicePlan>& devices) {
  SystemPlan plan;
  plan.zone = "America/Chicago";
  plan.from = TestDate(2026, 7, 1);
  plan.to = TestDate(2026, 10, 1);
  plan.season = "summer 2026";
  plan.devices = devices;
  for (const DevicePlan& device : devices) {
    if (device.planned_outcome) plan.planned_m3_per_day += device.planned_outcome->water_m3_per_day;
    if (device.present_outcome) plan.present_m3_per_day += device.present_outcome->water_m3_per_day;
    plan.bound_m3_per_day += device.bound_m3_per_day;
  }
  return plan;
}

}  // namespace lastreach
