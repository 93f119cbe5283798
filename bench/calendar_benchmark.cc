// How fast a year of settings is expanded, against the least that any expansion must do: writing as many runs
// into a vector with room for them, in the same run, on one core.
//
//   build/bench/calendar_benchmark
//
// Counters:
//   ms_per_1000_device_years   CPU time
//   runs_per_s                 runs listed
//   ratio_to_writing           time over that of the plain pass
#include <benchmark/benchmark.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <random>
#include <vector>

#include "calendar/minute_oracle.h"
#include "calendar/runs.h"

namespace lastreach {
namespace {

constexpr int kDevices = 1000;
constexpr int kProgrammes = 3;
constexpr int kMostStarts = 4;
constexpr int kChecked = 25;  // devices walked minute by minute before anything is timed
constexpr uint32_t kSeed = 1123;

struct Device {
  ControllerForm form;
  TimerSettings settings;
  ClockState clock;
};

DateWindow Year() {
  const Date first{std::chrono::year(2026), std::chrono::month(1), std::chrono::day(1)};
  return {first, AddYears(first, 1)};
}

// Every kind of day pattern and overlap, one to four starts a programme, some of them meeting.
std::vector<Device> MakeDevices() {
  std::mt19937 engine(kSeed);
  const auto roll = [&engine](int least, int most) {
    return least + static_cast<int>(engine() % static_cast<uint32_t>(most - least + 1));
  };
  constexpr Overlap kOverlaps[] = {Overlap::kQueue, Overlap::kMerge, Overlap::kDrop, Overlap::kRestart,
                                   Overlap::kUnknown};
  std::vector<Device> devices(kDevices);
  for (int d = 0; d < kDevices; ++d) {
    Device& device = devices[static_cast<size_t>(d)];
    device.form.overlap = kOverlaps[d % 5];
    device.form.minutes_step = 1;
    device.form.odd_skips_31st = roll(0, 1) == 1;
    device.clock = {roll(0, 1) == 1, roll(-30, 30)};
    for (int p = 0; p < kProgrammes; ++p) {
      Programme programme;
      for (int s = roll(1, kMostStarts); s > 0; --s) programme.starts_min.push_back(5 * roll(0, 287));
      programme.minutes = roll(5, 60);
      switch (roll(0, 3)) {
        case 0:
          programme.days = OddDates{};
          break;
        case 1:
          programme.days = EvenDates{};
          break;
        case 2:
          programme.days = EveryNDays{roll(1, 9), AddDays(Year().from, -roll(0, 20))};
          break;
        default:
          programme.days = Weekdays{static_cast<unsigned>(roll(1, 127))};
      }
      device.settings.programmes.push_back(std::move(programme));
    }
  }
  return devices;
}

void CheckAnswers(const std::vector<Device>& devices, const Zone& zone) {
  for (int d = 0; d < kChecked; ++d) {
    const Device& device = devices[static_cast<size_t>(d)];
    if (ExpandRuns(device.form, device.settings, zone, Year(), device.clock) ==
        RunsByWalkingEveryMinute(device.form, device.settings, zone, Year(), device.clock)) {
      continue;
    }
    std::fprintf(stderr, "device %d: the expansion and the walk differ: wrong, not timed\n", d);
    std::exit(3);
  }
}

double CpuSeconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

double SecondsToWrite(size_t runs) {
  constexpr int kRepeats = 20;
  const double begin_s = CpuSeconds();
  for (int repeat = 0; repeat < kRepeats; ++repeat) {
    std::vector<Run> written;
    written.reserve(runs);
    for (size_t i = 0; i < runs; ++i) {
      written.push_back({MinuteInstant(std::chrono::minutes(static_cast<int64_t>(i))), 30, 1});
    }
    benchmark::DoNotOptimize(written.data());
    benchmark::ClobberMemory();
  }
  return (CpuSeconds() - begin_s) / kRepeats;
}

void ThousandDeviceYears(benchmark::State& state) {
  const Zone zone = *Zone::Find("America/Chicago");
  const std::vector<Device> devices = MakeDevices();
  CheckAnswers(devices, zone);
  size_t runs = 0;
  const double begin_s = CpuSeconds();
  for ([[maybe_unused]] auto _ : state) {
    runs = 0;
    for (const Device& device : devices) {
      const auto expanded = ExpandRuns(device.form, device.settings, zone, Year(), device.clock);
      runs += expanded.size();
      benchmark::DoNotOptimize(expanded.data());
    }
  }
  const double pass_s = (CpuSeconds() - begin_s) / static_cast<double>(state.iterations());
  state.counters["ms_per_1000_device_years"] = pass_s * 1000;
  state.counters["runs"] = static_cast<double>(runs);
  state.counters["runs_per_s"] = static_cast<double>(runs) / pass_s;
  state.counters["ratio_to_writing"] = pass_s / SecondsToWrite(runs);
}
BENCHMARK(ThousandDeviceYears)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace lastreach

BENCHMARK_MAIN();
