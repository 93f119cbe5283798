#pragma once

#include <vector>

#include "ledger/month_records.h"
#include "town/device_year.h"

namespace lastreach {

// What the year is made of. Same options, same year, on every machine.
struct DirtyYearOptions {
  uint64_t seed = 20250103;
  std::vector<TroubleKind> troubles = {kEveryTrouble.begin(), kEveryTrouble.end()};  // each at its own device
  ReadSlips slips;
};

// The year 2025 of the invented town: what was written down of every device, some ends flushed by hand and
// the system, what is true of it, and the answer key.
struct DirtyYear {
  std::vector<ControllerForm> forms;
  std::vector<SupplyZone> zones;
  std::vector<DeviceYear> devices;  // D01 to D24
  std::vector<FlushPoint> hand_ends;
  std::vector<FlushRun> hand_flushes;  // in order of time
  std::vector<ByproductResult> byproducts;
  std::vector<SuppliedMonth> supplied;  // January to December
  std::vector<Trouble> troubles;        // in order of code
};

// COST: about 0.1 s. REQUIRES: at most twelve troubles, none twice
DirtyYear MakeDirtyYear(const DirtyYearOptions& options = {});

// The town's records that are no device's: parts of the above.
std::vector<FlushPoint> HandEndPoints();
std::vector<FlushRun> MakeHandFlushes(const std::vector<FlushPoint>& ends, Seeded seeded, const Zone& zone);
std::vector<ByproductResult> MakeByproducts(Seeded seeded);
std::vector<SuppliedMonth> MakeSupplied(const std::vector<DeviceYear>& devices, Seeded seeded,
                                        const Zone& zone);

}  // namespace lastreach
