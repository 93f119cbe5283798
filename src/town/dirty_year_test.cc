#include "town/dirty_year.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "calendar/runs.h"
#include "town/geography.h"

namespace lastreach {
namespace {

Zone TownZone() { return *Zone::Find(kTownZoneName); }

const DirtyYear& Year() {
  static const DirtyYear kYear = MakeDirtyYear();
  return kYear;
}

const DeviceYear& With(const DirtyYear& year, TroubleKind kind) {
  return *std::find_if(year.devices.begin(), year.devices.end(), [&](const DeviceYear& device) {
    return device.happened.trouble && device.happened.trouble->kind == kind;
  });
}

Instant Noon(Date day) { return TownZone().FirstInstant(Midnight(day) + std::chrono::hours(12)); }

double Between_m3(const DeviceYear& device, Date from, Date to) {
  return device.valve.VolumeBefore_m3(Noon(to)) - device.valve.VolumeBefore_m3(Noon(from));
}

// What the card asks for between two days, by the calendar, at the true flow.
double Asked_m3(const DeviceYear& device, Date from, Date to) {
  double volume_m3 = 0;
  const auto& records = device.settings;
  for (size_t i = 0; i < records.size(); ++i) {
    if (records[i].kind != SettingsKind::kAsLeft) continue;
    Instant next = Noon(to);
    for (size_t j = i + 1; j < records.size(); ++j) {
      if (records[j].kind == SettingsKind::kAsLeft) {
        next = std::min(next, records[j].recorded);
        break;
      }
    }
    const ClockState clock = {device.basis.follows_clock_change, 0};
    for (const Run& run : ExpandRuns(device.form, records[i].settings, TownZone(),
                                     {AddDays(from, -1), AddDays(to, 1)}, clock)) {
      if (run.start < std::max<Instant>(records[i].recorded, Noon(from)) || run.start >= next) continue;
      volume_m3 += device.basis.flow_m3_per_s * run.minutes * kSecondsPerMinute;
    }
  }
  return volume_m3;
}

// 1 until something is wrong, then what that makes of it. The flow sinks by up to 8 % a year, the test flush
// adds a run, and a clock a minute off moves one over noon; the ranges leave room for these.
double Share(const DeviceYear& device, Date from, Date to) {
  return Between_m3(device, from, to) / Asked_m3(device, from, to);
}

TEST(DirtyYear, IsTheSameEveryTimeAndAnotherWithAnotherSeed) {
  const DirtyYear again = MakeDirtyYear();
  DirtyYearOptions other;
  other.seed = 7;
  const DirtyYear another = MakeDirtyYear(other);
  bool differs = false;
  for (size_t i = 0; i < again.devices.size(); ++i) {
    EXPECT_EQ(again.devices[i].reads, Year().devices[i].reads);
    EXPECT_EQ(again.devices[i].samples, Year().devices[i].samples);
    EXPECT_EQ(again.devices[i].test_flushes, Year().devices[i].test_flushes);
    differs = differs || another.devices[i].reads != Year().devices[i].reads;
  }
  EXPECT_TRUE(differs);
}

TEST(DirtyYear, EveryTroubleIsPlantedOnceAndTroubleNoDeviceTwice) {
  for (uint64_t seed = 0; seed < 20; ++seed) {
    DirtyYearOptions options;
    options.seed = seed;
    std::set<TroubleKind> kinds;
    std::set<std::string> points;
    for (const Trouble& trouble : MakeDirtyYear(options).troubles) {
      kinds.insert(trouble.kind);
      points.insert(trouble.point.text());
      EXPECT_LE(DayNumber(trouble.since), DayNumber(trouble.told_from)) << ToText(trouble.kind);
    }
    EXPECT_EQ(kinds.size(), kEveryTrouble.size());
    EXPECT_EQ(points.size(), kEveryTrouble.size());
  }
}

// What was read is the integral of the true flow, cut off at the last figure of the dial.
TEST(DirtyYear, ReadsAreTheWaterThatRanUnlessTheySlipped) {
  size_t looked_at = 0;
  for (const DeviceYear& device : Year().devices) {
    for (const MeterRead& read : device.reads) {
      const bool slipped = std::count(device.slips.begin(), device.slips.end(), read.day) > 0;
      if (slipped || read.is_estimate || !read.minute_of_day) continue;
      const Instant at =
          TownZone().FirstInstant(Midnight(read.day) + std::chrono::minutes(*read.minute_of_day));
      double ran_m3 = 0;
      for (const ValveOpening& run : device.valve.runs()) {
        const auto open_s = (std::min(run.end, at) - std::min(run.begin, at)).count();
        ran_m3 += run.flow_m3_per_s * static_cast<double>(open_s);
      }
      for (const ValveOpening& leak : device.valve.leaks()) {
        const auto open_s = (std::min(leak.end, at) - std::min(leak.begin, at)).count();
        ran_m3 += leak.flow_m3_per_s * static_cast<double>(open_s);
      }
      if (device.happened.new_meter_on && DayNumber(read.day) > DayNumber(*device.happened.new_meter_on)) {
        continue;  // its own test below
      }
      const MeterHabit& meter = *device.basis.meter;
      const double step_m3 = meter.one.cubic_metres() * std::pow(10, -meter.decimals);
      const double dial_m3 = meter.at_new_year.cubic_metres() + ran_m3;
      EXPECT_LE(read.total.cubic_metres(), dial_m3 + 1e-6) << read.point.text() << FormatDate(read.day);
      EXPECT_GT(read.total.cubic_metres(), dial_m3 - step_m3 - 1e-6) << read.point.text();
      ++looked_at;
    }
  }
  EXPECT_GT(looked_at, 150U);
}

TEST(DirtyYear, DevicesWithoutTroubleRunAsTheirCardsSay) {
  int looked_at = 0;
  for (const DeviceYear& device : Year().devices) {
    if (device.happened.trouble) continue;
    const double share = Share(device, std::chrono::year(2025) / 1 / 10, std::chrono::year(2025) / 12 / 20);
    EXPECT_GT(share, 0.90) << device.point.code.text();
    EXPECT_LT(share, 1.04) << device.point.code.text();
    ++looked_at;
  }
  EXPECT_EQ(looked_at, 12);
}

TEST(DirtyYear, ADeadBatteryLetsNothingOutUntilItIsChanged) {
  const DeviceYear& device = With(Year(), TroubleKind::kDeadBattery);
  const Trouble& trouble = *device.happened.trouble;
  const Date from = std::max(trouble.since, AddDays(device.happened.test_flush_on, 1),
                             [](Date a, Date b) { return DayNumber(a) < DayNumber(b); });
  EXPECT_EQ(Between_m3(device, from, AddDays(*trouble.until, -1)), 0);
  EXPECT_GT(Between_m3(device, *trouble.until, AddDays(*trouble.until, 20)), 0);
}

TEST(DirtyYear, AStuckValveRunsFromFridayToMonday) {
  const DeviceYear& device = With(Year(), TroubleKind::kStuckOpen);
  const Date friday = device.happened.trouble->since;
  const double weekend_m3 = Between_m3(device, AddDays(friday, -1), AddDays(friday, 3));
  EXPECT_GT(weekend_m3, device.basis.flow_m3_per_s * 0.9 * 40 * kSecondsPerHour);
  EXPECT_LT(weekend_m3, device.basis.flow_m3_per_s * 90 * kSecondsPerHour);
}

TEST(DirtyYear, PercentagesAndMinutesKeyedTwiceShowInTheWater) {
  const DeviceYear& left = With(Year(), TroubleKind::kPercentLeft);
  const Trouble& percent = *left.happened.trouble;
  EXPECT_NEAR(Share(left, AddDays(percent.since, 1), AddDays(*percent.until, -1)), 1.5, 0.12);
  const DeviceYear& twice = With(Year(), TroubleKind::kDoubleKeyed);
  const Trouble& keyed = *twice.happened.trouble;
  EXPECT_NEAR(Share(twice, AddDays(keyed.since, 1), AddDays(*keyed.until, -1)), 1.4, 0.12);
}

TEST(DirtyYear, ClocksAndHalfDaysChangeTheHourAndNotTheWater) {
  for (const TroubleKind kind : {TroubleKind::kClockHourOut, TroubleKind::kHalfDayOut}) {
    const DeviceYear& device = With(Year(), kind);
    const Trouble& trouble = *device.happened.trouble;
    const Date from = AddDays(trouble.since, 3), to = AddDays(*trouble.until, -3);
    EXPECT_NEAR(Share(device, from, to), 1, 0.12) << ToText(kind);
    int out = 0, all = 0;
    for (const ValveOpening& run : device.valve.runs()) {
      if (run.begin < Noon(from) || run.begin >= Noon(to)) continue;
      const LocalTime local = TownZone().ToLocal(run.begin);
      const auto minute =
          std::chrono::floor<std::chrono::minutes>(local - std::chrono::floor<std::chrono::days>(local));
      const int summer = device.basis.follows_clock_change ? 0 : 60;
      const auto off = (minute.count() - device.basis.start_min - summer + 1440 + 720) % 1440 - 720;
      out += std::abs(static_cast<double>(std::abs(off)) - std::abs(trouble.size)) < 2 ? 1 : 0;
      ++all;
    }
    EXPECT_GE(out, all - 1) << ToText(kind);  // but for the test flush
    EXPECT_GT(all, 5) << ToText(kind);
    const auto found =
        std::find_if(device.settings.begin(), device.settings.end(), [&](const SettingsRecord& record) {
          return record.kind == SettingsKind::kAsFound && record.recorded > Noon(to);
        });
    ASSERT_NE(found, device.settings.end());
    const bool clock = std::abs(found->clock_fast_minutes.value_or(0)) == 60;
    EXPECT_EQ(clock, kind == TroubleKind::kClockHourOut);
  }
}

TEST(DirtyYear, ANewMeterOfAnotherUnitIsReadTenTimesOff) {
  const DeviceYear& device = With(Year(), TroubleKind::kMeterUnit);
  const Trouble& trouble = *device.happened.trouble;
  const auto swap = std::find_if(device.reads.begin(), device.reads.end(),
                                 [](const MeterRead& read) { return read.new_meter_at.has_value(); });
  ASSERT_NE(swap, device.reads.end());
  EXPECT_EQ(swap->day, trouble.since);
  const double ran_m3 = Between_m3(device, trouble.since, std::chrono::year(2025) / 12 / 1);
  const Volume dial = TrueDial(device, Noon(std::chrono::year(2025) / 12 / 1), TownZone());
  EXPECT_NEAR(dial.cubic_metres() / ran_m3, trouble.size, 0.02 * trouble.size);
}

TEST(DirtyYear, ADribbleAddsItsFlowDayAndNight) {
  const DeviceYear& device = With(Year(), TroubleKind::kDribble);
  const Trouble& trouble = *device.happened.trouble;
  const double days = DayNumber(*trouble.until) - DayNumber(trouble.since);
  double leaked_m3 = 0;
  for (const ValveOpening& leak : device.valve.leaks()) {
    leaked_m3 += leak.flow_m3_per_s * static_cast<double>((leak.end - leak.begin).count());
  }
  EXPECT_NEAR(Volume::CubicMetres(leaked_m3).gallons(), trouble.size * days * 1440, 1);
}

// Total chlorine falls first, then ammonia and nitrite rise.
TEST(DirtyYear, NitrificationTakesTheChlorineFirst) {
  const DeviceYear& device = With(Year(), TroubleKind::kNitrification);
  const Date onset = device.happened.trouble->since;
  std::map<Analyte, std::pair<double, int>> before, after;
  for (const Sample& sample : device.samples) {
    const int since_days = DayNumber(sample.day) - DayNumber(onset);
    auto& part = since_days < 0 && since_days > -60 ? before[sample.analyte] : after[sample.analyte];
    if (since_days < -60 || (since_days >= 0 && since_days < 45) || since_days > 100) continue;
    part.first += sample.residual.milligrams_per_litre();
    ++part.second;
  }
  const auto mean = [](const std::pair<double, int>& sum) { return sum.first / sum.second; };
  EXPECT_LT(mean(after[Analyte::kTotalChlorine]), 0.6 * mean(before[Analyte::kTotalChlorine]));
  EXPECT_GT(mean(after[Analyte::kFreeAmmonia]), 1.8 * mean(before[Analyte::kFreeAmmonia]));
  EXPECT_GT(mean(after[Analyte::kNitrite]), 5 * mean(before[Analyte::kNitrite]));
}

// Half way between what stood and what arrives comes after as much as the main truly holds.
TEST(DirtyYear, TestFlushesBreakThroughAfterWhatTheMainHolds) {
  int looked_at = 0;
  for (const DeviceYear& device : Year().devices) {
    if (device.happened.closed_from) continue;
    const TestFlush& flush = device.test_flushes.at(0);
    const double arrives = flush.readings.back().residual->milligrams_per_litre();
    EXPECT_NEAR(arrives, flush.upstream->milligrams_per_litre(), 0.12) << device.point.code.text();
    const double stood = flush.readings.front().residual->milligrams_per_litre();
    if (arrives - stood < 0.3) continue;  // fresh already
    const auto half = std::find_if(flush.readings.begin(), flush.readings.end(), [&](const auto& reading) {
      return reading.residual->milligrams_per_litre() > (arrives + stood) / 2;
    });
    const double flow = OpenFlow_m3_per_s(device.basis, device.happened, device.happened.test_flush_on);
    const double holds_m3 =
        TrueReachOn(device.basis, device.happened, device.happened.test_flush_on).volume_m3;
    EXPECT_LT(half->after.seconds() * flow / holds_m3, 1.2) << device.point.code.text();
    ++looked_at;
  }
  EXPECT_GT(looked_at, 3);
}

TEST(DirtyYear, WhatWasSuppliedIsMoreThanWhatWasFlushed) {
  ASSERT_EQ(Year().supplied.size(), 12U);
  double flushed_m3 = 0, supplied_m3 = 0;
  for (const DeviceYear& device : Year().devices) {
    flushed_m3 += Between_m3(device, std::chrono::year(2025) / 1 / 1, std::chrono::year(2026) / 1 / 1);
  }
  for (const SuppliedMonth& month : Year().supplied) supplied_m3 += month.supplied.cubic_metres();
  EXPECT_GT(supplied_m3, 3 * flushed_m3);
  EXPECT_LT(supplied_m3, 40 * flushed_m3);
}

}  // namespace
}  // namespace lastreach
