#pragma once

#include "evidence/point_records.h"

namespace lastreach {

// An invented device, and records of it as somebody would write them.

inline Date Day(const char* text) { return *ParseDate(text); }
inline Zone TestZone() { return *Zone::Find("America/Chicago"); }

inline Instant At(const char* day, int hour, int minute = 0) {
  return TestZone().FirstInstant(Midnight(Day(day)) + std::chrono::minutes(60 * hour + minute));
}

inline TimerSettings Keyed(std::vector<int> starts_min, int minutes, DayPattern days = kEveryWeekday,
                           int percent = 100) {
  TimerSettings settings;
  settings.percent = percent;
  settings.programmes.push_back({std::move(starts_min), minutes, days, {}});
  return settings;
}

inline SettingsRecord Recorded(SettingsKind kind, Instant when, const TimerSettings& settings,
                               std::optional<int> fast_min = {}) {
  static int64_t number = 0;
  SettingsRecord record;
  record.id = {++number};
  record.point = PointCode("P1");
  record.kind = kind;
  record.settings = settings;
  record.recorded = when;
  record.clock_fast_minutes = fast_min;
  return record;
}

// 4 L/s, measured; a timer that takes percentages of 10 from 10 to 200 and whose clock follows the change.
inline PointRecords TestPoint() {
  PointRecords records;
  records.zone = TestZone();
  records.point.code = PointCode("P1");
  records.point.kind = PointKind::kDevice;
  records.point.place = "End of Alder Way";
  records.point.meter = "M1";
  records.point.flow =
      Sourced<Flow>{Flow::LitresPerSecond(4), {OriginKind::kMeasured, "a drum and a watch", {}, ""}};
  records.form.name = "grey box";
  records.form.minutes_step = 1;
  records.form.percent_min = 10;
  records.form.percent_max = 200;
  records.form.percent_step = 10;
  records.form.percent_scope = PercentScope::kAll;
  records.form.follows_clock_change = true;
  records.form.overlap = Overlap::kQueue;
  return records;
}

}  // namespace lastreach
