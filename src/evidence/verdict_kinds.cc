#include "evidence/reconcile.h"

namespace lastreach {

std::string_view ToText(VerdictKind kind) {
  switch (kind) {
    case VerdictKind::kRanAsSet:
      return "ran as set";
    case VerdictKind::kStopped:
      return "stopped";
    case VerdictKind::kStuckOpen:
      return "stuck open";
    case VerdictKind::kWrongClockOrDay:
      return "wrong clock or day";
    case VerdictKind::kPercentChanged:
      return "percentage changed";
    case VerdictKind::kFlowDrifted:
      return "flow drifted";
    case VerdictKind::kReadMistake:
      return "read or unit mistake";
    case VerdictKind::kDribbling:
      return "dribbling valve";
    case VerdictKind::kRanPlanned:
      return "ran planned settings";
    case VerdictKind::kNoneOfThese:
      break;
  }
  return "none of these";
}

std::string_view ToText(ReconcileState state) {
  switch (state) {
    case ReconcileState::kJudged:
      return "judged";
    case ReconcileState::kNoMeter:
      return "no meter";
    case ReconcileState::kNoReads:
      return "no reads";
    case ReconcileState::kNoSettings:
      return "no settings";
    case ReconcileState::kNoFlow:
      break;
  }
  return "no flow";
}

double PriorOf(VerdictKind kind) {
  switch (kind) {
    case VerdictKind::kRanAsSet:
      return 0.72;
    case VerdictKind::kStopped:
      return 0.08;
    case VerdictKind::kWrongClockOrDay:
    case VerdictKind::kPercentChanged:
      return 0.04;
    case VerdictKind::kStuckOpen:
    case VerdictKind::kFlowDrifted:
    case VerdictKind::kReadMistake:
      return 0.03;
    case VerdictKind::kDribbling:
      return 0.015;
    case VerdictKind::kRanPlanned:
      return 0.01;
    case VerdictKind::kNoneOfThese:
      break;
  }
  return 0.005;
}

}  // namespace lastreach
