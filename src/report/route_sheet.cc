#include "report/route_sheet.h"

#include <algorithm>
#include <array>

#include "report/changes.h"
#include "report/page_flow.h"
#include "report/sheet_blocks.h"
#include "report/words.h"

namespace lastreach {
namespace {

constexpr double kTick_pt = 15;
constexpr double kRowPadding_pt = 6;

struct Line {
  std::string code;
  std::string place;
  std::string work;
};

// Shares of the width right of the tick: code, place, work, residual before, after, meter.
constexpr std::array<double, 6> kShares = {0.13, 0.27, 0.26, 0.10, 0.10, 0.14};

std::vector<Cell> Cells(double width_pt, const std::array<std::string, 6>& texts, const TextStyle& first,
                        const TextStyle& others) {
  const double usable_pt = width_pt - kTick_pt - kShares.size() * kGutter_pt;
  std::vector<Cell> cells = {{"", kTick_pt, others}};
  for (size_t i = 0; i < texts.size(); ++i) {
    cells.push_back({texts[i], kShares[i] * usable_pt, i == 0 ? first : others});
  }
  return cells;
}

void SetTableHead(PageFlow& flow) {
  constexpr TextStyle kHead{.size_pt = kLeastType_pt, .bold = true};
  const auto cells =
      Cells(flow.width_pt(), {"Point", "Place", "To do", "mg/L before", "mg/L after", "Meter"}, kHead, kHead);
  const double height_pt = HeightOfRow(flow.canvas(), cells, 3);
  flow.SetHead(height_pt, [=](Canvas& canvas, Point at, double width_pt) {
    PaintRow(canvas, at, cells, 3);
    canvas.Line({at.x_pt, at.y_pt + height_pt - 0.6}, {at.x_pt + width_pt, at.y_pt + height_pt - 0.6},
                {.width_pt = 1.2});
  });
}

// Upright lines make boxes of the three columns that are written in.
void PaintBoxes(Canvas& canvas, Point at, const std::vector<Cell>& cells, double height_pt) {
  double x_pt = at.x_pt;
  for (size_t i = 0; i < cells.size(); ++i) {
    if (i >= cells.size() - 3) {
      canvas.Line({x_pt - kGutter_pt / 2, at.y_pt}, {x_pt - kGutter_pt / 2, at.y_pt + height_pt}, {});
    }
    x_pt += cells[i].width_pt + kGutter_pt;
  }
}

void AddLine(PageFlow& flow, const Line& line) {
  constexpr TextStyle kCode{.size_pt = 12, .bold = true};
  const auto cells =
      Cells(flow.width_pt(), {line.code, line.place, line.work, "", "", ""}, kCode, kNoteStyle);
  const std::vector<std::vector<Cell>> parts = SplitRow(flow.canvas(), cells);
  for (size_t i = 0; i < parts.size(); ++i) {
    const std::vector<Cell>& part = parts[i];
    const bool is_first = i == 0;
    const bool is_last = i + 1 == parts.size();
    const double height_pt = HeightOfRow(flow.canvas(), part, kRowPadding_pt);
    flow.Add(height_pt, [=](Canvas& canvas, Point at, double width_pt) {
      if (is_first) PaintTick(canvas, {at.x_pt + 1, at.y_pt + kRowPadding_pt}, kTick_pt - 1);
      PaintRow(canvas, at, part, kRowPadding_pt);
      PaintBoxes(canvas, at, part, height_pt);
      const double y_pt = at.y_pt + height_pt - 0.4;
      if (is_last) canvas.Line({at.x_pt, y_pt}, {at.x_pt + width_pt, y_pt}, {});
    });
  }
}

void AddSubhead(PageFlow& flow, const std::string& text) {
  flow.AddGap(4);
  flow.KeepWithNext();
  flow.AddText(text, kHeadingStyle);
  flow.KeepWithNext();
}

std::string Changes(size_t count) { return count == 1 ? "1 change" : std::to_string(count) + " changes"; }

std::string WorkAt(const DevicePlan& device, SheetUnits units) {
  if (device.verdict == Verdict::kKeep) return "As now: check only";
  if (device.verdict != Verdict::kChange) return "Do not key: " + std::string(ToWords(device.verdict));
  if (!device.present) return "Read off and write down, then key new settings";
  return "Key new settings: " +
         Changes(ChangesBetween(device.form, *device.present, device.settings, units).size());
}

std::string WorkAt(const FlushPoint& point) {
  if (point.discharge == DischargeTo::kUnknown) return "Flush by hand; see where the water goes";
  return "Flush by hand; water goes to: " + std::string(ToText(point.discharge));
}

std::string Counts(const SystemPlan& plan, size_t hand_points) {
  const auto count = [&](Verdict verdict) {
    return std::count_if(plan.devices.begin(), plan.devices.end(),
                         [verdict](const DevicePlan& device) { return device.verdict == verdict; });
  };
  const auto change = count(Verdict::kChange);
  const auto keep = count(Verdict::kKeep);
  const auto others = static_cast<int64_t>(plan.devices.size()) - change - keep;
  return std::to_string(change) + " to key, " + std::to_string(keep) + " as now, " + std::to_string(others) +
         " not to be keyed; " + std::to_string(hand_points) + " flushed by hand.";
}

}  // namespace

Status WriteRouteSheet(const SystemPlan& plan, const std::vector<FlushPoint>& hand_points,
                       const SheetOptions& options, const std::string& path) {
  const PaperSize upright = SizeOf(options.paper);
  const auto canvas =
      Canvas::Pdf({upright.height_pt, upright.width_pt}, "Route sheet " + plan.season, options.printed_on);
  const std::string name = "Route sheet" + (plan.season.empty() ? "" : ", " + plan.season);
  PageFlow flow(*canvas, kMargin_pt, name);
  flow.AddText(name, {.size_pt = 20, .bold = true});
  flow.AddText(
      Counts(plan, hand_points.size()) + " Printed " + DateInWords(options.printed_on, options.units) + ".",
      kBodyStyle);
  flow.AddGap(6);
  AddPenBoxes(flow, {{"Date"}, {"Crew", 2}, {"Test kit checked, reagents in date", 2}}, 18);
  flow.AddGap(8);
  SetTableHead(flow);
  if (!plan.devices.empty()) AddSubhead(flow, "Devices");
  for (const DevicePlan& device : plan.devices) {
    AddLine(flow, {device.point.code.text(), device.point.place, WorkAt(device, options.units)});
  }
  if (!hand_points.empty()) AddSubhead(flow, "Flushed by hand");
  for (const FlushPoint& point : hand_points) AddLine(flow, {point.code.text(), point.place, WorkAt(point)});
  flow.Draw();
  const Result<std::string> bytes = canvas->Finish();
  if (!bytes.ok()) return bytes.error();
  return WriteWhole(path, *bytes);
}

}  // namespace lastreach
