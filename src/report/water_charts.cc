#include "report/water_charts.h"

#include <algorithm>
#include <cmath>

#include "report/figures.h"

namespace lastreach {
namespace {

constexpr double kBar_pt = 20;
constexpr double kBetween_pt = 8;
constexpr double kBarName_pt = 110;
constexpr double kBarAmount_pt = 150;
constexpr Ink kBarInk{0.25, 0.25, 0.25};
constexpr Ink kGrid{0.8, 0.8, 0.8};
constexpr TextStyle kLabel{.size_pt = kLeastType_pt};
constexpr TextStyle kStrongLabel{.size_pt = kLeastType_pt, .bold = true};

// The first of 1, 2, 5, 10, 20, ... not below a number.
double RoundStep(double at_least) {
  const double power = std::pow(10.0, std::floor(std::log10(at_least)));
  for (const double factor : {1.0, 2.0, 5.0}) {
    if (factor * power >= at_least * (1 - 1e-9)) return factor * power;
  }
  return 10 * power;
}

double InUnits(double m3, SheetUnits units) {
  return units == SheetUnits::kUs ? Volume::CubicMetres(m3).gallons() : m3;
}

// Where visits and water lie in a picture.
struct Axes {
  Point origin;  // the corner at the bottom left
  double width_pt = 0;
  double height_pt = 0;
  int most_visits = 1;
  double most_water = 1;  // in the sheet's units

  double X(double visits) const { return origin.x_pt + width_pt * visits / most_visits; }
  double Y(double water) const { return origin.y_pt - height_pt * std::min(1.0, water / most_water); }
};

Axes AxesFor(Point at, double width_pt, double height_pt, const YearPlan& year, SheetUnits units) {
  constexpr double kLeft_pt = 66;
  constexpr double kBottom_pt = 30;
  constexpr double kTop_pt = 18;
  Axes axes;
  axes.origin = {at.x_pt + kLeft_pt, at.y_pt + height_pt - kBottom_pt};
  axes.width_pt = width_pt - kLeft_pt - 16;
  axes.height_pt = height_pt - kBottom_pt - kTop_pt;
  for (const FrontierPoint& point : year.frontier) {
    axes.most_visits = std::max(axes.most_visits, point.visits);
    axes.most_water = std::max(axes.most_water, InUnits(point.water_m3, units));
  }
  return axes;
}

void DrawAxes(Canvas& canvas, Point at, double width_pt, const Axes& axes, SheetUnits units) {
  const double step = RoundStep(axes.most_water / 4);
  for (double water = 0; water <= axes.most_water * (1 + 1e-9); water += step) {
    const double y_pt = axes.Y(water);
    canvas.Line({axes.origin.x_pt, y_pt}, {axes.origin.x_pt + axes.width_pt, y_pt},
                {.width_pt = 0.5, .ink = kGrid});
    canvas.Text({at.x_pt, y_pt - 6}, axes.origin.x_pt - at.x_pt - 6, ToTwoDigits(water),
                {.size_pt = kLeastType_pt, .align = Align::kRight});
  }
  const int every = std::max(1, static_cast<int>(RoundStep(axes.most_visits / 10.0)));
  for (int visits = 0; visits <= axes.most_visits; visits += every) {
    canvas.Text({axes.X(visits) - 15, axes.origin.y_pt + 3}, 30, std::to_string(visits),
                {.size_pt = kLeastType_pt, .align = Align::kCentre});
  }
  canvas.Line(axes.origin, {axes.origin.x_pt + axes.width_pt, axes.origin.y_pt}, {.width_pt = 1});
  canvas.Text(at, width_pt, "Water a year, " + WaterUnitInSpeech(units), kStrongLabel);
  canvas.Text({axes.origin.x_pt, axes.origin.y_pt + 15}, axes.width_pt, "visits a year to change settings",
              {.size_pt = kLeastType_pt, .bold = true, .align = Align::kCentre});
}

void DrawSteps(Canvas& canvas, const Axes& axes, const YearPlan& year, SheetUnits units) {
  std::vector<Point> line;
  for (const FrontierPoint& point : year.frontier) {
    const double y_pt = axes.Y(InUnits(point.water_m3, units));
    if (!line.empty()) line.push_back({axes.X(point.visits), line.back().y_pt});
    line.push_back({axes.X(point.visits), y_pt});
  }
  canvas.Polyline(line, {.width_pt = 1.6, .ink = kBarInk});
}

// Beside the point, on the side with room.
void Label(Canvas& canvas, const Axes& axes, Point point, const std::string& text, const TextStyle& style,
           double up_pt) {
  const double width_pt = canvas.WidthOf(text, style) + 1;
  const double right_pt = axes.origin.x_pt + axes.width_pt + 14;
  const double x_pt = std::min(point.x_pt + 7, right_pt - width_pt);
  canvas.TextOnLines({std::max(x_pt, axes.origin.x_pt), point.y_pt - up_pt}, width_pt, text, style);
}

}  // namespace

double HeightOfWaterBars(size_t bars) {
  return static_cast<double>(bars) * (kBar_pt + kBetween_pt) - kBetween_pt;
}

void DrawWaterBars(Canvas& canvas, Point at, double width_pt, const std::vector<WaterBar>& bars) {
  double most_m3 = 0;
  for (const WaterBar& bar : bars) most_m3 = std::max(most_m3, bar.m3);
  const double room_pt = width_pt - kBarName_pt - kBarAmount_pt;
  double y_pt = at.y_pt;
  for (const WaterBar& bar : bars) {
    const double long_pt = most_m3 > 0 ? std::max(1.0, room_pt * bar.m3 / most_m3) : 1.0;
    const double left_pt = at.x_pt + kBarName_pt;
    canvas.Text({at.x_pt, y_pt + 3}, kBarName_pt - 6, bar.name, {.size_pt = 11});
    if (!bar.outlined) canvas.Fill({left_pt, y_pt}, long_pt, kBar_pt, kBarInk);
    canvas.Frame({left_pt, y_pt}, long_pt, kBar_pt, {.width_pt = 1});
    canvas.Text({left_pt + long_pt + 6, y_pt + 3}, kBarAmount_pt - 6, bar.amount,
                {.size_pt = 11, .bold = true});
    y_pt += kBar_pt + kBetween_pt;
  }
}

void DrawFrontierChart(Canvas& canvas, Point at, double width_pt, double height_pt, const YearPlan& year,
                       SheetUnits units) {
  const Axes axes = AxesFor(at, width_pt, height_pt, year, units);
  DrawAxes(canvas, at, width_pt, axes, units);
  DrawSteps(canvas, axes, year, units);
  for (const NamedPoint& named : year.named) {
    const double water = InUnits(named.water_m3, units);
    if (named.visits > axes.most_visits || water > axes.most_water * (1 + 1e-9)) continue;
    const Point point{axes.X(named.visits), axes.Y(water)};
    canvas.Disc(point, 3.4, kWhite, {.width_pt = 1.2});
    Label(canvas, axes, point, named.name, kLabel, 15);
  }
  const Point chosen{axes.X(std::min(year.visits, axes.most_visits)), axes.Y(InUnits(year.water_m3, units))};
  canvas.Disc(chosen, 4.6, kBlack, {.width_pt = 1});
  Label(canvas, axes, chosen, "this plan: " + WaterInSpeech(year.water_m3, units), kStrongLabel, -6);
}

}  // namespace lastreach
