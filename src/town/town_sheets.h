#pragma once

#include <string>

#include "core/result.h"

namespace lastreach {

// Writes the invented town's sheets into `folder`, making it if need be: devices.csv, ends.xlsx, timers.csv,
// zones.csv, limits.csv, samples.csv, reads.csv, settings.csv, temperatures.csv, trips.csv, prices.csv and
// README.txt. They are messy on purpose; README.txt says which trap sits where. Files of those names are
// overwritten; others are left alone.
//
// The bytes are the same on every call, every day and every machine.
//
// ERROR: kBadInput naming the folder or file that cannot be made.
Status WriteTownSheets(const std::string& folder);

}  // namespace lastreach
