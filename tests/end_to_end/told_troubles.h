#pragma once

// What the program says of a device of the invented year on a day, from no more than what had been written
// down by then.
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <vector>

#include "evidence/reconcile.h"
#include "evidence/settings_timeline.h"
#include "evidence/test_flush.h"
#include "evidence/watch.h"
#include "town/dirty_year.h"
#include "town/geography.h"

namespace lastreach {

inline const Zone& InventedZone() {
  static const Zone kZone = *Zone::Find(kTownZoneName);
  return kZone;
}

inline Date LocalDay(Instant moment) {
  return Date{std::chrono::floor<std::chrono::days>(InventedZone().ToLocal(moment))};
}

inline Date DayOfRecord(const SettingsRecord& record) { return LocalDay(record.recorded); }
inline Date DayOfRecord(const Visit& visit) { return LocalDay(visit.arrived); }
inline Date DayOfRecord(const FlushRun& run) { return LocalDay(run.begun); }
inline Date DayOfRecord(const MeterRead& read) { return read.day; }
inline Date DayOfRecord(const Sample& sample) { return sample.day; }
inline Date DayOfRecord(const FlowTest& test) { return test.day; }

template <typename Record>
std::vector<Record> WrittenBy(const std::vector<Record>& records, Date today) {
  std::vector<Record> by;
  for (const Record& record : records) {
    if (DayNumber(DayOfRecord(record)) <= DayNumber(today)) by.push_back(record);
  }
  return by;
}

inline PointRecords RecordsOf(const DeviceYear& device) {
  return {device.point,      device.form,       InventedZone(), device.settings, device.reads,
          device.flow_tests, device.flush_runs, device.samples, device.visits};
}

inline PointRecords RecordsBy(PointRecords records, Date today) {
  records.settings = WrittenBy(records.settings, today);
  records.reads = WrittenBy(records.reads, today);
  records.flow_tests = WrittenBy(records.flow_tests, today);
  records.flush_runs = WrittenBy(records.flush_runs, today);
  records.samples = WrittenBy(records.samples, today);
  records.visits = WrittenBy(records.visits, today);
  return records;
}

inline PointReconciliation ReconciledBy(const PointRecords& records, Date today) {
  ReconcileOptions options;
  options.today = today;
  return Reconcile(RecordsBy(records, today), options);
}

inline bool IsNear(double value, double wanted, double share) {
  return std::abs(value - wanted) <= share * wanted;
}

// Whether a verdict is the right name for a trouble that the water shows.
inline bool IsRightName(const RankedVerdict& verdict, const Trouble& trouble) {
  switch (trouble.kind) {
    case TroubleKind::kDeadBattery:
      return verdict.kind == VerdictKind::kStopped;
    case TroubleKind::kStuckOpen:
      return verdict.kind == VerdictKind::kStuckOpen;
    case TroubleKind::kPercentLeft:
    case TroubleKind::kDoubleKeyed:  // no meter can tell minutes from a percentage
      return verdict.kind == VerdictKind::kPercentChanged && IsNear(verdict.parameter, trouble.size, 0.15);
    case TroubleKind::kMeterUnit:
      return verdict.kind == VerdictKind::kReadMistake && IsNear(verdict.parameter, 1 / trouble.size, 0.2);
    case TroubleKind::kDribble:
      return verdict.kind == VerdictKind::kDribbling;
    default:
      return false;
  }
}

// 1 where it is named first, 0 where it is not among the verdicts at all.
inline size_t RankOf(const PointReconciliation& told, const Trouble& trouble) {
  for (size_t i = 0; i < told.verdicts.size(); ++i) {
    if (IsRightName(told.verdicts[i], trouble)) return i + 1;
  }
  return 0;
}

// What somebody found in the box and wrote down up to that day: a clock far off, or other starts than were
// left.
enum class Found { kNothing, kClockOff, kOtherStarts };
inline Found FoundBy(const PointRecords& all, Date today) {
  const std::vector<SettingsRecord> records = WrittenBy(all.settings, today);
  for (const SettingsRecord& record : records) {
    const bool far_off = std::abs(record.clock_fast_minutes.value_or(0)) >= kClockJump_min;
    if (record.kind == SettingsKind::kAsFound && far_off) return Found::kClockOff;
  }
  for (const SettingsDifference& differs : SettingsDifferences(records)) {
    const bool same_starts =
        std::equal(differs.earlier.settings.programmes.begin(), differs.earlier.settings.programmes.end(),
                   differs.later.settings.programmes.begin(), differs.later.settings.programmes.end(),
                   [](const Programme& a, const Programme& b) { return a.starts_min == b.starts_min; });
    if (differs.later.kind == SettingsKind::kAsFound && !same_starts) return Found::kOtherStarts;
  }
  return Found::kNothing;
}

inline TestFlushReading FlushOf(const TestFlush& flush, const Reach& reach,
                                const std::vector<FlowTest>& flow_tests) {
  TestFlushFacts facts;
  facts.flush = flush;
  double volume_m3 = 0;
  for (const ReachPipe& pipe : reach.pipes) {
    const double one_m3 = PipeVolume(pipe.length.value, pipe.inner_diameter.value).cubic_metres();
    facts.pipe_lengths_m.push_back(pipe.length.value.metres());
    facts.pipe_volumes_m3.push_back(one_m3);
    volume_m3 += one_m3;
  }
  facts.volume_m3 = volume_m3;
  for (const FlowTest& test : flow_tests) {
    if (DayNumber(test.day) > DayNumber(LocalDay(facts.flush.begun))) continue;
    facts.last_tested = MeasuredFlow{test.flow.cubic_metres_per_second(), UsualLogSd(test.by), test.by};
  }
  return ReadTestFlush(facts);
}

inline bool IsMapWrongBy(const TestFlushReading& reading) {
  return reading.volume == VolumeVerdict::kLessThanMap || reading.volume == VolumeVerdict::kMoreThanMap;
}
inline bool IsFeedWrongBy(const TestFlushReading& reading) {
  return reading.arrives == PlateauVerdict::kBelowTheMain || reading.volume == VolumeVerdict::kNeverCame;
}

// A valve closed upstream: weak water, none, or after far more than the main holds. A width wrong on the map:
// the main's own water after more or less.
inline bool IsRightReading(const TestFlushReading& reading, const Trouble& trouble) {
  if (trouble.kind == TroubleKind::kClosedValve) {
    return IsFeedWrongBy(reading) || reading.volume == VolumeVerdict::kMoreThanMap;
  }
  const bool wider = trouble.size > 1;
  return !IsFeedWrongBy(reading) &&
         reading.volume == (wider ? VolumeVerdict::kMoreThanMap : VolumeVerdict::kLessThanMap);
}

// What wants looking at, with the thresholds of nitrification that this town has written down for itself.
inline std::vector<WatchItem> WatchedBy(const PointRecords& records, const SupplyZone& supply, Date today) {
  const WatchFacts facts = {RecordsBy(records, today), supply, {}};
  WatchOptions options;
  options.today = today;
  options.nitrite_mg_n_per_l = 0.03;
  options.free_ammonia_mg_n_per_l = 0.25;
  return Watch(facts, options);
}

inline bool TellsOverdue(const std::vector<WatchItem>& items) {
  return std::any_of(items.begin(), items.end(), [](const WatchItem& item) {
    return item.kind == WatchKind::kTemporary && item.overdue;
  });
}

// "2 signs of nitrification: ...". One sign asks for samples, which this town takes anyhow.
inline int SignsOfNitrification(const std::vector<WatchItem>& items) {
  for (const WatchItem& item : items) {
    if (item.kind == WatchKind::kNitrification) return std::atoi(item.sentence.c_str());
  }
  return 0;
}

}  // namespace lastreach
