#pragma once

#include <optional>
#include <string_view>

#include "import/row_reader.h"
#include "ledger/limits.h"

namespace lastreach {

// Which of the kinds of LimitRule a row means.
enum class RuleKind {
  kForbiddenHours,
  kMostFlow,
  kMostVolumeARun,
  kMostVolumeADay,
  kLeastResidual,
  kLeastPressure,
  kMostTogether,
  kLeastTankLevel,
  kFrostMonths,
  kDroughtStage,
  kMostVolumeBetweenRefills,
  kLeastFlushEvery,
};

// "least pressure", "at most 2 open at once", "drought stage 3", "no flushing in frost", ...
// ERROR: kBadInput listing the kinds.
Result<RuleKind> ReadRuleKind(std::string_view text);

// The rule in the cells of the row. None, and the row rejected, if a needed one is missing or at fault.
std::optional<LimitRule> ReadLimitRule(RowReader& row, RuleKind kind);

}  // namespace lastreach
