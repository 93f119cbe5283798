// Meter reads held against settings. The sums kept for each series against adding up every interval again, at
// the same explanations and with the same answer; and whole devices.
#include <benchmark/benchmark.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <memory>

#include "evidence/explanations.h"
#include "evidence/reconcile.h"

namespace lastreach {
namespace {

// A device that should run 20 minutes a night at 4 L/s and stops after three quarters of the time.
PointRecords Device(int reads, int days_between) {
  PointRecords records;
  records.zone = *Zone::Find("America/Chicago");
  records.point.code = PointCode("P1");
  records.point.flow = Sourced<Flow>{Flow::LitresPerSecond(4), {OriginKind::kMeasured, "", {}, ""}};
  records.form.follows_clock_change = true;
  SettingsRecord left;
  left.kind = SettingsKind::kAsLeft;
  left.settings.programmes.push_back({{120}, 20, kEveryWeekday, {}});
  const Date first = *ParseDate("2024-01-01");
  left.recorded = records.zone.FirstInstant(Midnight(AddDays(first, -10)));
  records.settings = {left};
  double total_m3 = 1000;
  for (int i = 0; i < reads; ++i) {
    MeterRead read;
    read.day = AddDays(first, i * days_between);
    read.minute_of_day = 720;
    read.total = Volume::CubicMetres(std::floor(total_m3 * 100) / 100);
    char text[32];
    std::snprintf(text, sizeof text, "%.2f m3", read.total.cubic_metres());
    read.original = text;
    records.reads.push_back(read);
    total_m3 += 4 * i < 3 * reads ? 4.8 * days_between : 0;
  }
  return records;
}

struct Prepared {
  SeriesMoments moments;
  std::vector<ReadVolume> volumes;
  Explanations ways;
};

Prepared Prepare(const PointRecords& records) {
  Prepared prepared;
  const auto dial = DialReads(records, 0.004, nullptr);
  std::vector<Instant> reads;
  std::unique_ptr<bool[]> has_time(new bool[dial.size()]);
  for (size_t i = 0; i < dial.size(); ++i) {
    reads.push_back(dial[i].at);
    has_time[i] = true;
    if (i > 0) prepared.volumes.push_back({dial[i].total_m3 - dial[i - 1].total_m3, 0.1});
  }
  prepared.moments = MomentsOf(records.zone, reads, {has_time.get(), dial.size()});
  prepared.ways = ExplanationsFor(records, prepared.moments, *FlowOn(records, records.reads.back().day));
  return prepared;
}

// Every interval again: one series up to a day, the other from then on.
LikelihoodTerms AddedUp(const Prepared& prepared, const WaterSeries& base, const WaterSeries& other,
                        size_t first) {
  LikelihoodTerms terms;
  const Instant begins = prepared.moments.days[first];
  for (size_t i = 0; i < prepared.volumes.size(); ++i) {
    const Instant from = prepared.moments.reads[i], to = prepared.moments.reads[i + 1];
    const auto between =
        [&](const std::vector<double>& reads_of_base, const std::vector<double>& days_of_base,
            const std::vector<double>& reads_of_other, const std::vector<double>& days_of_other) {
          if (begins >= to) return reads_of_base[i + 1] - reads_of_base[i];
          if (begins < from) return reads_of_other[i + 1] - reads_of_other[i];
          return days_of_base[first] - reads_of_base[i] + reads_of_other[i + 1] - days_of_other[first];
        };
    terms += TermsOf(
        prepared.volumes[i], between(base.at_read_m3, base.at_day_m3, other.at_read_m3, other.at_day_m3),
        between(base.read_variance_m6, base.day_variance_m6, other.read_variance_m6, other.day_variance_m6),
        0, 0);
  }
  return terms;
}

void CheckSame(const Prepared& prepared, const SwitchLikelihood& likelihood) {
  for (size_t way = 1; way < prepared.ways.series.size(); ++way) {
    for (size_t first = 0; first < prepared.moments.days.size(); first += 7) {
      const double quick = LogLikelihood(likelihood.Terms(way, first, SwitchLikelihood::kNever), 0.05);
      const double slow =
          LogLikelihood(AddedUp(prepared, prepared.ways.series[0], prepared.ways.series[way], first), 0.05);
      if (std::abs(quick - slow) > 1e-6 * std::max(1.0, std::abs(slow))) {
        std::fprintf(stderr, "series %zu, day %zu: %.12g is not %.12g\n", way, first, quick, slow);
        std::exit(1);
      }
    }
  }
}

constexpr int kWeeklyReads = 157;  // three years

void KeptSums(benchmark::State& state) {
  const Prepared prepared = Prepare(Device(kWeeklyReads, 7));
  const SwitchLikelihood likelihood(prepared.moments, prepared.volumes, prepared.ways.series);
  CheckSame(prepared, likelihood);
  for (auto _ : state) {
    double sum = 0;
    for (size_t first = 0; first < prepared.moments.days.size(); ++first) {
      sum += LogLikelihood(likelihood.Terms(1, first, SwitchLikelihood::kNever), 0.05);
    }
    benchmark::DoNotOptimize(sum);
  }
  state.SetItemsProcessed(state.iterations() * static_cast<int64_t>(prepared.moments.days.size()));
}
BENCHMARK(KeptSums);

void EveryIntervalAgain(benchmark::State& state) {
  const Prepared prepared = Prepare(Device(kWeeklyReads, 7));
  const auto& series = prepared.ways.series;
  for (auto _ : state) {
    double sum = 0;
    for (size_t first = 0; first < prepared.moments.days.size(); ++first) {
      sum += LogLikelihood(AddedUp(prepared, series[0], series[1], first), 0.05);
    }
    benchmark::DoNotOptimize(sum);
  }
  state.SetItemsProcessed(state.iterations() * static_cast<int64_t>(prepared.moments.days.size()));
}
BENCHMARK(EveryIntervalAgain);

// A whole device: reads, days between them.
void WholeDevice(benchmark::State& state) {
  const PointRecords records = Device(static_cast<int>(state.range(0)), static_cast<int>(state.range(1)));
  if (Reconcile(records).verdicts.front().kind != VerdictKind::kStopped) {
    std::fprintf(stderr, "the stop is not seen\n");
    std::exit(1);
  }
  for (auto _ : state) benchmark::DoNotOptimize(Reconcile(records));
}
BENCHMARK(WholeDevice)->Args({13, 30})->Args({53, 7})->Args({kWeeklyReads, 7})->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace lastreach

BENCHMARK_MAIN();
