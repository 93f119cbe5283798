#pragma once

#include <optional>
#include <string>
#include <vector>

#include "ledger/flush_runs.h"
#include "ledger/imports.h"

namespace lastreach {

// One residual of a row.
struct PendingResidual {
  Analyte analyte = Analyte::kFreeChlorine;
  Concentration residual;
  bool below_detection = false;
  RejectedRow listing;  // as it would be listed, should the flush be of another analyte
};

// One row of a sheet of test flushes, until it is known when the water was let on.
struct PendingReading {
  FlushReading reading;  // `after` only if `has_after`; no residual
  std::vector<PendingResidual> residuals;
  bool has_after = false;
  std::optional<int> minute_of_day;  // local, when it was read
  RejectedRow listing;               // as it would be listed, should it not fit
};

// The rows of one point and day.
struct PendingFlush {
  PointCode point;
  Date day;
  std::optional<int> opened;  // minute of the day
  std::optional<Concentration> upstream;
  std::string who;
  std::string notes;
  std::vector<PendingReading> readings;
};

}  // namespace lastreach
