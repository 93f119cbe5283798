#include "report/network_map.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "report/map_frame.h"
#include "report/map_legend.h"

namespace lastreach {
namespace {

constexpr double kMapMargin_pt = 28;  // 10 mm
constexpr double kLegend_pt = 176;
constexpr double kGap_pt = 14;
constexpr TextStyle kTitle{.size_pt = 19, .bold = true};
constexpr TextStyle kPeriod{.size_pt = 10.5};
constexpr TextStyle kName{.size_pt = kLeastType_pt, .bold = true};

// The worst last, so that they lie on top; what is not known first.
std::vector<size_t> FromTheBest(const NetworkMap& map) {
  std::vector<size_t> order(map.pipes.size());
  std::iota(order.begin(), order.end(), size_t{0});
  const auto badness = [&](size_t i) {
    const double value = map.pipes[i].value;
    return std::isfinite(value) ? map.scale.BadnessOf(map.scale.ClassOf(value)) : -1;
  };
  std::stable_sort(order.begin(), order.end(), [&](size_t a, size_t b) { return badness(a) < badness(b); });
  return order;
}

void DrawPipes(Canvas& canvas, const NetworkMap& map, const MapFrame& frame) {
  const std::vector<size_t> order = FromTheBest(map);
  // White lines after all of them, or the round end of the next pipe would cover them.
  for (const bool white : {false, true}) {
    for (const size_t i : order) {
      const MapPipe& pipe = map.pipes[i];
      if (pipe.line.size() < 2 || (white && !pipe.singled)) continue;
      std::vector<Point> line;
      for (const MapPlace& place : pipe.line) line.push_back(frame.On(place));
      canvas.Polyline(line, white ? kSingledStyle : PipeStyle(map.scale, pipe.value));
    }
  }
}

// Marks first, the names after all of them. Gives how many names found no place.
int DrawMarks(Canvas& canvas, const NetworkMap& map, const MapFrame& frame) {
  LabelPlacer placer(frame, map);
  for (const MapMarkKind kind :
       {MapMarkKind::kEnd, MapMarkKind::kDevice, MapMarkKind::kTank, MapMarkKind::kSource}) {
    for (const MapMark& mark : map.marks) {
      if (mark.kind != kind) continue;
      DrawMark(canvas, frame.On(mark.at), kind);
      placer.Block(frame.On(mark.at), RadiusOf_pt(kind));
    }
  }
  int left_out = 0;
  for (const MapMark& mark : map.marks) {
    if (mark.label.empty()) continue;
    constexpr double kAir_pt = 1;
    const double width_pt = canvas.WidthOf(mark.label, kName) + 2 * kAir_pt;
    const double height_pt = canvas.HeightOf(mark.label, width_pt, kName);
    LabelBox box;
    if (!placer.Place(frame.On(mark.at), RadiusOf_pt(mark.kind), width_pt, height_pt, box)) {
      ++left_out;
      continue;
    }
    canvas.TextOnLines({box.at.x_pt + kAir_pt, box.at.y_pt}, width_pt, mark.label, kName);
  }
  return left_out;
}

PaperSize OnItsSide(PaperSize size) {
  return {std::max(size.width_pt, size.height_pt), std::min(size.width_pt, size.height_pt)};
}

bool HasExtent(const NetworkMap& map) {
  const MapPlace* first = nullptr;
  for (const MapPipe& pipe : map.pipes) {
    for (const MapPlace& place : pipe.line) {
      if (first == nullptr) first = &place;
      if (place.east_m != first->east_m || place.north_m != first->north_m) return true;
    }
  }
  return false;
}

}  // namespace

void DrawNetworkMap(Canvas& canvas, const NetworkMap& map, SheetUnits units) {
  const double width_pt = canvas.width_pt() - 2 * kMapMargin_pt;
  double y_pt = kMapMargin_pt;
  y_pt += canvas.Text({kMapMargin_pt, y_pt}, width_pt, map.title, kTitle);
  y_pt += canvas.Text({kMapMargin_pt, y_pt}, width_pt, map.period, kPeriod) + 8;
  const double height_pt = canvas.height_pt() - kMapMargin_pt - y_pt;
  const double map_pt = width_pt - kLegend_pt - kGap_pt;
  const MapFrame frame(map, {kMapMargin_pt, y_pt}, map_pt, height_pt);
  canvas.Fill(frame.corner(), map_pt, height_pt, kGroundInk);
  DrawPipes(canvas, map, frame);
  const int left_out = DrawMarks(canvas, map, frame);
  DrawLegend(canvas, {kMapMargin_pt + map_pt + kGap_pt, y_pt}, kLegend_pt, height_pt, map,
             frame.metres_per_pt(), units, left_out);
}

Status WriteNetworkMap(const NetworkMap& map, const SheetOptions& options, const std::string& stem) {
  if (!HasExtent(map)) return BadRequest("there is no map to draw: the network has no places");
  const PaperSize size = OnItsSide(SizeOf(options.paper));
  constexpr double kPixels = 1980;
  for (const bool pdf : {true, false}) {
    const auto canvas =
        pdf ? Canvas::Pdf(size, map.title, options.printed_on) : Canvas::Png(size, kPixels / size.width_pt);
    DrawNetworkMap(*canvas, map, options.units);
    const Result<std::string> bytes = canvas->Finish();
    if (!bytes.ok()) return bytes.error();
    if (Status written = WriteWhole(stem + (pdf ? ".pdf" : ".png"), *bytes); !written.ok()) return written;
  }
  return Ok();
}

}  // namespace lastreach
