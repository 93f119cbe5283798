#include "report/map_frame.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

namespace lastreach {
namespace {

constexpr double kRim_pt = 16;  // round the pipes, for names and marks
constexpr double kCell_pt = 3;

}  // namespace

MapFrame::MapFrame(const NetworkMap& map, Point corner, double width_pt, double height_pt)
    : corner_(corner), width_pt_(width_pt), height_pt_(height_pt) {
  double west = 0, east = 0, south = 0, north = 0;
  bool first = true;
  const auto take = [&](const MapPlace& place) {
    west = first ? place.east_m : std::min(west, place.east_m);
    east = first ? place.east_m : std::max(east, place.east_m);
    south = first ? place.north_m : std::min(south, place.north_m);
    north = first ? place.north_m : std::max(north, place.north_m);
    first = false;
  };
  for (const MapPipe& pipe : map.pipes) {
    for (const MapPlace& place : pipe.line) take(place);
  }
  for (const MapMark& mark : map.marks) take(mark.at);
  middle_ = {(west + east) / 2, (south + north) / 2};
  metres_per_pt_ =
      std::max((east - west) / (width_pt - 2 * kRim_pt), (north - south) / (height_pt - 2 * kRim_pt));
}

Point MapFrame::On(MapPlace place) const {
  return {corner_.x_pt + width_pt_ / 2 + (place.east_m - middle_.east_m) / metres_per_pt_,
          corner_.y_pt + height_pt_ / 2 - (place.north_m - middle_.north_m) / metres_per_pt_};
}

LabelPlacer::LabelPlacer(const MapFrame& frame, const NetworkMap& map)
    : frame_(frame),
      columns_(static_cast<size_t>(frame.width_pt() / kCell_pt) + 1),
      rows_(static_cast<size_t>(frame.height_pt() / kCell_pt) + 1),
      ink_(columns_ * rows_, 0) {
  for (const MapPipe& pipe : map.pipes) {
    const double bad = std::isfinite(pipe.value) ? map.scale.BadnessOf(map.scale.ClassOf(pipe.value)) : 0.0;
    for (size_t i = 1; i < pipe.line.size(); ++i) {
      const Point a = frame.On(pipe.line[i - 1]);
      const Point b = frame.On(pipe.line[i]);
      const int steps = 1 + static_cast<int>(std::hypot(b.x_pt - a.x_pt, b.y_pt - a.y_pt) / kCell_pt);
      for (int s = 0; s <= steps; ++s) {
        const double t = static_cast<double>(s) / steps;
        float& ink = ink_[CellOf({a.x_pt + t * (b.x_pt - a.x_pt), a.y_pt + t * (b.y_pt - a.y_pt)})];
        ink = std::max(ink, static_cast<float>(0.3 + bad));
      }
    }
  }
}

size_t LabelPlacer::CellOf(Point at) const {
  const auto within = [](double place, size_t count) {
    return static_cast<size_t>(std::clamp(place / kCell_pt, 0.0, static_cast<double>(count - 1)));
  };
  return within(at.y_pt - frame_.corner().y_pt, rows_) * columns_ +
         within(at.x_pt - frame_.corner().x_pt, columns_);
}

void LabelPlacer::Block(Point middle, double radius_pt) {
  taken_.push_back({{middle.x_pt - radius_pt, middle.y_pt - radius_pt}, 2 * radius_pt, 2 * radius_pt});
}

bool LabelPlacer::IsClear(const LabelBox& box) const {
  const Point corner = frame_.corner();
  if (box.at.x_pt < corner.x_pt || box.at.y_pt < corner.y_pt ||
      box.at.x_pt + box.width_pt > corner.x_pt + frame_.width_pt() ||
      box.at.y_pt + box.height_pt > corner.y_pt + frame_.height_pt()) {
    return false;
  }
  return std::none_of(taken_.begin(), taken_.end(), [&](const LabelBox& other) {
    return box.at.x_pt < other.at.x_pt + other.width_pt && other.at.x_pt < box.at.x_pt + box.width_pt &&
           box.at.y_pt < other.at.y_pt + other.height_pt && other.at.y_pt < box.at.y_pt + box.height_pt;
  });
}

double LabelPlacer::InkUnder(const LabelBox& box) const {
  double ink = 0;
  for (double y = kCell_pt / 2; y < box.height_pt; y += kCell_pt) {
    for (double x = kCell_pt / 2; x < box.width_pt; x += kCell_pt) {
      ink += ink_[CellOf({box.at.x_pt + x, box.at.y_pt + y})];
    }
  }
  return ink;
}

bool LabelPlacer::Place(Point mark, double radius_pt, double width_pt, double height_pt, LabelBox& box) {
  constexpr std::array<double, 3> kFarther_pt = {1.5, 7, 14};
  constexpr int kWays = 16;
  constexpr double kInkPerPoint = 0.4;  // a place farther off must be worth it
  double best = std::numeric_limits<double>::infinity();
  for (const double farther_pt : kFarther_pt) {
    for (int way = 0; way < kWays; ++way) {
      const double angle = 2 * std::numbers::pi * way / kWays;
      const double x = std::cos(angle);
      const double y = std::sin(angle);
      const double away_pt = radius_pt + farther_pt;
      // The box touches the mark with the side or corner that faces it.
      const LabelBox at = {{mark.x_pt + x * (away_pt + width_pt / 2) - width_pt / 2,
                            mark.y_pt + y * (away_pt + height_pt / 2) - height_pt / 2},
                           width_pt,
                           height_pt};
      if (!IsClear(at)) continue;
      const double cost = InkUnder(at) + kInkPerPoint * farther_pt;
      if (cost < best) {
        best = cost;
        box = at;
      }
    }
  }
  if (!std::isfinite(best)) return false;
  taken_.push_back(box);
  return true;
}

}  // namespace lastreach
