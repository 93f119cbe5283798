#pragma once

#include <vector>

#include "ledger/flush_runs.h"
#include "ledger/records.h"
#include "town/device_truth.h"
#include "town/seeded.h"

namespace lastreach {

// What the town wrote down of one device in the year, and what is true of it. Lists are in order of time.
struct DeviceYear {
  FlushPoint point;
  ControllerForm form;
  Reach reach;
  std::vector<SettingsRecord> settings;
  std::vector<MeterRead> reads;
  std::vector<Sample> samples;
  std::vector<Visit> visits;
  std::vector<FlowTest> flow_tests;
  std::vector<FlushRun> flush_runs;
  std::vector<TestFlush> test_flushes;

  DeviceBasis basis;
  DeviceVisits happened;
  TrueValve valve;
  std::vector<Date> slips;  // reads that were typed wrongly
};

// How the town goes about its year, one for all devices.
struct TownRounds {
  std::vector<Date> reads;         // every meter, the first on 3 January and the last in the next January
  std::vector<Date> summer_reads;  // some meters, weekly
  std::vector<Date> samples;       // every other week
};
TownRounds MakeTownRounds(uint64_t seed);

// The sizes of the usual slips, as shares of the reads.
struct ReadSlips {
  double estimated = 0.02;
  double two_figures_left_out = 0.006;
  double figures_swapped = 0.006;
};

// COST: about 2 ms.
DeviceYear MakeDeviceYear(uint64_t seed, size_t index, std::optional<TroubleKind> trouble,
                          const TownRounds& rounds, const ReadSlips& slips, const Zone& zone);

// Parts of it, each with numbers of its own so that one does not shift another.
void AddSettingsAndVisits(DeviceYear& year);
void AddReads(DeviceYear& year, const TownRounds& rounds, const ReadSlips& slips, Seeded seeded,
              const Zone& zone);
void AddSamples(DeviceYear& year, const TownRounds& rounds, Seeded seeded, const Zone& zone);
void AddTests(DeviceYear& year, Seeded seeded, const Zone& zone);

// What the dial of the meter truly showed at a moment, in its own units' volume. REQUIRES: it has a meter
Volume TrueDial(const DeviceYear& year, Instant moment, const Zone& zone);

// At the end of the main, by the true reach. [mg/L]
double TrueResidual_mg_per_l(const DeviceYear& year, Instant moment, const Zone& zone,
                             double short_of_end_m3 = 0);

}  // namespace lastreach
