#include "year/year_answer.h"

namespace lastreach {

std::string_view ToText(PartState state) {
  switch (state) {
    case PartState::kHeld:
      return "held";
    case PartState::kFrost:
      return "frost";
    case PartState::kNotHeld:
      return "not held";
  }
  return "not held";
}

std::string_view ToText(HandVerdict verdict) {
  switch (verdict) {
    case HandVerdict::kNoFlushNeeded:
      return "no flush needed";
    case HandVerdict::kFlushEvery:
      return "flush by hand";
    case HandVerdict::kTooOften:
      return "too often for a crew";
    case HandVerdict::kFlushingIsNotTheAnswer:
      return "flushing is not the answer";
    case HandVerdict::kTooLittleKnown:
      return "too little known";
  }
  return "too little known";
}

}  // namespace lastreach
