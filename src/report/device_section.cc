#include "report/device_section.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "report/clock_words.h"
#include "report/device_plot.h"
#include "report/device_sentences.h"
#include "report/figures.h"
#include "report/sheet_blocks.h"
#include "report/words.h"

namespace lastreach {
namespace {

constexpr double kLabel_pt = 68;
constexpr double kPlotHeight_pt = 110;
constexpr TextStyle kLabelStyle{.size_pt = kLeastType_pt, .bold = true};

// One line of the section; a long text is broken over pages.
void AddFact(PageFlow& flow, const std::string& label, const std::string& text) {
  const double text_pt = flow.width_pt() - kLabel_pt - kGutter_pt;
  bool first = true;
  for (const std::string& line : flow.canvas().LinesOf(text, text_pt, kSmallStyle)) {
    AddRow(flow, {{first ? label : "", kLabel_pt, kLabelStyle}, {line, text_pt, kSmallStyle}}, 0.2);
    first = false;
  }
  flow.AddGap(1);
}

// Sentences follow each other; phrases are set apart by semicolons.
void AddFacts(PageFlow& flow, const std::string& label, const std::vector<std::string>& texts) {
  std::string joined;
  for (const std::string& text : texts) {
    if (!joined.empty()) joined += joined.ends_with('.') ? " " : "; ";
    joined += text;
  }
  if (!joined.empty()) AddFact(flow, label, joined);
}

std::string OneDecimal(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.1f", value);
  return text;
}

std::string RunsADay(double runs) {
  std::string number = OneDecimal(runs);
  if (number.ends_with(".0")) number.resize(number.size() - 2);
  return number + (number == "1" ? " run a day" : " runs a day");
}

std::string GapInShort(double hours) {
  return hours < 71.5 ? std::to_string(std::lround(hours)) + " h" : HoursInWords(hours);
}

std::string OutcomeInWords(const Outcome& outcome, const DevicePlan& device, const Zone& zone,
                           SheetUnits units) {
  std::string text = "lowest " + ResidualText(outcome.lowest_mg_per_l, device.target_mg_per_l) + " (" +
                     outcome.lowest_at.words + ", " +
                     MomentInDigits(zone.ToLocal(outcome.lowest_when), units) + "), " +
                     SurenessText(outcome.sureness) + " sure; " + WaterText(outcome.water_m3_per_day, units) +
                     ", " + RunsADay(outcome.runs_per_day);
  if (outcome.longest_gap_h > 0) text += ", longest gap " + GapInShort(outcome.longest_gap_h);
  return text + ".";
}

std::string BoundInWords(const DevicePlan& device, SheetUnits units) {
  const std::string amount = WaterText(device.bound_m3_per_day, units) + " a day";
  return device.bound_kind == BoundKind::kProven
             ? "No schedule whatever can hold the target with less than " + amount +
                   " (proven, for numbers as bad as planned for)."
             : "No schedule is known that holds the target with less than " + amount +
                   " (checked, not proven).";
}

std::string ReachInWords(const ReachSummary& reach, SheetUnits units) {
  return LengthText(reach.length_m, units) + " holding " + WaterText(reach.volume_m3, units) + ", " +
         std::to_string(reach.services) + (reach.services == 1 ? " service" : " services") + " using " +
         WaterText(reach.demand_m3_per_day, units) + " a day; " + ResidualText(reach.upstream_mg_per_l) +
         " comes in, fades at a rate of " + OneDecimal(reach.decay_per_day) + " per day in still water at " +
         TemperatureText(reach.temperature_c, units) + ".";
}

void AddTitle(PageFlow& flow, const DevicePlan& device) {
  constexpr TextStyle kName{.size_pt = 14, .bold = true};
  const std::string name = device.point.code.text() + ": " + std::string(ToWords(device.verdict));
  flow.AddGap(7);
  flow.AddRule({.width_pt = 1.5});
  flow.AddGap(2);
  const double name_pt = std::min(flow.canvas().WidthOf(name, kName) + 4, 0.6 * flow.width_pt());
  TextStyle place = kNoteStyle;
  place.align = Align::kRight;
  AddRow(flow, {{name, name_pt, kName}, {device.point.place, flow.width_pt() - name_pt - kGutter_pt, place}});
  flow.AddGap(2);
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
  AddFacts(flow, "its calendar", device.calendar_warnings);
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
  flow.BeginTogether();
  AddTitle(flow, device);
  flow.AddText(DeviceInTwoSentences(device, units), kNoteStyle);
  flow.AddGap(4);
  AddPlot(flow, device, plan, zone, units);
  AddSettingsAndOutcomes(flow, device, zone, units);
  AddFacts(flow, "Why", device.reasons);
  std::vector<std::string> binds = device.binds;
  if (device.bound_m3_per_day > 0) binds.push_back(BoundInWords(device, units));
  AddFacts(flow, "What binds", binds);
  if (device.reach.volume_m3 > 0) AddFact(flow, "The reach", ReachInWords(device.reach, units));
  AddFacts(flow, "Assumed", device.assumed);
  flow.EndTogether();
}

}  // namespace lastreach
