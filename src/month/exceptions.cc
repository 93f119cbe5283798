#include "month/exceptions.h"

#include <algorithm>

#include "evidence/expected_water.h"

namespace lastreach {
namespace {

bool HasMeter(const PointRecords& records) {
  if (!records.reads.empty()) return true;
  return !records.point.meter.empty() && records.point.meter != "none";
}

class Finder {
 public:
  Finder(const PointRecords& records, Date first, Date last)
      : records_(records), first_(first), last_(last) {}

  void FindLowReadings(const std::vector<ResidualReading>& readings) {
    MonthException low{ExceptionKind::kBelowLimit, records_.point.code, {}, {}, 0, 0, 0, {}};
    const ResidualReading* last_low = nullptr;
    for (const ResidualReading& reading : readings) {
      if (reading.day < first_) continue;
      if (reading.day <= last_ && reading.below_limit) {
        if (low.times == 0) low.since = reading.day;
        if (low.times == 0 || reading.mg_per_l < low.found) low.found = reading.mg_per_l;
        low.expected = *reading.limit_mg_per_l;
        ++low.times;
        last_low = &reading;
        low.closed_on.reset();
      } else if (last_low != nullptr && !low.closed_on && !reading.below_limit) {
        low.closed_on = reading.day;
      }
    }
    if (low.times > 0) found_.push_back(low);
  }

  void FindMeterFaults(const PointWater& water, Instant begin, Instant end) {
    const std::vector<IntervalCheck> checks = CheckIntervals(records_, begin);
    for (size_t i = 0; i < checks.size() && checks[i].interval.from < end; ++i) {
      const DialInterval& interval = checks[i].interval;
      if (!interval.falls && !checks[i].Differs()) continue;
      MonthException fault{interval.falls ? ExceptionKind::kDialFell : ExceptionKind::kUnlikeSettings,
                           records_.point.code,
                           interval.from_day,
                           interval.to_day,
                           interval.volume_m3,
                           checks[i].expected_m3,
                           1,
                           {}};
      for (size_t k = i + 1; k < checks.size() && !fault.closed_on; ++k) {
        if (!checks[k].interval.falls && !checks[k].Differs()) fault.closed_on = checks[k].interval.to_day;
      }
      found_.push_back(fault);
    }
    const double month_s = static_cast<double>((end - begin).count());
    if (HasMeter(records_) && water.metered_s < month_s) AddNoRead(end);
    if (water.unknown_s > 0 || water.flow_missing) {
      found_.push_back({ExceptionKind::kNothingKnown, records_.point.code, first_, last_, 0, 0, 1, {}});
    }
  }

  // A read after the month encloses it, unless the dial fell.
  void AddNoRead(Instant end) {
    MonthException missing{ExceptionKind::kNoRead, records_.point.code, first_, {}, 0, 0, 1, {}};
    for (const MeterRead& read : records_.reads) {
      if (read.is_estimate) continue;
      if (MomentOf(records_.zone, read.day, read.minute_of_day) < end) missing.since = read.day;
    }
    found_.push_back(missing);
  }

  void FindOverdueSettings() {
    const SettingsRecord* standing = nullptr;
    for (const SettingsRecord& record : records_.settings) {
      if (record.kind == SettingsKind::kPlanned) continue;
      const Date day{std::chrono::floor<std::chrono::days>(records_.zone.ToLocal(record.recorded))};
      if (standing != nullptr) AddIfOverdue(*standing, day);
      standing = record.revert_by ? &record : nullptr;
    }
    if (standing != nullptr) AddIfOverdue(*standing, {});
  }

  std::vector<MonthException> Take() { return std::move(found_); }

 private:
  void AddIfOverdue(const SettingsRecord& record, std::optional<Date> replaced_on) {
    const Date due = *record.revert_by;
    if (due > last_ || (replaced_on && (*replaced_on <= due || *replaced_on < first_))) return;
    found_.push_back({ExceptionKind::kSettingsOverdue, records_.point.code, due, {}, 0, 0, 1, replaced_on});
  }

  const PointRecords& records_;
  Date first_, last_;
  std::vector<MonthException> found_;
};

}  // namespace

std::vector<MonthException> ExceptionsOf(const PointRecords& records,
                                         const std::vector<ResidualReading>& readings,
                                         const PointWater& water, Date first, Date last, Instant begin,
                                         Instant end) {
  Finder finder(records, first, last);
  finder.FindLowReadings(readings);
  finder.FindMeterFaults(water, begin, end);
  finder.FindOverdueSettings();
  return finder.Take();
}

}  // namespace lastreach
