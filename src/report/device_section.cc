#include "report/device_section.h"

#include <cstdio>

#include "report/clock_words.h"
#include "report/device_plot.h"
#include "report/figures.h"
#include "report/sheet_blocks.h"
#include "report/words.h"

namespace lastreach {
namespace {

constexpr double kLabel_pt = 78;
constexpr double kPlotHeight_pt = 160;
constexpr TextStyle kLabelStyle{.size_pt = kLeastType_pt, .bold = true};

// One line of the section; a long text is broken over pages.
void AddFact(PageFlow& flow, const std::string& label, const std::string& text) {
  const double text_pt = flow.width_pt() - kLabel_pt - kGutter_pt;
  bool first = true;
  for (const std::string& line : flow.canvas().LinesOf(text, text_pt, kSmallStyle)) {
    AddRow(flow, {{first ? label : "", kLabel_pt, kLabelStyle}, {line, text_pt, kSmallStyle}}, 0.4);
    first = false;
  }
  flow.AddGap(2);
}

void AddFacts(PageFlow& flow, const std::string& label, const std::vector<std::string>& texts,
              std::string_view between) {
  std::string joined;
  for (const std::string& text : texts) joined.append(joined.empty() ? "" : between).append(text);
  if (!joined.empty()) AddFact(flow, label, joined);
}

std::string OneDecimal(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.1f", value);
  return text;
}

std::string RunsADay(double runs) {
  const std::string number = OneDecimal(runs);
  if (number.ends_with(".0")) {
    const std::string whole = number.substr(0, number.size() - 2);
    return whole + (whole == "1" ? " run a day" : " runs a day");
  }
  return number + " runs a day";
}

std::string OutcomeInWords(const Outcome& outcome, const DevicePlan& device, const Zone& zone,
                           SheetUnits units) {
  std::string text =
      "lowest " + ResidualText(outcome.lowest_mg_per_l, device.target_mg_per_l) + " at " +
      outcome.lowest_at.words + ", " + ShortMomentInWords(zone.ToLocal(Instant(outcome.lowest_when)), units) +
      "; holds " + ResidualText(device.target_mg_per_l) + " everywhere with " +
      SurenessText(outcome.sureness) + " sureness (asked " + SurenessText(device.asked_sureness) + "); " +
      WaterText(outcome.water_m3_per_day, units) + " a day in " + RunsADay(outcome.runs_per_day);
  if (outcome.longest_gap_h > 0) text += ", longest gap " + HoursInWords(outcome.longest_gap_h);
  return text + ".";
}

std::string BoundInWords(const DevicePlan& device, SheetUnits units) {
  const std::string amount = WaterText(device.bound_m3_per_day, units) + " a day";
  return device.bound_kind == BoundKind::kProven
             ? "No schedule whatever can hold the target with less than " + amount + " (proven)."
             : "No schedule is known that holds the target with less than " + amount +
                   " (checked, not proven).";
}

std::string ReachInWords(const ReachSummary& reach, SheetUnits units) {
  return LengthText(reach.length_m, units) + " holding " + WaterText(reach.volume_m3, units) + ", " +
         std::to_string(reach.services) + (reach.services == 1 ? " service" : " services") + " using " +
         WaterText(reach.demand_m3_per_day, units) + " a day; " + ResidualText(reach.upstream_mg_per_l) +
         " comes in and fades by " + OneDecimal(reach.decay_per_day) + " per day in still water, at " +
         TemperatureText(reach.temperature_c, units) + ".";
}

void AddTitle(PageFlow& flow, const DevicePlan& device) {
  constexpr TextStyle kName{.size_pt = 15, .bold = true};
  flow.AddGap(8);
  flow.KeepWithNext();
  flow.AddRule({.width_pt = 1.5});
  flow.KeepWithNext();
  flow.AddGap(3);
  flow.KeepWithNext();
  flow.AddText(device.point.code.text() + ": " + std::string(ToWords(device.verdict)), kName);
  flow.KeepWithNext();
  if (!device.point.place.empty()) flow.AddText(device.point.place, kNoteStyle);
  flow.KeepWithNext();
  flow.AddGap(4);
  flow.KeepWithNext();
}

void AddPlot(PageFlow& flow, const DevicePlan& device, const SystemPlan& plan, const Zone& zone,
             SheetUnits units) {
  Result<ResidualPlot> plot = PlotOf(device, plan);
  if (!plot.ok() || !HasLines(*plot)) return;
  plot->units = units;
  flow.Add(kPlotHeight_pt, [plot = *plot, zone](Canvas& canvas, Point at, double width_pt) {
    DrawResidualPlot(canvas, at, width_pt, kPlotHeight_pt, plot, zone);
  });
  flow.AddGap(4);
}

void AddSettingsAndOutcomes(PageFlow& flow, const DevicePlan& device, const Zone& zone, SheetUnits units) {
  AddFact(flow, "Keyed now",
          device.present ? SettingsInOneLine(device.form, *device.present, units) : "never recorded");
  if (device.present_outcome)
    AddFact(flow, "does", OutcomeInWords(*device.present_outcome, device, zone, units));
  if (device.verdict == Verdict::kChange) {
    AddFact(flow, "Planned", SettingsInOneLine(device.form, device.settings, units));
  }
  if (device.planned_outcome && (device.verdict != Verdict::kKeep || !device.present_outcome)) {
    AddFact(flow, "does", OutcomeInWords(*device.planned_outcome, device, zone, units));
  }
}

}  // namespace

void AddDeviceSection(PageFlow& flow, const DevicePlan& device, const SystemPlan& plan, const Zone& zone,
                      SheetUnits units) {
  AddTitle(flow, device);
  AddPlot(flow, device, plan, zone, units);
  AddSettingsAndOutcomes(flow, device, zone, units);
  AddFacts(flow, "Why", device.reasons, " ");
  AddFacts(flow, "What binds", device.binds, "; ");
  if (device.bound_m3_per_day > 0) AddFact(flow, "Least water", BoundInWords(device, units));
  if (device.reach.volume_m3 > 0) AddFact(flow, "The reach", ReachInWords(device.reach, units));
  AddFacts(flow, "Not measured", device.assumed, "; ");
}

}  // namespace lastreach
