#include "month/exceptions.h"

#include <algorithm>

#include "evidence/expected_water.h"
#include "evidence/reconcile.h"
#include "evidence/verdict_words.h"
#include "month/month_table.h"

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
    MonthException low = Of(ExceptionKind::kBelowLimit, first_);
    low.times = 0;
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
      MonthException fault =
          Of(interval.falls ? ExceptionKind::kDialFell : ExceptionKind::kUnlikeSettings, interval.from_day);
      fault.until = interval.to_day;
      fault.found = interval.volume_m3;
      fault.expected = checks[i].expected_m3;
      if (!interval.falls) fault.likeliest = Likeliest();
      for (size_t k = i + 1; k < checks.size() && !fault.closed_on; ++k) {
        if (!checks[k].interval.falls && !checks[k].Differs()) fault.closed_on = checks[k].interval.to_day;
      }
      found_.push_back(fault);
    }
    const double month_s = static_cast<double>((end - begin).count());
    if (HasMeter(records_) && water.metered_s < month_s) AddIfNotRead(begin, end);
    if (water.unknown_s > 0 || water.flow_missing) {
      found_.push_back(Of(ExceptionKind::kNothingKnown, first_));
    }
  }

  void AddIfNotRead(Instant begin, Instant end) {
    MonthException missing = Of(ExceptionKind::kNoRead, first_);
    for (const MeterRead& read : records_.reads) {
      const Instant when = MomentOf(records_.zone, read.day, read.minute_of_day);
      if (read.is_estimate || when >= end) continue;
      if (when >= begin) return;
      missing.since = read.day;
      missing.until = read.day;
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
  MonthException Of(ExceptionKind kind, Date since) const {
    MonthException exception;
    exception.kind = kind;
    exception.point = records_.point.code;
    exception.since = since;
    return exception;
  }

  // What all reads together make of it.
  std::string Likeliest() const {
    const PointReconciliation judged = Reconcile(records_);
    if (judged.verdicts.empty()) return "";
    const RankedVerdict& verdict = judged.verdicts.front();
    std::string words(ToText(verdict.kind));
    if (verdict.since) words += " since " + FormatDate(*verdict.since);
    return words + " (" + OddsText(verdict.probability) + ")";
  }

  void AddIfOverdue(const SettingsRecord& record, std::optional<Date> replaced_on) {
    const Date due = *record.revert_by;
    if (due > last_ || (replaced_on && (*replaced_on <= due || *replaced_on < first_))) return;
    found_.push_back(Of(ExceptionKind::kSettingsOverdue, due));
    found_.back().closed_on = replaced_on;
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
