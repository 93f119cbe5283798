#include "report/overview.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "plan/plan_system.h"
#include "report/desk_table.h"
#include "report/device_plot.h"
#include "report/device_section.h"
#include "report/figures.h"
#include "report/page_flow.h"
#include "report/sheet_blocks.h"
#include "report/words.h"

namespace lastreach {
namespace {

constexpr double kRowPadding_pt = 3;

size_t Count(const SystemPlan& plan, bool (*is)(const DevicePlan&)) {
  return static_cast<size_t>(std::count_if(plan.devices.begin(), plan.devices.end(), is));
}

double RunsADay(const SystemPlan& plan, std::optional<Outcome> DevicePlan::*outcome) {
  double runs = 0;
  for (const DevicePlan& device : plan.devices) {
    if (device.*outcome) runs += (device.*outcome)->runs_per_day;
  }
  return runs;
}

std::string RunsNote(double runs, size_t known, size_t all) {
  std::string text = "a day, in " + ThreeDigits(std::round(runs * 10) / 10) + " runs";
  if (known < all) text += "; " + std::to_string(known) + " of " + std::to_string(all) + " devices";
  return text;
}

void AddTotals(PageFlow& flow, const SystemPlan& plan, SheetUnits units) {
  const size_t all = plan.devices.size();
  const size_t planned = Count(plan, [](const DevicePlan& d) { return d.planned_outcome.has_value(); });
  const size_t present = Count(plan, [](const DevicePlan& d) { return d.present_outcome.has_value(); });
  const bool all_proven = Count(plan, [](const DevicePlan& d) {
                            return d.bound_m3_per_day > 0 && d.bound_kind != BoundKind::kProven;
                          }) == 0;
  AddBigNumbers(
      flow,
      {{"Planned", WaterText(plan.planned_m3_per_day, units),
        RunsNote(RunsADay(plan, &DevicePlan::planned_outcome), planned, all)},
       {"Now", WaterText(plan.present_m3_per_day, units),
        RunsNote(RunsADay(plan, &DevicePlan::present_outcome), present, all) +
            (planned < all ? "; " + WaterText(PresentOfPlanned_m3_per_day(plan), units) + " by those planned"
                           : "")},
       {"Least possible", WaterText(plan.bound_m3_per_day, units),
        all_proven ? "a day, proven" : "a day, checked but not all proven"}});
  const size_t change = Count(plan, [](const DevicePlan& d) { return d.verdict == Verdict::kChange; });
  const size_t keep = Count(plan, [](const DevicePlan& d) { return d.verdict == Verdict::kKeep; });
  flow.AddGap(6);
  flow.AddText(std::to_string(all) + (all == 1 ? " device: " : " devices: ") + std::to_string(change) +
                   " to change, " + std::to_string(keep) + " to keep, " +
                   std::to_string(all - change - keep) + " where keying is not the answer.",
               kStrongStyle);
}

constexpr std::array<double, 7> kShares = {0.13, 0.22, 0.15, 0.17, 0.17, 0.08, 0.08};

std::vector<Cell> TableRow(double width_pt, const std::array<std::string, 7>& texts, bool head) {
  const double usable_pt = width_pt - (kShares.size() - 1) * kGutter_pt;
  std::vector<Cell> cells;
  for (size_t i = 0; i < texts.size(); ++i) {
    TextStyle style = kSmallStyle;
    style.bold = head || i == 0;
    cells.push_back({texts[i], kShares[i] * usable_pt, style});
  }
  return cells;
}

std::string NowToPlanned(const std::string& now, const std::string& planned) {
  return now + " \u2192 " + planned;
}

std::array<std::string, 7> TableTexts(const DevicePlan& device, SheetUnits units) {
  const auto residual = [&](const std::optional<Outcome>& outcome) {
    return outcome ? ResidualNumber(outcome->lowest_mg_per_l, device.target_mg_per_l) : std::string("?");
  };
  const auto water = [&](const std::optional<Outcome>& outcome) {
    return outcome ? WaterNumber(outcome->water_m3_per_day, units) : std::string("?");
  };
  const bool nothing = !device.planned_outcome && !device.present_outcome;
  return {device.point.code.text() + (device.assumed.empty() ? "" : " *"),
          device.point.place,
          std::string(ToWords(device.verdict)),
          nothing ? "–" : NowToPlanned(residual(device.present_outcome), residual(device.planned_outcome)),
          nothing ? "–" : NowToPlanned(water(device.present_outcome), water(device.planned_outcome)),
          device.bound_m3_per_day > 0 ? WaterNumber(device.bound_m3_per_day, units) : "–",
          device.planned_outcome ? SurenessText(device.planned_outcome->sureness) : "–"};
}

void AddTable(PageFlow& flow, const SystemPlan& plan, SheetUnits units) {
  const std::string unit = WaterUnit(units) + " a day";
  const auto head = TableRow(flow.width_pt(),
                             {"Point", "Place", "Verdict", "Lowest mg/L, now \u2192 planned",
                              "Water, " + unit + ", now \u2192 planned", "Least water", "Sure"},
                             true);
  const double head_pt = HeightOfRow(flow.canvas(), head, kRowPadding_pt);
  flow.SetHead(head_pt, [=](Canvas& canvas, Point at, double width_pt) {
    PaintRow(canvas, at, head, kRowPadding_pt);
    canvas.Line({at.x_pt, at.y_pt + head_pt - 0.6}, {at.x_pt + width_pt, at.y_pt + head_pt - 0.6},
                {.width_pt = 1.2});
  });
  for (const DevicePlan& device : plan.devices) {
    const auto cells = TableRow(flow.width_pt(), TableTexts(device, units), false);
    AddRow(flow, cells, kRowPadding_pt);
    flow.AddRule({.width_pt = 0.5});
  }
  flow.ClearHead();
}

void AddNotes(PageFlow& flow, const SystemPlan& plan) {
  flow.AddGap(8);
  for (const std::string& note : plan.notes) AddItem(flow, note, kNoteStyle);
  flow.AddGap(4);
  flow.AddText(
      "Lowest mg/L: the lowest residual at any service through the whole season, with the timer's clock an "
      "hour out either way, at the sureness asked for. Readings are ±0.1 mg/L: differences smaller than that "
      "mean nothing. Sure: share of all combinations of uncertain numbers in which every service holds the "
      "target.",
      kSmallStyle);
  flow.AddGap(4);
  flow.AddText("? nobody has recorded it; – does not apply." +
                   std::string(Count(plan, [](const DevicePlan& d) { return !d.assumed.empty(); }) > 0
                                   ? " * rests on numbers nobody measured, listed with the device as assumed."
                                   : ""),
               kSmallStyle);
  flow.AddGap(4);
  flow.AddText(
      "This is advice. The licensed operator in charge decides; local rules come first. Where flushing is "
      "not "
      "the answer, look at the source, the tank and the valves.",
      kSmallStyle);
}

}  // namespace

Status WriteOverview(const SystemPlan& plan, const SheetOptions& options, const std::string& path) {
  const Result<Zone> zone = Zone::Find(plan.zone);
  if (!zone.ok()) return zone.error();
  const std::string name = "Flushing plan" + (plan.season.empty() ? "" : ", " + plan.season);
  const auto canvas = Canvas::Pdf(SizeOf(options.paper), name, options.printed_on);
  PageFlow flow(*canvas, kDeskMargin_pt, name);
  flow.AddText(name, {.size_pt = 22, .bold = true});
  flow.AddText(DateInWords(plan.from, options.units) + " to " +
                   DateInWords(AddDays(plan.to, -1), options.units) + ". Printed " +
                   DateInWords(options.printed_on, options.units) + ".",
               kBodyStyle);
  flow.AddGap(14);
  AddTotals(flow, plan, options.units);
  flow.AddGap(10);
  AddTable(flow, plan, options.units);
  AddNotes(flow, plan);
  for (const DevicePlan& device : plan.devices) AddDeviceSection(flow, device, plan, *zone, options.units);
  flow.Draw();
  const Result<std::string> bytes = canvas->Finish();
  if (!bytes.ok()) return bytes.error();
  return WriteWhole(path, *bytes);
}

Status WriteResidualPlotPng(const DevicePlan& device, const SystemPlan& plan, const std::string& path) {
  constexpr double kPixelsPerPoint = 2.5;
  constexpr PaperSize kSize{1600 / kPixelsPerPoint, 900 / kPixelsPerPoint};
  constexpr double kBorder_pt = 14;
  const Result<Zone> zone = Zone::Find(plan.zone);
  if (!zone.ok()) return zone.error();
  const Result<ResidualPlot> plot = PlotOf(device, plan);
  if (!plot.ok()) return plot.error();
  if (!HasLines(*plot)) return BadRequest("there is nothing to plot for " + device.point.code.text());
  const auto canvas = Canvas::Png(kSize, kPixelsPerPoint);
  DrawResidualPlot(*canvas, {kBorder_pt, kBorder_pt}, kSize.width_pt - 2 * kBorder_pt,
                   kSize.height_pt - 2 * kBorder_pt, *plot, *zone);
  const Result<std::string> bytes = canvas->Finish();
  if (!bytes.ok()) return bytes.error();
  return WriteWhole(path, *bytes);
}

}  // namespace lastreach
