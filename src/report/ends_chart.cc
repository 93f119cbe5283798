#include "report/ends_chart.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "report/sheet_blocks.h"
#include "report/words.h"

namespace lastreach {
namespace {

namespace chrono = std::chrono;

constexpr size_t kMost = 6;
constexpr double kChartMargin_pt = 28;
constexpr double kBetween_pt = 22;
constexpr double kNumbers_pt = 24;  // of the axis
constexpr double kTicks_pt = 9;
constexpr double kDayNames_pt = 12;
constexpr double kLine_pt = 12;
constexpr Ink kCurveInk{0.15, 0.25, 0.45};
constexpr Ink kPaleInk{0.84, 0.84, 0.83};
constexpr Ink kRunInk{0.66, 0.22, 0.15};
constexpr TextStyle kChartTitle{.size_pt = 19, .bold = true};
constexpr TextStyle kEndTitle{.size_pt = 10, .bold = true};

// What all the small pictures share.
struct CommonAxes {
  double hours = 1;
  double top_mg_per_l = 1;
  double step_mg_per_l = 0.5;
};

CommonAxes AxesOf(const EndsChart& chart) {
  CommonAxes axes;
  double highest = 0;
  for (const EndCurve& end : chart.ends) {
    if (!end.hours.empty()) axes.hours = std::max(axes.hours, end.hours.back());
    highest = std::max(highest, end.target_mg_per_l.value_or(0));
    for (const double value : end.mg_per_l) {
      if (std::isfinite(value)) highest = std::max(highest, value);
    }
  }
  axes.step_mg_per_l = highest <= 0.9 ? 0.2 : highest <= 2.2 ? 0.5 : 1;
  axes.top_mg_per_l = std::max(1.0, std::ceil(highest * 1.02 / axes.step_mg_per_l)) * axes.step_mg_per_l;
  return axes;
}

// One small picture.
class Panel {
 public:
  Panel(Canvas& canvas, Point at, double width_pt, double height_pt, const EndsChart& chart,
        const CommonAxes& axes)
      : canvas_(canvas), chart_(chart), axes_(axes), at_(at), width_pt_(width_pt) {
    field_ = {at.x_pt + kNumbers_pt, at.y_pt + 2 * kLine_pt + 4};
    field_width_pt_ = width_pt - kNumbers_pt;
    field_height_pt_ = height_pt - 2 * kLine_pt - 4 - kTicks_pt - kDayNames_pt;
  }

  void Draw(const EndCurve& end, SheetUnits units) {
    canvas_.Text(at_, width_pt_, end.title, kEndTitle);
    canvas_.Text({at_.x_pt, at_.y_pt + kLine_pt + 0.5}, width_pt_, end.judged_words, kSmallStyle);
    Levels();
    Days(units);
    if (end.target_mg_per_l) {
      canvas_.Line({field_.x_pt, Y(*end.target_mg_per_l)},
                   {field_.x_pt + field_width_pt_, Y(*end.target_mg_per_l)},
                   {.width_pt = 1.1, .dashes_pt = {1, 2.2}});
    }
    Curve(end);
    Runs(end);
    Judged(end);
  }

 private:
  double X(double hour) const {
    return field_.x_pt + field_width_pt_ * std::clamp(hour / axes_.hours, 0.0, 1.0);
  }
  double Y(double mg_per_l) const {
    return field_.y_pt + field_height_pt_ * (1 - std::clamp(mg_per_l / axes_.top_mg_per_l, 0.0, 1.0));
  }
  double HourOf(Instant instant) const {
    return chrono::duration<double, std::ratio<3600>>(instant - chart_.begin).count();
  }
  double bottom_pt() const { return field_.y_pt + field_height_pt_; }

  void Levels() {
    for (int i = 0; i * axes_.step_mg_per_l <= axes_.top_mg_per_l + axes_.step_mg_per_l / 2; ++i) {
      const double value = i * axes_.step_mg_per_l;
      char text[32];
      std::snprintf(text, sizeof text, "%.1f", value);
      canvas_.Line({field_.x_pt, Y(value)}, {field_.x_pt + field_width_pt_, Y(value)},
                   {.width_pt = i == 0 ? 0.9 : 0.4, .ink = i == 0 ? kBlack : kPaleInk});
      canvas_.Text({at_.x_pt, Y(value) - 5.5}, kNumbers_pt - 5, text,
                   {.size_pt = kLeastType_pt, .align = Align::kRight});
    }
  }

  // A line at every local midnight, and the date of some where there is room.
  void Days(SheetUnits units) {
    const Date first{chrono::floor<chrono::days>(chart_.zone.ToLocal(chart_.begin))};
    const double day_pt = field_width_pt_ * 24 / axes_.hours;
    const double label_pt =
        canvas_.WidthOf(ShortDate(Date(first.year(), chrono::August, chrono::day(28)), units), kSmallStyle) +
        4;
    const int every = std::max(1, static_cast<int>(std::ceil(label_pt / day_pt)));
    for (int day = 0;; ++day) {
      const double hour = HourOf(chart_.zone.FirstInstant(Midnight(AddDays(first, day))));
      if (hour >= axes_.hours) break;
      if (hour > 0) {
        canvas_.Line({X(hour), field_.y_pt}, {X(hour), bottom_pt()}, {.width_pt = 0.4, .ink = kPaleInk});
      }
      if (day % every != 0 || hour < 0 || X(hour) + label_pt > field_.x_pt + field_width_pt_ + 2) continue;
      canvas_.Text({X(hour), bottom_pt() + kTicks_pt + 1}, label_pt, ShortDate(AddDays(first, day), units),
                   kSmallStyle);
    }
  }

  void Curve(const EndCurve& end) {
    std::vector<Point> stretch;
    const auto draw = [&] {
      if (stretch.size() > 1) canvas_.Polyline(stretch, {.width_pt = 1.4, .ink = kCurveInk});
      stretch.clear();
    };
    for (size_t i = 0; i < end.hours.size(); ++i) {
      if (std::isfinite(end.mg_per_l[i])) {
        stretch.push_back({X(end.hours[i]), Y(end.mg_per_l[i])});
      } else {
        draw();
      }
    }
    draw();
  }

  void Runs(const EndCurve& end) {
    for (const Run& run : end.runs) {
      const double hour = HourOf(run.start);
      if (hour < 0 || hour > axes_.hours) continue;
      canvas_.Line({X(hour), bottom_pt() + 2}, {X(hour), bottom_pt() + kTicks_pt - 1},
                   {.width_pt = 1.3, .ink = kRunInk});
    }
  }

  void Judged(const EndCurve& end) {
    if (!end.judged_hour || !std::isfinite(end.judged_mg_per_l)) return;
    canvas_.Disc({X(*end.judged_hour), Y(end.judged_mg_per_l)}, 2.6, kWhite,
                 {.width_pt = 1.1, .ink = kRunInk});
  }

  Canvas& canvas_;
  const EndsChart& chart_;
  const CommonAxes& axes_;
  Point at_;
  double width_pt_;
  Point field_;
  double field_width_pt_ = 0;
  double field_height_pt_ = 0;
};

// What the lines and marks mean, on one line.
void DrawKey(Canvas& canvas, Point at) {
  double x_pt = at.x_pt;
  const double y_pt = at.y_pt + 6;
  const auto words = [&](const std::string& text) {
    const double width_pt = canvas.WidthOf(text, kSmallStyle) + 1;
    canvas.Text({x_pt, at.y_pt}, width_pt, text, kSmallStyle);
    x_pt += width_pt + 18;
  };
  canvas.Line({x_pt, y_pt}, {x_pt + 20, y_pt}, {.width_pt = 1.4, .ink = kCurveInk});
  x_pt += 25;
  words("residual, mg/L");
  canvas.Line({x_pt, y_pt}, {x_pt + 20, y_pt}, {.width_pt = 1.1, .dashes_pt = {1, 2.2}});
  x_pt += 25;
  words("target");
  canvas.Line({x_pt + 2, y_pt - 4}, {x_pt + 2, y_pt + 3}, {.width_pt = 1.3, .ink = kRunInk});
  x_pt += 9;
  words("the device runs");
  canvas.Disc({x_pt + 3, y_pt}, 2.6, kWhite, {.width_pt = 1.1, .ink = kRunInk});
  x_pt += 11;
  words("judged here: the end of the longest gap");
}

PaperSize SideLong(PaperSize size) {
  return {std::max(size.width_pt, size.height_pt), std::min(size.width_pt, size.height_pt)};
}

}  // namespace

void DrawEndsChart(Canvas& canvas, const EndsChart& chart, SheetUnits units) {
  const double width_pt = canvas.width_pt() - 2 * kChartMargin_pt;
  double y_pt = kChartMargin_pt;
  y_pt += canvas.Text({kChartMargin_pt, y_pt}, width_pt, chart.title, kChartTitle);
  y_pt += canvas.Text({kChartMargin_pt, y_pt}, width_pt, chart.period, {.size_pt = 10.5}) + 5;
  DrawKey(canvas, {kChartMargin_pt, y_pt});
  y_pt += 20;
  const double foot_pt = canvas.HeightOf(chart.foot, width_pt, kSmallStyle) + 6;
  const double panel_width_pt = (width_pt - kBetween_pt) / 2;
  constexpr double kRows = 3;  // kMost, two by two
  const double room_pt = canvas.height_pt() - kChartMargin_pt - foot_pt - y_pt;
  const double panel_height_pt = (room_pt - (kRows - 1) * 12) / kRows;
  const CommonAxes axes = AxesOf(chart);
  for (size_t i = 0; i < std::min(chart.ends.size(), kMost); ++i) {
    const size_t row = i / 2;
    const Point at = {kChartMargin_pt + static_cast<double>(i % 2) * (panel_width_pt + kBetween_pt),
                      y_pt + static_cast<double>(row) * (panel_height_pt + 12)};
    Panel(canvas, at, panel_width_pt, panel_height_pt, chart, axes).Draw(chart.ends[i], units);
  }
  canvas.Text({kChartMargin_pt, canvas.height_pt() - kChartMargin_pt - foot_pt + 6}, width_pt, chart.foot,
              kSmallStyle);
}

Status WriteEndsChart(const EndsChart& chart, const SheetOptions& options, const std::string& stem) {
  const bool any = std::any_of(chart.ends.begin(), chart.ends.end(),
                               [](const EndCurve& end) { return !end.hours.empty(); });
  if (!any) return BadRequest("there is no end to draw a residual for");
  const PaperSize size = SideLong(SizeOf(options.paper));
  constexpr double kPixels = 1980;
  for (const bool pdf : {true, false}) {
    const auto canvas =
        pdf ? Canvas::Pdf(size, chart.title, options.printed_on) : Canvas::Png(size, kPixels / size.width_pt);
    DrawEndsChart(*canvas, chart, options.units);
    const Result<std::string> bytes = canvas->Finish();
    if (!bytes.ok()) return bytes.error();
    if (Status written = WriteWhole(stem + (pdf ? ".pdf" : ".png"), *bytes); !written.ok()) return written;
  }
  return Ok();
}

}  // namespace lastreach
