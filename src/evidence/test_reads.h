#pragma once

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <functional>

#include "evidence/test_records.h"

namespace lastreach {

inline constexpr double kDaily_m3 = 4.8;  // 20 minutes at 4 L/s

// Reads at noon, every so many days from April on, of a device that should run 20 minutes every day.
// `through_m3` tells what really goes through on a day, counted from the first read.
inline PointRecords ReadEvery(int days, int reads, const std::function<double(int)>& through_m3) {
  PointRecords records = TestPoint();
  records.settings = {Recorded(SettingsKind::kAsLeft, At("2026-03-20", 9), Keyed({120}, 20), 0)};
  double total_m3 = 1234.56;
  for (int i = 0; i < reads; ++i) {
    MeterRead read;
    read.point = records.point.code;
    read.day = AddDays(Day("2026-04-01"), i * days);
    read.minute_of_day = 720;
    const double shown_m3 = std::floor(total_m3 * 100) / 100;
    read.total = Volume::CubicMetres(shown_m3);
    char text[32];
    std::snprintf(text, sizeof text, "%.2f m3", shown_m3);
    read.original = text;
    records.reads.push_back(read);
    // The run of the next day's night and so on.
    for (int day = 0; day < days; ++day) total_m3 += through_m3(i * days + day);
  }
  return records;
}

inline double AsSet(int day) { return kDaily_m3 * (1 + 0.03 * std::sin(7.0 * day)); }

inline int DaysApart(const std::optional<Date>& day, const char* from) {
  return day ? std::abs(DayNumber(*day) - DayNumber(Day(from))) : 9999;
}

}  // namespace lastreach
