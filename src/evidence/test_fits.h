#pragma once

#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "evidence/fit_facts.h"
#include "evidence/fit_model.h"

// Made-up points and readings for the tests of this room: nothing here is measured anywhere.
namespace lastreach {

inline Date FitDay(int day) { return AddDays(*ParseDate("2026-07-01"), day); }

template <typename T>
Sourced<T> KnownAs(OriginKind kind, T value) {
  return {value, {kind, "", {}, ""}};
}

// 200 m of 150 mm plastic main with four services, flushed for 20 minutes at 02:00 and 14:00 at 3 L/s.
inline FitPoint MadeUpPoint(const std::string& code) {
  FitPoint point;
  DeviceFacts& facts = point.facts;
  facts.point.code = PointCode(code);
  facts.point.kind = PointKind::kDevice;
  facts.point.flow = KnownAs(OriginKind::kMeasured, Flow::LitresPerSecond(3));
  facts.form.overlap = Overlap::kQueue;
  facts.form.follows_clock_change = false;
  ReachPipe pipe;
  pipe.length = KnownAs(OriginKind::kEstimated, Length::Metres(200));
  pipe.inner_diameter = KnownAs(OriginKind::kTyped, Diameter::Millimetres(150));
  pipe.material = "PVC";
  pipe.services = KnownAs(OriginKind::kTyped, 4);
  facts.reach.pipes = {pipe};
  facts.supply.name = "Invented";
  facts.supply.upstream_residual = KnownAs(OriginKind::kTyped, Concentration::MilligramsPerLitre(1.2));
  facts.supply.bulk_per_day_at_20c = KnownAs(OriginKind::kAssumed, 0.8);
  facts.supply.wall_m_per_day = KnownAs(OriginKind::kAssumed, 0.02);
  facts.supply.worst_week = KnownAs(OriginKind::kMeasured, Temperature::Celsius(25));
  facts.supply.demand_per_service = KnownAs(OriginKind::kEstimated, Flow::LitresPerSecond(0.004));
  SettingsRecord keyed;
  keyed.point = facts.point.code;
  keyed.kind = SettingsKind::kAsLeft;
  Programme programme;
  programme.starts_min = {120, 840};
  programme.minutes = 20;
  programme.days = kEveryWeekday;
  keyed.settings.programmes = {programme};
  keyed.recorded = *ParseRfc3339("2026-05-01T12:00:00Z");
  point.settings = {keyed};
  return point;
}

inline void AddGrab(FitPoint& point, int day, int minute, double mg_per_l) {
  Sample sample;
  sample.point = point.facts.point.code;
  sample.day = FitDay(day);
  sample.minute_of_day = minute;
  sample.residual = Concentration::MilligramsPerLitre(mg_per_l);
  sample.temperature = Temperature::Celsius(20);
  point.samples.push_back(sample);
}

// Read in the main and at these minutes after opening, at 13:30 on a day: just before the run of 14:00.
inline void AddFlush(FitPoint& point, int day, const std::vector<double>& minutes_after) {
  TestFlush flush;
  flush.point = point.facts.point.code;
  flush.begun = Instant(std::chrono::sys_days(FitDay(day)) + std::chrono::minutes(13 * 60 + 30));
  flush.upstream = Concentration::MilligramsPerLitre(1);
  for (const double minutes : minutes_after) {
    FlushReading reading;
    reading.after = Duration::Minutes(minutes);
    reading.residual = Concentration::MilligramsPerLitre(1);
    reading.temperature = Temperature::Celsius(20);
    flush.readings.push_back(reading);
  }
  point.test_flushes.push_back(flush);
}

// Puts what the model predicts at z in place of all readings, with `noise` standard deviations added to each.
// REQUIRES: grabs of each point in order of time, on days before its flushes.
inline void Plant(FitFacts& facts, const FitOptions& options, std::span<const double> z,
                  const std::vector<double>& noise) {
  const FitModel model(facts, options);
  std::vector<double> values = model.PredictAll(z);
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double sd = std::hypot(options.kit_mg_per_l / 2, options.model_share * values[i]);
    values[i] = std::max(0.0, values[i] + sd * noise[i]);
  }
  std::size_t next = 0;
  const auto take = [&] { return Concentration::MilligramsPerLitre(values[next++]); };
  for (FitPoint& point : facts.points) {
    for (Sample& sample : point.samples) sample.residual = take();
    for (TestFlush& flush : point.test_flushes) {
      flush.upstream = take();
      for (FlushReading& reading : flush.readings) reading.residual = take();
    }
  }
}

// Standard normal numbers, the same everywhere for the same seed.
inline std::vector<double> Normals(std::size_t count, uint64_t seed) {
  std::mt19937_64 engine(seed);
  const auto unit = [&] { return (static_cast<double>(engine() >> 11) + 0.5) * 0x1p-53; };
  std::vector<double> normals(count);
  for (double& normal : normals) {
    const double radius = std::sqrt(-2 * std::log(unit()));
    normal = radius * std::cos(6.283185307179586 * unit());
  }
  return normals;
}

}  // namespace lastreach
