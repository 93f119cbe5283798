#include "ledger/flush_point.h"

#include "core/words.h"

namespace lastreach {

std::string_view ToText(PointKind kind) { return kind == PointKind::kDevice ? "device" : "hand"; }

std::string_view ToText(DischargeTo to) {
  switch (to) {
    case DischargeTo::kUnknown:
      return "unknown";
    case DischargeTo::kGround:
      return "ground";
    case DischargeTo::kStormDrain:
      return "storm drain";
    case DischargeTo::kCreek:
      return "creek";
    case DischargeTo::kSewer:
      return "sewer";
    case DischargeTo::kRoad:
      return "road";
    case DischargeTo::kUse:
      return "use";
  }
  return "unknown";
}

std::string_view ToText(Disinfectant disinfectant) {
  return disinfectant == Disinfectant::kFreeChlorine ? "free chlorine" : "chloramine";
}

Result<PointKind> ParsePointKind(std::string_view text) {
  constexpr PointKind kAll[] = {PointKind::kDevice, PointKind::kHand};
  return ParseByWord(text, kAll, "the kind of a flush point");
}

Result<DischargeTo> ParseDischargeTo(std::string_view text) {
  constexpr DischargeTo kAll[] = {DischargeTo::kUnknown, DischargeTo::kGround, DischargeTo::kStormDrain,
                                  DischargeTo::kCreek,   DischargeTo::kSewer,  DischargeTo::kRoad,
                                  DischargeTo::kUse};
  return ParseByWord(text, kAll, "where the water goes");
}

Result<Disinfectant> ParseDisinfectant(std::string_view text) {
  constexpr Disinfectant kAll[] = {Disinfectant::kFreeChlorine, Disinfectant::kChloramine};
  return ParseByWord(text, kAll, "the disinfectant");
}

}  // namespace lastreach
