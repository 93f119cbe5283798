#include "ledger/flush_runs.h"

#include "core/words.h"

namespace lastreach {

std::string_view ToText(MeasuredBy by) {
  switch (by) {
    case MeasuredBy::kMeter:
      return "meter";
    case MeasuredBy::kDrum:
      return "drum";
    case MeasuredBy::kPitot:
      return "pitot";
    case MeasuredBy::kEstimate:
      return "estimate";
  }
  return "estimate";
}

Result<MeasuredBy> ParseMeasuredBy(std::string_view text) {
  constexpr MeasuredBy kAll[] = {MeasuredBy::kMeter, MeasuredBy::kDrum, MeasuredBy::kPitot,
                                 MeasuredBy::kEstimate};
  return ParseByWord(text, kAll, "how it was measured");
}

}  // namespace lastreach
