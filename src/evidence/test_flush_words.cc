#include "evidence/test_flush.h"

namespace lastreach {

std::string_view ToText(FlushAdvice advice) {
  switch (advice) {
    case FlushAdvice::kGoOn:
      return "go on";
    case FlushAdvice::kFlat:
      return "flat";
    case FlushAdvice::kFlatButWeak:
      return "flat but weak";
    case FlushAdvice::kNothingArrives:
      return "nothing arrives";
    case FlushAdvice::kPressureTooLow:
      return "pressure too low";
  }
  return "go on";
}

std::string_view ToText(PlateauVerdict verdict) {
  switch (verdict) {
    case PlateauVerdict::kNotFlat:
      return "not flat";
    case PlateauVerdict::kMainNotKnown:
      return "main not known";
    case PlateauVerdict::kAsTheMain:
      return "as the main";
    case PlateauVerdict::kBelowTheMain:
      return "below the main";
    case PlateauVerdict::kAboveTheMain:
      return "above the main";
  }
  return "not flat";
}

std::string_view ToText(VolumeVerdict verdict) {
  switch (verdict) {
    case VolumeVerdict::kNotKnown:
      return "not known";
    case VolumeVerdict::kMapRight:
      return "map right";
    case VolumeVerdict::kLessThanMap:
      return "less than the map";
    case VolumeVerdict::kMoreThanMap:
      return "more than the map";
    case VolumeVerdict::kNeverCame:
      return "never came";
  }
  return "not known";
}

}  // namespace lastreach
