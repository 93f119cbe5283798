#include "report/plot.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "report/words.h"

namespace lastreach {
namespace {

namespace chrono = std::chrono;

// Both read on white (contrast 7.8 and 5.2 to 1 by the formula of WCAG 2.1) and differ in lightness on a grey
// copy.
constexpr Ink kTeal{0.00, 0.36, 0.38};
constexpr Ink kOrange{0.73, 0.29, 0.00};
constexpr Ink kGridInk{0.80, 0.80, 0.80};

constexpr TextStyle kLabelStyle{.size_pt = kLeastType_pt};
constexpr double kLeft_pt = 30;   // numbers of the axis
constexpr double kRight_pt = 84;  // names of the lines
constexpr double kRunRow_pt = 9;
constexpr double kDays_pt = 24;  // weekday and date
constexpr double kLineHeight_pt = 11;

LineStyle PresentStyle() { return {.width_pt = 1.3, .ink = kTeal, .dashes_pt = {5, 2.5}}; }
LineStyle PlannedStyle() { return {.width_pt = 1.8, .ink = kOrange}; }
LineStyle TargetStyle() { return {.width_pt = 1.0, .ink = kBlack, .dashes_pt = {1, 2.5}}; }

std::string OneDecimal(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.1f", value);
  return text;
}

bool IsEmpty(const PlotSeries& series) { return series.residual.hours.empty(); }

// Where hours and mg/L lie on the page.
struct Axes {
  Point corner;  // top left of the field
  double width_pt = 0;
  double height_pt = 0;
  Instant begin;
  double hours = 1;
  double top_mg_per_l = 1;
  double step_mg_per_l = 1;

  double X(double hour) const { return corner.x_pt + width_pt * std::clamp(hour / hours, 0.0, 1.0); }
  double Y(double mg_per_l) const {
    return corner.y_pt + height_pt * (1 - std::clamp(mg_per_l / top_mg_per_l, 0.0, 1.0));
  }
  double HourOf(Instant instant) const {
    return chrono::duration<double, std::ratio<3600>>(instant - begin).count();
  }
  double bottom_pt() const { return corner.y_pt + height_pt; }
  double right_pt() const { return corner.x_pt + width_pt; }
};

double StepOf(double top_mg_per_l) { return top_mg_per_l <= 1.2 ? 0.2 : top_mg_per_l <= 3 ? 0.5 : 1; }

Axes AxesFor(Point at, double width_pt, double height_pt, const ResidualPlot& plot) {
  Axes axes;
  axes.corner = {at.x_pt + kLeft_pt, at.y_pt};
  axes.width_pt = width_pt - kLeft_pt - kRight_pt;
  axes.height_pt = height_pt - 2 * kRunRow_pt - kDays_pt;
  const PlotSeries& first = IsEmpty(plot.planned) ? plot.present : plot.planned;
  axes.begin = first.residual.begin;
  double highest = plot.target_mg_per_l;
  for (const PlotSeries* series : {&plot.present, &plot.planned}) {
    if (IsEmpty(*series)) continue;
    axes.hours = std::max(axes.hours, axes.HourOf(series->residual.begin) + series->residual.hours.back());
    for (const double value : series->residual.mg_per_l) {
      if (std::isfinite(value)) highest = std::max(highest, value);
    }
  }
  axes.step_mg_per_l = StepOf(highest * 1.05);
  axes.top_mg_per_l = std::max(1.0, std::ceil(highest * 1.05 / axes.step_mg_per_l)) * axes.step_mg_per_l;
  return axes;
}

void DrawLevels(Canvas& canvas, const Axes& axes) {
  TextStyle right = kLabelStyle;
  right.align = Align::kRight;
  const double step = axes.step_mg_per_l;
  for (int i = 0; i * step <= axes.top_mg_per_l + step / 2; ++i) {
    const double y_pt = axes.Y(i * step);
    canvas.Line({axes.corner.x_pt, y_pt}, {axes.right_pt(), y_pt},
                {.width_pt = i == 0 ? 1.0 : 0.4, .ink = i == 0 ? kBlack : kGridInk});
    canvas.Text({axes.corner.x_pt - kLeft_pt, y_pt - 5.5}, kLeft_pt - 5, OneDecimal(i * step), right);
  }
}

// A line at every local midnight, and the day's name in the middle of the day; every second day or fewer
// where they would touch.
void DrawDays(Canvas& canvas, const Axes& axes, const Zone& zone, SheetUnits units) {
  TextStyle centred = kLabelStyle;
  centred.align = Align::kCentre;
  const Date first{chrono::floor<chrono::days>(zone.ToLocal(axes.begin))};
  const double day_pt = axes.width_pt * 24 / axes.hours;
  // As wide as a date gets, and room beside it.
  const double label_pt =
      canvas.WidthOf(ShortDate(Date(first.year(), chrono::August, chrono::day(28)), units), kLabelStyle) + 3;
  const int every = std::max(1, static_cast<int>(std::ceil(label_pt / day_pt)));
  for (int day = 0;; ++day) {
    const Date date = AddDays(first, day);
    const double begin = axes.HourOf(zone.FirstInstant(Midnight(date)));
    const double end = axes.HourOf(zone.FirstInstant(Midnight(AddDays(date, 1))));
    if (begin >= axes.hours) break;
    if (begin > 0) {
      canvas.Line({axes.X(begin), axes.corner.y_pt}, {axes.X(begin), axes.bottom_pt() + 2 * kRunRow_pt},
                  {.width_pt = 0.4, .ink = kGridInk});
    }
    // A day of which less than half is shown has no room for its name.
    if (day % every != 0 || std::min(end, axes.hours) - std::max(begin, 0.0) < 12) continue;
    const double middle_pt = (axes.X(begin) + axes.X(end)) / 2;
    const double y_pt = axes.bottom_pt() + 2 * kRunRow_pt + 1;
    canvas.Text({middle_pt - label_pt / 2, y_pt}, label_pt, std::string(WeekdayName(date).substr(0, 3)),
                centred);
    canvas.Text({middle_pt - label_pt / 2, y_pt + kLineHeight_pt}, label_pt, ShortDate(date, units), centred);
  }
}

void DrawCurve(Canvas& canvas, const Axes& axes, const PlotSeries& series, const LineStyle& style) {
  std::vector<Point> stretch;
  const auto draw = [&] {
    if (stretch.size() > 1) canvas.Polyline(stretch, style);
    stretch.clear();
  };
  const double shift = axes.HourOf(series.residual.begin);
  for (size_t i = 0; i < series.residual.hours.size(); ++i) {
    const double value = series.residual.mg_per_l[i];
    if (!std::isfinite(value)) {
      draw();
      continue;
    }
    stretch.push_back({axes.X(shift + series.residual.hours[i]), axes.Y(value)});
  }
  draw();
}

void DrawRuns(Canvas& canvas, const Axes& axes, const PlotSeries& series, double y_pt, Ink ink) {
  for (const Run& run : series.runs) {
    const double hour = axes.HourOf(run.start);
    if (hour < 0 || hour > axes.hours) continue;
    canvas.Line({axes.X(hour), y_pt}, {axes.X(hour), y_pt + kRunRow_pt - 3}, {.width_pt = 1.4, .ink = ink});
  }
  TextStyle style = kLabelStyle;
  style.ink = ink;
  canvas.Text({axes.right_pt() + 6, y_pt - 3}, kRight_pt - 6, series.label + " runs", style);
}

// The title, and beside it (or below, where it is long) how good a reading is. Returns the height.
double DrawTitle(Canvas& canvas, Point at, double width_pt, const std::string& title) {
  constexpr TextStyle kTitleStyle{.size_pt = 10, .bold = true};
  constexpr char kNote[] = "readings are ±0.1 mg/L";
  const double title_pt = canvas.Text(at, width_pt, title, kTitleStyle);
  const bool beside = canvas.WidthOf(title, kTitleStyle) + canvas.WidthOf(kNote, kLabelStyle) + 20 < width_pt;
  if (!beside) return title_pt + canvas.Text({at.x_pt, at.y_pt + title_pt}, width_pt, kNote, kLabelStyle);
  TextStyle right = kLabelStyle;
  right.align = Align::kRight;
  canvas.Text({at.x_pt, at.y_pt + 1}, width_pt, kNote, right);
  return title_pt;
}

struct Name {
  std::string text;
  double y_pt = 0;  // of the line it names, then of the text's middle
  LineStyle style;
};

double LastValue(const ResidualSeries& series) {
  for (size_t i = series.mg_per_l.size(); i-- > 0;) {
    if (std::isfinite(series.mg_per_l[i])) return series.mg_per_l[i];
  }
  return 0;
}

// Names at the right, a piece of their line before each, moved apart where they would touch.
void DrawNames(Canvas& canvas, const Axes& axes, std::vector<Name> names) {
  std::sort(names.begin(), names.end(), [](const Name& a, const Name& b) { return a.y_pt < b.y_pt; });
  for (size_t i = 1; i < names.size(); ++i) {
    names[i].y_pt = std::max(names[i].y_pt, names[i - 1].y_pt + kLineHeight_pt + 1);
  }
  double lowest_pt = axes.bottom_pt() - kLineHeight_pt / 2;
  for (size_t i = names.size(); i-- > 0;) {
    names[i].y_pt = std::min(names[i].y_pt, lowest_pt);
    lowest_pt = names[i].y_pt - kLineHeight_pt - 1;
  }
  for (const Name& name : names) {
    const double x_pt = axes.right_pt() + 4;
    canvas.Line({x_pt, name.y_pt}, {x_pt + 16, name.y_pt}, name.style);
    TextStyle style{.size_pt = kLeastType_pt, .bold = true};
    style.ink = name.style.ink;
    canvas.Text({x_pt + 19, name.y_pt - kLineHeight_pt / 2}, kRight_pt - 23, name.text, style);
  }
}

}  // namespace

void DrawResidualPlot(Canvas& canvas, Point at, double width_pt, double height_pt, const ResidualPlot& plot,
                      const Zone& zone) {
  const double title_pt = DrawTitle(canvas, at, width_pt, plot.title) + 6;
  const Axes axes = AxesFor({at.x_pt, at.y_pt + title_pt}, width_pt, height_pt - title_pt, plot);
  DrawLevels(canvas, axes);
  DrawDays(canvas, axes, zone, plot.units);
  canvas.Line({axes.corner.x_pt, axes.Y(plot.target_mg_per_l)},
              {axes.right_pt(), axes.Y(plot.target_mg_per_l)}, TargetStyle());
  std::vector<Name> names = {
      {"target " + OneDecimal(plot.target_mg_per_l), axes.Y(plot.target_mg_per_l), TargetStyle()}};
  double runs_pt = axes.bottom_pt() + 2;
  for (const auto& [series, style] :
       {std::pair{&plot.present, PresentStyle()}, std::pair{&plot.planned, PlannedStyle()}}) {
    if (IsEmpty(*series)) continue;
    DrawCurve(canvas, axes, *series, style);
    DrawRuns(canvas, axes, *series, runs_pt, style.ink);
    names.push_back({series->label, axes.Y(LastValue(series->residual)), style});
    runs_pt += kRunRow_pt;
  }
  DrawNames(canvas, axes, std::move(names));
}

}  // namespace lastreach
