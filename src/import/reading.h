#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/quantity.h"
#include "core/result.h"
#include "import/numbers.h"
#include "ledger/month_records.h"
#include "ledger/records.h"

namespace lastreach {

struct ParsedReading {
  Analyte analyte = Analyte::kFreeChlorine;
  Concentration residual;        // the reading, or what it was below
  bool below_detection = false;  // "<0.1", "ND"
  std::string note;              // "written as about"; empty mostly
};

struct ReadingOptions {
  Analyte analyte = Analyte::kFreeChlorine;  // where the cell does not say
  double mg_per_l_each = 1;                  // mg/L in one unit of bare numbers
  Concentration detection_limit;             // for "ND" and the like
  DecimalMark mark = DecimalMark::kPoint;
};

// A residual as people write it: "0.6", "0,4 mg/L", "<0.1", "ND", "BDL", "trace", "0.6T", "0.6 free", and
// "1.2/1.5", which is free and total: two readings.
// ERROR: kBadInput for anything else, for a reading below 0 or above 10 mg/L, for one the kit could not read
// (">2.2"), and for a pair with more free than total beyond what the kit can tell (0.1 mg/L).
// SOURCE: 0.1 mg/L is the accuracy of field colorimeters; common practice, no source.
Result<std::vector<ParsedReading>> ParseReading(std::string_view text, const ReadingOptions& options);

// "free", "Total Cl2", "mono", "F", "T", "free ammonia", "NO2-N". ERROR: kBadInput for anything else.
Result<Analyte> ReadAnalyte(std::string_view text);

// "TTHM", "total THMs", "HAA5". ERROR: kBadInput for anything else.
Result<Byproduct> ReadByproduct(std::string_view text);

// "ND", "BDL", "trace", ... REQUIRES: plain (Plainly).
bool SaysNotDetected(const std::string& plain);

// Takes "<", "less than" off the front; whether it was there.
bool TakeBelow(std::string& text);

}  // namespace lastreach
