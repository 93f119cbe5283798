#pragma once

#include <string>

#include "core/result.h"
#include "ledger/flush_runs.h"

namespace lastreach {

// The readings of one test flush, as somebody typed them beside the outlet: a comma-separated file with the
// columns `minutes` after opening and `residual_mg_per_l`, and any of `temperature_c` or `temperature_f`,
// `turbidity_ntu`, `flow_gpm` or `flow_l_per_s`, `pressure_psi` or `pressure_m` (docs/formats/fit.md). An
// empty cell was not read; "<0.1" is less than the kit tells, "ND" less than `kit_mg_per_l`. ERROR: kNotFound
// for the file; kBadInput naming file, line, column and value.
Result<TestFlush> ReadFlushCsv(const std::string& path, double kit_mg_per_l);

}  // namespace lastreach
