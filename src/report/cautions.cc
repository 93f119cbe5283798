#include "report/cautions.h"

#include <algorithm>

namespace lastreach {
namespace {

// SOURCE: common practice of the trade, no source, except the air gap at a sewer: 22 CCR 64575.
std::string ForOutlet(DischargeTo outlet) {
  switch (outlet) {
    case DischargeTo::kUnknown:
      return "Nobody has noted where the water goes: follow it to its end, and write it down.";
    case DischargeTo::kGround:
      return "Watch the ground: no washed-out soil, no water towards a building.";
    case DischargeTo::kStormDrain:
      return "Goes to a storm drain: dechlorinate before the inlet, and check the water there.";
    case DischargeTo::kCreek:
      return "Goes to a creek: dechlorinate first, a little chlorine kills fish. Check the water at the "
             "bank.";
    case DischargeTo::kSewer:
      return "Goes to a sewer: keep the air gap; never a hose down the drain.";
    case DischargeTo::kRoad:
      return "Water on the road freezes, and the timer cannot feel frost: turn it off before the first "
             "frost.";
    case DischargeTo::kUse:
      return "The water is put to use: tell whoever takes it when the times change.";
  }
  return "";
}

// The plan names the outlet of the devices it has settings for; the others are left to the sheet.
bool PlanNamesOutlet(const DevicePlan& device) {
  const std::string word(device.point.discharge == DischargeTo::kUnknown ? "where the water goes"
                                                                         : ToText(device.point.discharge));
  return std::any_of(device.cautions.begin(), device.cautions.end(),
                     [&word](const std::string& text) { return text.find(word) != std::string::npos; });
}

bool HasPercentage(const DevicePlan& device) {
  const auto& programmes = device.settings.programmes;
  return device.settings.percent != 100 ||
         std::any_of(programmes.begin(), programmes.end(),
                     [](const Programme& programme) { return programme.percent.value_or(100) != 100; });
}

}  // namespace

std::vector<std::string> CautionsFor(const DevicePlan& device) {
  std::vector<std::string> cautions;
  const auto add = [&](const std::string& text) {
    if (!text.empty() && std::find(cautions.begin(), cautions.end(), text) == cautions.end()) {
      cautions.push_back(text);
    }
  };
  for (const std::string& text : device.cautions) add(text);
  // They are about what is keyed now, and no longer true once something else is.
  if (device.verdict == Verdict::kKeep) {
    for (const std::string& text : device.calendar_warnings) add(text);
  }
  if (!PlanNamesOutlet(device)) add(ForOutlet(device.point.discharge));
  const bool is_keyed = device.verdict == Verdict::kChange || device.verdict == Verdict::kKeep;
  if (is_keyed && HasPercentage(device)) add("Minutes times percentage is what runs: change one, not both.");
  if (device.verdict == Verdict::kFlushingIsNotTheAnswer) {
    add("A residual that stays low after a full flush is not a flushing problem: look at the source, the "
        "tank and the "
        "valves.");
  }
  add("Never alone in traffic or in a pit.");
  add("This is advice. The licensed operator in charge decides; local rules come first.");
  return cautions;
}

}  // namespace lastreach
