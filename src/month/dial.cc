#include "month/dial.h"

#include <algorithm>

#include "evidence/expected_water.h"

namespace lastreach {
namespace {

struct DatedRead {
  Instant when{};
  const MeterRead* read = nullptr;
};

std::vector<DatedRead> SeenReads(const PointRecords& records) {
  std::vector<DatedRead> reads;
  for (const MeterRead& read : records.reads) {
    if (read.is_estimate) continue;
    reads.push_back({MomentOf(records.zone, read.day, read.minute_of_day), &read});
  }
  std::stable_sort(reads.begin(), reads.end(),
                   [](const DatedRead& a, const DatedRead& b) { return a.when < b.when; });
  return reads;
}

}  // namespace

std::vector<DialInterval> DialIntervals(const PointRecords& records) {
  std::vector<DialInterval> intervals;
  const std::vector<DatedRead> reads = SeenReads(records);
  const DatedRead* before = nullptr;
  for (size_t i = 0; i < reads.size(); ++i) {
    const DatedRead& now = reads[i];
    if (i + 1 < reads.size() && reads[i + 1].when == now.when) continue;
    if (before != nullptr) {
      const MeterRead& first = *before->read;
      const Volume begins_at = first.new_meter_at.value_or(first.total);
      Volume volume = now.read->total - begins_at;
      if (volume < Volume() && records.point.meter_turns_over_at) {
        volume = volume + *records.point.meter_turns_over_at;
      }
      const bool falls = volume < Volume();
      intervals.push_back({before->when, now.when, first.day, now.read->day, !first.minute_of_day,
                           !now.read->minute_of_day, falls ? 0 : volume.cubic_metres(), falls});
    }
    before = &now;
  }
  return intervals;
}

}  // namespace lastreach
