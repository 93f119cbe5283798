#include "plan/words.h"

#include <cmath>
#include <cstdio>

namespace lastreach {
namespace {

std::string Text(const char* format, double value) {
  char text[64];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

// "surely" where the reader asked for a share of draws.
std::string SurenessInWords(double sureness) { return Text("%.0f times in 100", 100 * sureness); }

}  // namespace

std::string Residual(double mg_per_l) {
  return mg_per_l < 0.05 ? "next to nothing" : Text("%.1f mg/L", mg_per_l);
}

std::string Percent(double share) { return Text("%.0f %%", 100 * share); }

std::string HoursAndMinutes(double hours) {
  const auto minutes = static_cast<long>(std::lround(hours * 60));
  return std::to_string(minutes / 60) + " h" +
         (minutes % 60 == 0 ? "" : " " + std::to_string(minutes % 60) + " min");
}

std::vector<std::string> ReasonsFor(const DevicePlan& plan) {
  std::vector<std::string> reasons;
  const Outcome& planned = *plan.planned_outcome;
  std::string gap = planned.longest_gap_h > 0 ? "The longest stretch without a run is " +
                                                    HoursAndMinutes(planned.longest_gap_h) + "; at its worst "
                                              : "At the worst moment ";
  reasons.push_back(gap + planned.lowest_at.words + " still has " + Residual(planned.lowest_mg_per_l) +
                    " or more " + SurenessInWords(plan.asked_sureness) + ", and " +
                    Residual(planned.middle_lowest_mg_per_l) + " if every number is as we think.");
  if (!plan.present_outcome || plan.verdict == Verdict::kKeep) return reasons;
  const Outcome& present = *plan.present_outcome;
  if (present.sureness < plan.asked_sureness) {
    reasons.push_back(
        "What is keyed now leaves " + Residual(present.lowest_mg_per_l) + " at " + present.lowest_at.words +
        (present.longest_gap_h > 0 ? " after gaps of up to " + HoursAndMinutes(present.longest_gap_h) : "") +
        ", below the target of " + Residual(plan.target_mg_per_l) + ".");
  } else if (present.water_m3_per_day > planned.water_m3_per_day) {
    reasons.push_back("What is keyed now holds too, with " +
                      Percent(present.water_m3_per_day / planned.water_m3_per_day - 1) + " more water.");
  }
  return reasons;
}

std::vector<std::string> CautionsFor(const DeviceFacts& facts) {
  std::vector<std::string> cautions;
  switch (facts.point.discharge) {
    case DischargeTo::kCreek:
    case DischargeTo::kStormDrain:
      cautions.push_back("The water reaches a " + std::string(ToText(facts.point.discharge)) +
                         ": dechlorinate, and check the dose where it enters.");
      break;
    case DischargeTo::kRoad:
      cautions.push_back("The water runs over a road: off before frost. A timer cannot sense it.");
      break;
    case DischargeTo::kSewer:
      cautions.push_back("The water goes to a sewer: keep the air gap; no submerged outlet.");
      break;
    case DischargeTo::kUnknown:
      cautions.push_back("Nobody has written down where the water goes: walk the path before the first run.");
      break;
    case DischargeTo::kGround:
    case DischargeTo::kUse:
      break;
  }
  if (facts.point.flow && facts.point.flow->origin.kind != OriginKind::kMeasured) {
    cautions.push_back(
        "The flow was not measured: time a drum at the next visit and plan anew if it differs.");
  }
  return cautions;
}

}  // namespace lastreach
