#pragma once

#include <vector>

#include "report/network_map.h"
#include "report/page.h"

namespace lastreach {

// How places of a map fall on a page: north up, one scale both ways, as large as the box allows.
class MapFrame {
 public:
  // REQUIRES: a pipe with two different places; a box wider and higher than its rim.
  MapFrame(const NetworkMap& map, Point corner, double width_pt, double height_pt);

  Point On(MapPlace place) const;
  double metres_per_pt() const { return metres_per_pt_; }
  Point corner() const { return corner_; }
  double width_pt() const { return width_pt_; }
  double height_pt() const { return height_pt_; }

 private:
  Point corner_;
  double width_pt_ = 0;
  double height_pt_ = 0;
  double metres_per_pt_ = 1;
  MapPlace middle_;
};

// Where a name stands on a map: a box with its top left corner at `at`.
struct LabelBox {
  Point at;
  double width_pt = 0;
  double height_pt = 0;
};

// Finds places for names one after the other: beside their mark, clear of every name and mark before, over as
// little of the pipes as can be. COST: a few dozen places looked at for each name.
class LabelPlacer {
 public:
  LabelPlacer(const MapFrame& frame, const NetworkMap& map);

  void Block(Point middle, double radius_pt);
  // False where no place near is clear; else in `box`, taken from now on.
  bool Place(Point mark, double radius_pt, double width_pt, double height_pt, LabelBox& box);

 private:
  bool IsClear(const LabelBox& box) const;
  double InkUnder(const LabelBox& box) const;
  size_t CellOf(Point at) const;

  const MapFrame& frame_;
  std::vector<LabelBox> taken_;
  size_t columns_ = 1;
  size_t rows_ = 1;
  std::vector<float> ink_;  // of pipes, by cells
};

}  // namespace lastreach
