#include "app/plan_text.h"

#include <algorithm>
#include <cstdio>

#include "app/seasons.h"
#include "app/us_zone.h"
#include "plan/plan_json.h"
#include "plan/plan_system.h"
#include "plan/words.h"
#include "report/device_sentences.h"
#include "report/figures.h"

namespace lastreach {
namespace {

std::string Number(const char* format, double value) {
  char text[48];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

std::string SettingsLine(const DevicePlan& device) {
  std::string line;
  for (const Programme& programme : device.settings.programmes) {
    if (programme.starts_min.empty()) continue;
    if (!line.empty()) line += "; ";
    for (const int start : programme.starts_min) line += FormatTimeOfDay(start) + " ";
    line += std::to_string(programme.minutes) + " min, " + Describe(programme.days);
  }
  if (!device.settings.on) return "off";
  if (device.settings.percent != 100) line += ", " + std::to_string(device.settings.percent) + " %";
  return line;
}

void PrintView(const NetworkView& view, std::ostream& out) {
  out << "  whole network: the main at its tee carries " << Number("%.1f", view.root_mg_per_l)
      << " mg/L at the least (" << Number("%.1f", view.root_now_mg_per_l) << " now), its customers "
      << Number("%.1f", view.lowest_mg_per_l) << " (" << Number("%.1f", view.lowest_now_mg_per_l) << " now)"
      << (view.confirmed ? "" : "; LESS THAN THE SETTINGS COUNT ON") << "\n";
}

// The two sentences of the overview, then what they do not say.
void PrintReasons(const DevicePlan& device, SheetUnits units, std::ostream& out) {
  std::vector<std::string> said;
  if (device.planned_outcome) {
    out << "  " << DeviceInTwoSentences(device, units) << "\n";
    said = ReasonsFor(device);
  }
  for (const std::string& reason : device.reasons) {
    if (std::find(said.begin(), said.end(), reason) == said.end()) out << "  " << reason << "\n";
  }
}

void PrintDevice(const DevicePlan& device, SheetUnits units, std::ostream& out) {
  out << "\n"
      << device.point.code.text() << (device.point.place.empty() ? "" : "  " + device.point.place) << ": "
      << ToText(device.verdict)
      << (device.stopped_early ? " (planning was stopped: there may be better)" : "") << "\n";
  const bool keyed = device.verdict == Verdict::kChange || device.verdict == Verdict::kKeep;
  if (keyed) out << "  key in: " << SettingsLine(device) << "\n";
  if (device.planned_outcome) {
    const Outcome& outcome = *device.planned_outcome;
    out << "  lowest " << Number("%.1f", outcome.lowest_mg_per_l) << " mg/L at " << outcome.lowest_at.words
        << " (sure " << Number("%.0f %%", 100 * outcome.sureness) << "); water "
        << WaterText(outcome.water_m3_per_day, units) << " a day, least possible "
        << WaterText(device.bound_m3_per_day, units) << "\n";
  }
  if (device.present_outcome) {
    const Outcome& outcome = *device.present_outcome;
    out << "  now:   lowest " << Number("%.1f", outcome.lowest_mg_per_l) << " mg/L (sure "
        << Number("%.0f %%", 100 * outcome.sureness) << "); water "
        << WaterText(outcome.water_m3_per_day, units) << " a day\n";
  }
  if (device.on_network) PrintView(*device.on_network, out);
  PrintReasons(device, units, out);
  for (const std::string& bind : device.binds) out << "  - " << bind << "\n";
  if (!device.assumed.empty()) {
    out << "  assumed: ";
    for (size_t i = 0; i < device.assumed.size(); ++i) out << (i > 0 ? "; " : "") << device.assumed[i];
    out << "\n";
  }
  for (const std::string& caution : device.cautions) out << "  ! " << caution << "\n";
}

void PrintTogether(const ArrangementSummary& together, std::ostream& out) {
  if (together.conflicts.empty()) {
    out << "Together: every limit on devices that run at the same time is kept, " << together.care << "; "
        << (together.moved == 0 ? std::string("none had") : std::to_string(together.moved) + " had")
        << " to move.\n";
  }
  for (const std::string& conflict : together.conflicts) out << "! " << conflict << "\n";
  for (const std::string& lowest : together.week) out << lowest << "\n";
  for (const std::string& caution : together.cautions) out << caution << "\n";
}

void PrintNetwork(const NetworkSummary& network, SheetUnits units, std::ostream& out) {
  out << "The whole network was run with the plan (" << network.rounds.size()
      << (network.rounds.size() == 1 ? " round" : " rounds") << "): "
      << (network.confirmed ? "every main carries what the settings count on."
                            : "NOT every main carries what the settings count on; see the devices.")
      << "\nLowest pressure where anything is drawn: " << PressureText(network.lowest_pressure_m, units)
      << " at " << network.lowest_pressure_at << ", " << PressureText(network.lowest_pressure_now_m, units)
      << " now.\n";
  if (network.together) PrintTogether(*network.together, out);
  for (const std::string& closing : network.closings) out << "! " << closing << "\n";
}

}  // namespace

void PrintPlan(const SystemPlan& plan, std::ostream& out) {
  out << "Plan for " << plan.season << ", " << FormatDate(plan.from) << " to "
      << FormatDate(AddDays(plan.to, -1)) << ", " << plan.devices.size()
      << (plan.devices.size() == 1 ? " device\n" : " devices\n");
  const SheetUnits units = IsUsZone(plan.zone) ? SheetUnits::kUs : SheetUnits::kMetric;
  for (const DevicePlan& device : plan.devices) PrintDevice(device, units, out);
  const auto planned = std::count_if(plan.devices.begin(), plan.devices.end(), [](const DevicePlan& device) {
    return device.planned_outcome.has_value();
  });
  out << "\nWater: " << WaterText(plan.planned_m3_per_day, units) << " a day planned, "
      << WaterText(PresentOfPlanned_m3_per_day(plan), units) << " now";
  if (planned < std::ssize(plan.devices)) {
    out << " by the same " << planned << " devices (" << WaterText(plan.present_m3_per_day, units)
        << " by all)";
  }
  out << ", " << WaterText(plan.bound_m3_per_day, units) << " the least any schedule could do.\n";
  if (plan.network) PrintNetwork(*plan.network, units, out);
  for (const std::string& note : plan.notes) out << note << "\n";
  out << "A planning aid: the licensed operator in charge decides, and local rules come first.\n";
}

}  // namespace lastreach
