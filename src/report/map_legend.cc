#include "report/map_legend.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

#include "report/sheet_blocks.h"

namespace lastreach {
namespace {

constexpr Ink kUnknownInk{0.62, 0.62, 0.60};
constexpr double kSample_pt = 26;  // of a line, before its words
constexpr double kRow_pt = 14.5;
constexpr TextStyle kHead{.size_pt = 10, .bold = true};

// Draws downwards in a column.
class Column {
 public:
  Column(Canvas& canvas, Point at, double width_pt, double height_pt)
      : canvas_(canvas), at_(at), width_pt_(width_pt), bottom_pt_(at.y_pt + height_pt) {}

  void Text(const std::string& text, const TextStyle& style) {
    at_.y_pt += canvas_.Text(at_, width_pt_, text, style);
  }
  void Gap(double height_pt) { at_.y_pt += height_pt; }

  // Something small, and beside it what it means.
  template <typename Draw>
  void Sample(const std::string& words, Draw&& draw) {
    const double room_pt = width_pt_ - kSample_pt - 7;
    const double height_pt = canvas_.HeightOf(words, room_pt, kSmallStyle);
    draw(Point{at_.x_pt, at_.y_pt + kRow_pt / 2});
    canvas_.Text({at_.x_pt + kSample_pt + 7, at_.y_pt + (kRow_pt - 10.5) / 2}, room_pt, words, kSmallStyle);
    at_.y_pt += std::max(kRow_pt, height_pt + 3);
  }

  bool HasRoomFor(const std::string& text, double below_pt) const {
    return at_.y_pt + canvas_.HeightOf(text, width_pt_, kSmallStyle) + below_pt <= bottom_pt_;
  }
  Point at() const { return at_; }
  double width_pt() const { return width_pt_; }

 private:
  Canvas& canvas_;
  Point at_;
  double width_pt_;
  double bottom_pt_;
};

void DrawSample(Canvas& canvas, Point at, const LineStyle& style) {
  canvas.Line({at.x_pt + 2, at.y_pt}, {at.x_pt + kSample_pt - 2, at.y_pt}, style);
}

void AddClasses(Canvas& canvas, Column& column, const NetworkMap& map) {
  const MapScale& scale = map.scale;
  const bool any_unknown = std::any_of(map.pipes.begin(), map.pipes.end(),
                                       [](const MapPipe& pipe) { return !std::isfinite(pipe.value); });
  for (size_t i = 0; i < scale.classes(); ++i) {
    const size_t which = scale.low_is_bad ? i : scale.classes() - 1 - i;  // the worst on top
    const LineStyle style{.width_pt = scale.WidthOf_pt(which), .ink = scale.InkOf(which), .round_ends = true};
    column.Sample(scale.LabelOf(which), [&](Point at) { DrawSample(canvas, at, style); });
  }
  if (any_unknown) {
    column.Sample("not known: no water comes there",
                  [&](Point at) { DrawSample(canvas, at, PipeStyle(scale, std::nan(""))); });
  }
  if (map.singled_words.empty()) return;
  column.Sample(map.singled_words, [&](Point at) {
    const size_t worst = scale.low_is_bad ? 0 : scale.classes() - 1;
    DrawSample(canvas, at,
               {.width_pt = scale.WidthOf_pt(worst), .ink = scale.InkOf(worst), .round_ends = true});
    DrawSample(canvas, at, kSingledStyle);
  });
}

void AddMarks(Canvas& canvas, Column& column, const NetworkMap& map) {
  constexpr std::array<std::pair<MapMarkKind, const char*>, 4> kWords = {
      {{MapMarkKind::kSource, "source"},
       {MapMarkKind::kTank, "tank"},
       {MapMarkKind::kDevice, "flushing device on a timer"},
       {MapMarkKind::kEnd, "end of a main, or quiet stretch"}}};
  for (const auto& [kind, words] : kWords) {
    const MapMarkKind wanted = kind;
    if (std::none_of(map.marks.begin(), map.marks.end(),
                     [wanted](const MapMark& mark) { return mark.kind == wanted; })) {
      continue;
    }
    column.Sample(words, [&](Point at) { DrawMark(canvas, {at.x_pt + kSample_pt / 2, at.y_pt}, wanted); });
  }
}

// A round length that takes up to `most_pt`, and how it is written.
struct Bar {
  double metres = 0;
  std::string words;
};

Bar BarFor(double metres_per_pt, double most_pt, SheetUnits units) {
  const bool us = units == SheetUnits::kUs;
  const double per_unit_m = us ? 0.3048 : 1;
  const double most = most_pt * metres_per_pt / per_unit_m;
  const double power = std::pow(10, std::floor(std::log10(most)));
  const double value = most >= 5 * power ? 5 * power : most >= 2 * power ? 2 * power : power;
  char text[48];
  if (!us && value >= 1000) {
    std::snprintf(text, sizeof text, "%g km", value / 1000);
  } else {
    std::snprintf(text, sizeof text, "%g %s", value, us ? "ft" : "m");
  }
  return {value * per_unit_m, text};
}

void AddBarAndNorth(Canvas& canvas, Column& column, double metres_per_pt, SheetUnits units) {
  constexpr double kMost_pt = 110;
  const Bar bar = BarFor(metres_per_pt, kMost_pt, units);
  const Point at = column.at();
  const double length_pt = bar.metres / metres_per_pt;
  constexpr LineStyle kThin{.width_pt = 0.9};
  const double y_pt = at.y_pt + 16;
  canvas.Text({at.x_pt, at.y_pt}, kMost_pt, bar.words, kSmallStyle);
  canvas.Line({at.x_pt, y_pt}, {at.x_pt + length_pt, y_pt}, kThin);
  for (const double x : {0.0, length_pt}) {
    canvas.Line({at.x_pt + x, y_pt - 3.5}, {at.x_pt + x, y_pt + 3.5}, kThin);
  }
  const double x_pt = at.x_pt + column.width_pt() - 16;
  canvas.Shape({{x_pt, at.y_pt}, {x_pt + 5, at.y_pt + 14}, {x_pt, at.y_pt + 10.5}, {x_pt - 5, at.y_pt + 14}},
               kBlack, {.width_pt = 0.5});
  canvas.Text({x_pt - 10, at.y_pt + 14}, 20, "N", {.size_pt = kLeastType_pt, .align = Align::kCentre});
  column.Gap(30);
}

void AddNotes(Column& column, const std::vector<std::string>& notes) {
  constexpr double kLine_pt = 12;
  for (size_t i = 0; i < notes.size(); ++i) {
    const bool last = i + 1 == notes.size();
    if (!column.HasRoomFor(notes[i], last ? 0 : kLine_pt)) {
      column.Text("and " + std::to_string(notes.size() - i) + " more, told by the command", kSmallStyle);
      return;
    }
    column.Text(notes[i], kSmallStyle);
    column.Gap(2);
  }
}

}  // namespace

LineStyle PipeStyle(const MapScale& scale, double value) {
  if (!std::isfinite(value)) return {.width_pt = 0.8, .ink = kUnknownInk, .dashes_pt = {2.5, 2}};
  const size_t which = scale.ClassOf(value);
  return {.width_pt = scale.WidthOf_pt(which), .ink = scale.InkOf(which), .round_ends = true};
}

double RadiusOf_pt(MapMarkKind kind) {
  switch (kind) {
    case MapMarkKind::kDevice:
      return 3.6;
    case MapMarkKind::kEnd:
      return 2.2;
    case MapMarkKind::kSource:
    case MapMarkKind::kTank:
      return 5;
  }
  return 0;
}

void DrawMark(Canvas& canvas, Point at, MapMarkKind kind) {
  const double r = RadiusOf_pt(kind);
  const LineStyle edge{.width_pt = 0.9};
  const double x = at.x_pt;
  const double y = at.y_pt;
  switch (kind) {
    case MapMarkKind::kDevice:
      canvas.Shape({{x - r, y - r}, {x + r, y - r}, {x + r, y + r}, {x - r, y + r}}, kWhite,
                   {.width_pt = 1.2});
      canvas.Disc(at, 1.3, kBlack, {.width_pt = 0.1});
      return;
    case MapMarkKind::kEnd:
      canvas.Disc(at, r, kWhite, edge);
      return;
    case MapMarkKind::kSource:
      canvas.Shape({{x, y - r}, {x + r, y}, {x, y + r}, {x - r, y}}, kBlack, {.width_pt = 1, .ink = kWhite});
      return;
    case MapMarkKind::kTank:
      canvas.Shape(
          {{x - r, y - 0.75 * r}, {x + r, y - 0.75 * r}, {x + r, y + 0.75 * r}, {x - r, y + 0.75 * r}},
          kBlack, {.width_pt = 1, .ink = kWhite});
      return;
  }
}

void DrawLegend(Canvas& canvas, Point at, double width_pt, double height_pt, const NetworkMap& map,
                double metres_per_pt, SheetUnits units, int left_out) {
  Column column(canvas, at, width_pt, height_pt);
  column.Text(map.words, kSmallStyle);
  column.Gap(6);
  AddClasses(canvas, column, map);
  column.Gap(6);
  AddMarks(canvas, column, map);
  column.Gap(8);
  AddBarAndNorth(canvas, column, metres_per_pt, units);
  column.Gap(8);
  column.Text("What it rests on", kHead);
  column.Gap(2);
  std::vector<std::string> notes = map.notes;
  if (left_out > 0) {
    notes.insert(notes.begin(), std::to_string(left_out) + (left_out == 1 ? " name" : " names") +
                                    " left out where others stand.");
  }
  AddNotes(column, notes);
}

}  // namespace lastreach
