#include "month/point_water.h"

#include <algorithm>
#include <cmath>

#include "evidence/expected_water.h"

namespace lastreach {
namespace {

constexpr std::chrono::hours kReadMayBeOff{(kReadHourLast - kReadHourFirst) / 2};
const double kUniform = std::sqrt(12.0);

double Seconds(Instant from, Instant to) { return static_cast<double>((to - from).count()); }

class Account {
 public:
  Account(const KnownRuns& known, Instant begin, Instant end) : known_(known), begin_(begin), end_(end) {}

  // The stretch of `interval` within the month.
  void AddMetered(const DialInterval& interval) {
    const Instant from = std::max(interval.from, begin_);
    const Instant to = std::min(interval.to, end_);
    const double whole_m3 = WaterBetween(known_.runs, interval.from, interval.to);
    const double inside_m3 = WaterBetween(known_.runs, from, to);
    const double share =
        whole_m3 > 0 ? inside_m3 / whole_m3 : Seconds(from, to) / Seconds(interval.from, interval.to);
    const double volume_m3 = share * interval.volume_m3;
    water_.metered_m3 += volume_m3;
    water_.metered_s += Seconds(from, to);
    const double apart_m3 = known_.flow_known ? interval.volume_m3 - whole_m3 : 0;
    metered_variance_ += share * (1 - share) * apart_m3 * apart_m3 + std::pow(share * interval.sd_m3, 2);
    if (whole_m3 > 0 && share < 1) {
      const double read_m3 = std::hypot(interval.from_day_only ? WaterAround(interval.from) : 0,
                                        interval.to_day_only ? WaterAround(interval.to) : 0);
      metered_variance_ += std::pow(volume_m3 / whole_m3 * read_m3 / kUniform, 2);
    }
    if (inside_m3 > 0) {
      AddFlushes(from, to, true, volume_m3 / inside_m3);
    } else if (volume_m3 > 0) {
      water_.flushes.push_back({from, to, volume_m3, true, true, 1, nullptr});
    }
  }

  // A stretch of the month that no two reads enclose; loose where the read at its end has no time of day.
  void AddUnmetered(Instant from, Instant to, double unknown_s, bool begins_loose, bool ends_loose) {
    water_.unknown_s += unknown_s;
    for (const KnownRun& run : known_.runs) {
      const double share = ShareWithin(run, from, to);
      if (share <= 0) continue;
      if (!known_.flow_known && (run.logged == nullptr || !run.logged->volume)) {
        water_.flow_missing = true;
        continue;
      }
      const bool by_meter =
          run.logged != nullptr && run.logged->volume && run.logged->by == MeasuredBy::kMeter;
      (by_meter ? water_.metered_m3 : water_.estimated_m3) += share * run.volume_m3;
      if (by_meter) continue;
      shared_sd_m3_ += share * run.shared_sd_m3;
      estimated_variance_ += std::pow(share * run.own_sd_m3, 2);
    }
    for (const auto& [loose, at] : {std::pair(begins_loose, from), std::pair(ends_loose, to)}) {
      if (loose && known_.flow_known) estimated_variance_ += std::pow(WaterAround(at) / kUniform, 2);
    }
    AddFlushes(from, to, false, 1);
  }

  PointWater Finish() {
    for (const KnownRun& run : known_.runs) {
      const double share = ShareWithin(run, begin_, end_);
      water_.open_s += share * run.odds * Seconds(run.begin, run.end);
      if (run.begin >= begin_ && run.begin < end_) water_.runs += run.odds;
    }
    water_.metered_sd_m3 =
        std::hypot(RelativeSdOf(MeasuredBy::kMeter) * water_.metered_m3, std::sqrt(metered_variance_));
    water_.estimated_sd_m3 = std::hypot(shared_sd_m3_, std::sqrt(estimated_variance_));
    std::stable_sort(water_.flushes.begin(), water_.flushes.end(),
                     [](const MonthFlush& a, const MonthFlush& b) { return a.begin < b.begin; });
    return std::move(water_);
  }

 private:
  double WaterAround(Instant read) const {
    return WaterBetween(known_.runs, read - kReadMayBeOff, read + kReadMayBeOff);
  }

  void AddFlushes(Instant from, Instant to, bool metered, double factor) {
    for (const KnownRun& run : known_.runs) {
      const double share = ShareWithin(run, from, to);
      if (share <= 0) continue;
      const bool has_volume = known_.flow_known || metered || (run.logged != nullptr && run.logged->volume);
      const bool by_meter =
          metered || (run.logged != nullptr && run.logged->volume && run.logged->by == MeasuredBy::kMeter);
      water_.flushes.push_back({std::max(run.begin, from), std::min(run.end, to),
                                has_volume ? factor * share * run.volume_m3 : 0, by_meter, false, run.odds,
                                run.logged});
    }
  }

  const KnownRuns& known_;
  Instant begin_, end_;
  PointWater water_;
  double metered_variance_ = 0;
  double estimated_variance_ = 0;
  double shared_sd_m3_ = 0;
};

double UnknownBetween(const PointRecords& records, Instant from, Instant to) {
  if (records.point.kind != PointKind::kDevice) return 0;
  return ExpectedBetween(records, from, to).unknown_s;
}

}  // namespace

double PointWater::sd_m3() const { return std::hypot(metered_sd_m3, estimated_sd_m3); }

bool IntervalCheck::Differs() const {
  constexpr double kLeastShare = 0.1;
  if (!is_known || interval.falls) return false;
  const double apart_m3 = std::abs(interval.volume_m3 - expected_m3);
  const double sd_m3 =
      std::hypot(expected_sd_m3, RelativeSdOf(MeasuredBy::kMeter) * interval.volume_m3, interval.sd_m3);
  return apart_m3 > 2 * sd_m3 && apart_m3 > kLeastShare * expected_m3;
}

PointWater WaterOfPoint(const PointRecords& records, Instant begin, Instant end) {
  std::vector<DialInterval> intervals;
  Instant first = begin, last = end;
  for (const DialInterval& interval : DialIntervals(records)) {
    if (interval.falls || interval.to <= begin || interval.from >= end) continue;
    intervals.push_back(interval);
    first = std::min(first, interval.from);
    last = std::max(last, interval.to);
  }
  const KnownRuns known = KnownRunsBetween(records, first - kReadMayBeOff, last + kReadMayBeOff);
  Account account(known, begin, end);
  Instant done = begin;
  bool loose = false;
  for (const DialInterval& interval : intervals) {
    if (interval.from > done) {
      account.AddUnmetered(done, interval.from, UnknownBetween(records, done, interval.from), loose,
                           interval.from_day_only);
    }
    account.AddMetered(interval);
    done = std::min(interval.to, end);
    loose = interval.to_day_only && interval.to < end;
  }
  if (done < end) account.AddUnmetered(done, end, UnknownBetween(records, done, end), loose, false);
  return account.Finish();
}

std::vector<IntervalCheck> CheckIntervals(const PointRecords& records, Instant begin) {
  std::vector<IntervalCheck> checks;
  for (const DialInterval& interval : DialIntervals(records)) {
    if (interval.to <= begin) continue;
    const KnownRuns known =
        KnownRunsBetween(records, interval.from - kReadMayBeOff, interval.to + kReadMayBeOff);
    IntervalCheck check{interval, 0, 0,
                        known.flow_known && UnknownBetween(records, interval.from, interval.to) <= 0};
    double shared_m3 = 0, variance = 0;
    for (const KnownRun& run : known.runs) {
      const double share = ShareWithin(run, interval.from, interval.to);
      check.expected_m3 += share * run.volume_m3;
      shared_m3 += share * run.shared_sd_m3;
      variance += std::pow(share * run.own_sd_m3, 2);
    }
    for (const auto& [day_only, at] :
         {std::pair(interval.from_day_only, interval.from), std::pair(interval.to_day_only, interval.to)}) {
      if (day_only) {
        variance += std::pow(WaterBetween(known.runs, at - kReadMayBeOff, at + kReadMayBeOff) / kUniform, 2);
      }
    }
    check.expected_sd_m3 = std::hypot(shared_m3, std::sqrt(variance));
    checks.push_back(check);
  }
  return checks;
}

}  // namespace lastreach
