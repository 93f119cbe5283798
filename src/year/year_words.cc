#include "year/year_words.h"

#include "plan/words.h"
#include "year/turned_settings.h"

namespace lastreach {

std::string SettingsInWords(const TimerSettings& settings) {
  if (!settings.on) return "off";
  std::string text;
  for (const Programme& programme : settings.programmes) {
    if (programme.starts_min.empty()) continue;
    if (!text.empty()) text += "; ";
    for (const int start : programme.starts_min) text += FormatTimeOfDay(start) + " ";
    text += std::to_string(programme.minutes) + " min, " + Describe(programme.days);
  }
  const int percent = PercentOf(settings);
  return percent == 100 ? text : text + "; " + std::to_string(percent) + " %";
}

std::string WordsOnPart(const PartOfDevice& part, const DevicePlan& plan, const FrostSpell& frost) {
  if (part.state == PartState::kHeld) return "";
  if (part.state == PartState::kNotHeld) {
    return "nothing holds it here" + (plan.reasons.empty() ? "." : ": " + plan.reasons.front());
  }
  std::string text = "off for frost (source: " + frost.source + ")";
  if (!part.outcome) return text + "; what its end holds then is not known.";
  const Outcome& outcome = *part.outcome;
  const std::string low = outcome.lowest_at.words + " has " + Residual(outcome.lowest_mg_per_l) +
                          " at the worst moment, with the asked-for sureness";
  if (plan.asked_sureness > 0 && outcome.sureness >= plan.asked_sureness) {
    return text + ": it holds without, " + low + ".";
  }
  return text + ": the target is not held, " + low + ". Read it then, and flush by hand in a thaw.";
}

std::string WordsOnChange(const SettingsChange& change) {
  std::string text = "key in: " + SettingsInWords(change.settings);
  if (change.percent_only) text = "percentage to " + std::to_string(*change.percent_only) + " %";
  if (!change.settings.on) text = "off, with date and name";
  return change.on_a_trip ? text + " (on a trip made in that month anyway: go in its first days)" : text;
}

}  // namespace lastreach
