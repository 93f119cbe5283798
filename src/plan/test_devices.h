#pragma once

#include "plan/facts.h"
#include "plan/numbers.h"

// Made-up devices for the tests of this room: nothing here is measured anywhere.
namespace lastreach {

// A timer of three programmes of four starts, keyed to the minute, with every day pattern.
inline ControllerForm RichForm() {
  ControllerForm form;
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
  form.day_patterns = {
      {DayPatternKind::kWeekdays, DayPatternKind::kOdd, DayPatternKind::kEven, DayPatternKind::kEveryN}};
  form.odd_skips_31st = false;
  form.every_n_max = 30;
  form.follows_clock_change = false;
  form.overlap = Overlap::kQueue;
  return form;
}

// A timer so plain that everything it can be keyed to can be listed: starts every four hours.
inline ControllerForm SmallForm(int programmes, int starts, int minutes_step, int minutes_max) {
  ControllerForm form = RichForm();
  form.programmes = programmes;
  form.starts_per_programme = starts;
  form.start_step_minutes = 240;
  form.minutes_min = minutes_step;
  form.minutes_max = minutes_max;
  form.minutes_step = minutes_step;
  form.every_n_max = 4;
  return form;
}

template <typename T>
Sourced<T> From(OriginKind kind, T value) {
  Sourced<T> sourced{value, {}};
  sourced.origin.kind = kind;
  return sourced;
}
template <typename T>
Sourced<T> Measured(T value) {
  return From(OriginKind::kMeasured, value);
}
template <typename T>
Sourced<T> Typed(T value) {
  return From(OriginKind::kTyped, value);
}

// 150 mm of plastic main, 1.0 mg/L at its head, 0.4 wanted, 0.6 1/d lost at 25 C, 3 L/s flushed.
inline DeviceFacts MadeUpDevice(int services, double length_m) {
  DeviceFacts facts;
  facts.point.code = PointCode("T01");
  facts.point.kind = PointKind::kDevice;
  facts.point.discharge = DischargeTo::kGround;
  facts.point.flow = Measured(Flow::LitresPerSecond(3));
  facts.form = RichForm();
  ReachPipe pipe;
  pipe.length = Measured(Length::Metres(length_m));
  pipe.inner_diameter = Measured(Diameter::Millimetres(150));
  pipe.material = "PVC";
  pipe.services = Typed(services);
  facts.reach.pipes.push_back(pipe);
  facts.supply.name = "Invented";
  facts.supply.target_residual = Typed(Concentration::MilligramsPerLitre(0.4));
  facts.supply.upstream_residual = Measured(Concentration::MilligramsPerLitre(1.0));
  facts.supply.bulk_per_day_at_20c = Measured(0.4);
  facts.supply.wall_m_per_day = Typed(0.0);
  facts.supply.worst_week = Measured(Temperature::Celsius(25));
  facts.supply.demand_per_service = Measured(Flow::LitresPerSecond(0.004));
  return facts;
}

// Four weeks of June in a zone without clock changes, so that every set of three weekdays has twelve days.
inline PlanOptions FourWeeks() {
  PlanOptions options;
  options.from = Date(std::chrono::year(2026), std::chrono::month(6), std::chrono::day(1));
  options.to = AddDays(options.from, 28);
  options.season = "June 2026";
  return options;
}

inline Limit Rule(LimitRule rule) { return {{}, LimitScope::kPoint, "T01", std::move(rule), "made up"}; }

}  // namespace lastreach
