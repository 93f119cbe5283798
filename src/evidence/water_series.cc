#include "evidence/water_series.h"

#include <algorithm>

namespace lastreach {
namespace {

double SecondsFrom(Instant from, Instant to) { return static_cast<double>((to - from).count()); }

// Volume and variance up to moments in order.
struct AddedUp {
  std::vector<double> volume_m3, variance_m6;
};

AddedUp AddUp(const std::vector<Instant>& moments, const std::vector<LikelyRun>& runs, double flow_m3_per_s,
              double always_m3_per_s) {
  AddedUp sum;
  sum.volume_m3.assign(moments.size(), 0);
  sum.variance_m6.assign(moments.size(), 0);
  std::vector<double> parts(moments.size(), 0);  // of runs that are on at a moment
  for (const LikelyRun& likely : runs) {
    const Instant begin{likely.run.start}, end{likely.run.end()};
    const double volume_m3 = flow_m3_per_s * SecondsFrom(begin, end);
    auto at = std::upper_bound(moments.begin(), moments.end(), begin);
    for (; at != moments.end() && *at < end; ++at) {
      parts[static_cast<size_t>(at - moments.begin())] +=
          likely.odds * flow_m3_per_s * SecondsFrom(begin, *at);
    }
    if (at == moments.end()) continue;
    const auto i = static_cast<size_t>(at - moments.begin());
    sum.volume_m3[i] += likely.odds * volume_m3;
    sum.variance_m6[i] +=
        (likely.odds * kRunScatter * kRunScatter + likely.odds * (1 - likely.odds)) * volume_m3 * volume_m3;
  }
  for (size_t i = 1; i < moments.size(); ++i) {
    sum.volume_m3[i] += sum.volume_m3[i - 1];
    sum.variance_m6[i] += sum.variance_m6[i - 1];
  }
  for (size_t i = 0; i < moments.size(); ++i) {
    sum.volume_m3[i] += parts[i];
    if (!moments.empty()) sum.volume_m3[i] += always_m3_per_s * SecondsFrom(moments[0], moments[i]);
  }
  return sum;
}

}  // namespace

SeriesMoments MomentsOf(const Zone& zone, std::span<const Instant> reads, std::span<const bool> has_time) {
  SeriesMoments moments;
  moments.reads.assign(reads.begin(), reads.end());
  moments.has_time.assign(has_time.begin(), has_time.end());
  moments.days.push_back(reads.front());
  Date day{std::chrono::floor<std::chrono::days>(zone.ToLocal(reads.front()))};
  for (;;) {
    day = AddDays(day, 1);
    const Instant midnight = zone.FirstInstant(Midnight(day));
    if (midnight >= reads.back()) break;
    if (midnight > reads.front()) moments.days.push_back(midnight);
  }
  return moments;
}

WaterSeries SeriesOf(const SeriesMoments& moments, const std::vector<LikelyRun>& runs, double flow_m3_per_s,
                     double always_m3_per_s) {
  WaterSeries series;
  AddedUp reads = AddUp(moments.reads, runs, flow_m3_per_s, always_m3_per_s);
  AddedUp days = AddUp(moments.days, runs, flow_m3_per_s, always_m3_per_s);
  // Both begin at the first read.
  series.at_read_m3 = std::move(reads.volume_m3);
  series.read_variance_m6 = std::move(reads.variance_m6);
  series.at_day_m3 = std::move(days.volume_m3);
  series.day_variance_m6 = std::move(days.variance_m6);
  std::vector<Instant> edges;
  constexpr int kHalf_h = (kReadHourLast - kReadHourFirst) / 2;
  for (const Instant read : moments.reads) {
    edges.push_back(read - std::chrono::hours(kHalf_h));
    edges.push_back(read + std::chrono::hours(kHalf_h));
  }
  std::sort(edges.begin(), edges.end());
  const AddedUp around = AddUp(edges, runs, flow_m3_per_s, always_m3_per_s);
  for (size_t i = 0; i < moments.reads.size(); ++i) {
    const auto index = [&](Instant t) {
      return static_cast<size_t>(std::lower_bound(edges.begin(), edges.end(), t) - edges.begin());
    };
    const size_t first = index(moments.reads[i] - std::chrono::hours(kHalf_h));
    const size_t last = index(moments.reads[i] + std::chrono::hours(kHalf_h));
    series.around_read_m3.push_back(moments.has_time[i] ? 0
                                                        : around.volume_m3[last] - around.volume_m3[first]);
  }
  return series;
}

WaterSeries Times(WaterSeries series, double factor) {
  for (auto* volumes : {&series.at_read_m3, &series.at_day_m3, &series.around_read_m3}) {
    for (double& volume : *volumes) volume *= factor;
  }
  for (auto* variances : {&series.read_variance_m6, &series.day_variance_m6}) {
    for (double& variance : *variances) variance *= factor * factor;
  }
  return series;
}

}  // namespace lastreach
