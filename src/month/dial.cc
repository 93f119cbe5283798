#include "month/dial.h"

#include <algorithm>

#include "evidence/expected_water.h"
#include "evidence/read_intervals.h"

namespace lastreach {
namespace {

// Where nobody knows the flow: more than a hydrant gives. Only tells a dial that turned over from one that
// fell.
constexpr double kMostFlow_m3_per_s = 0.1;

DialInterval IntervalOf(const ReadInterval& interval) {
  DialInterval out;
  out.from = interval.from;
  out.to = interval.to;
  out.from_day = interval.before.day;
  out.to_day = interval.after.day;
  out.from_day_only = !interval.before.minute_of_day;
  out.to_day_only = !interval.after.minute_of_day;
  out.falls = interval.volume_m3 < 0;
  out.volume_m3 = out.falls ? 0 : interval.volume_m3;
  out.sd_m3 = interval.sd_m3;
  return out;
}

}  // namespace

std::vector<DialInterval> DialIntervals(const PointRecords& records) {
  const auto flow =
      records.reads.empty() ? std::optional<KnownFlow>() : FlowOn(records, records.reads.back().day);
  std::vector<DialRead> reads = DialReads(records, flow ? flow->flow_m3_per_s : kMostFlow_m3_per_s, nullptr);
  std::vector<DialInterval> falls;
  for (size_t i = 1; i < reads.size();) {
    if (reads[i].total_m3 >= reads[i - 1].total_m3) {
      ++i;
      continue;
    }
    falls.push_back(IntervalOf(ReadIntervals({reads[i - 1], reads[i]}).front()));
    if (i + 1 < reads.size() && reads[i + 1].total_m3 >= reads[i - 1].total_m3) {
      reads.erase(reads.begin() + static_cast<std::ptrdiff_t>(i));
    } else if (i > 1 && reads[i].total_m3 >= reads[i - 2].total_m3) {
      reads.erase(reads.begin() + static_cast<std::ptrdiff_t>(--i));
    } else {
      ++i;
    }
  }
  std::vector<DialInterval> intervals = falls;
  for (const ReadInterval& interval : ReadIntervals(reads)) {
    if (interval.volume_m3 >= 0) intervals.push_back(IntervalOf(interval));
  }
  std::stable_sort(intervals.begin(), intervals.end(),
                   [](const DialInterval& a, const DialInterval& b) { return a.from < b.from; });
  return intervals;
}

}  // namespace lastreach
