#pragma once

#include <optional>
#include <vector>

#include "town/geography.h"

namespace lastreach {

// Plane geometry of the town's lines, in metres. Only sums, products, quotients and square roots, so that no
// mathematics library can change the town. REQUIRES: lines have two points or more.

TownPoint operator+(TownPoint a, TownPoint b);
TownPoint operator-(TownPoint a, TownPoint b);
TownPoint operator*(double factor, TownPoint a);

double Length_m(TownPoint a);
double Distance_m(TownPoint a, TownPoint b);
double Distance_m(TownPoint point, const std::vector<TownPoint>& line);

// Least distance between two lines; 0 where they cross or touch. COST: product of the numbers of points.
double Distance_m(const std::vector<TownPoint>& a, const std::vector<TownPoint>& b);

// Where two stretches cross or touch; none where they do not, or lie on one line.
std::optional<TownPoint> Crossing(TownPoint a, TownPoint b, TownPoint c, TownPoint d);

// How far along the line the nearest point to `point` lies. [m]
double Along_m(const std::vector<TownPoint>& line, TownPoint point);

// The point `along_m` from the start, and the unit direction of the line there. Held within the line.
struct PlaceOnLine {
  TownPoint at;
  TownPoint ahead;
};
PlaceOnLine PlaceAt(const std::vector<TownPoint>& line, double along_m);

// The part of the line between two distances from its start. REQUIRES: from_m < to_m, within the line.
std::vector<TownPoint> PartOf(const std::vector<TownPoint>& line, double from_m, double to_m);

// Turned a quarter to the left.
TownPoint LeftOf(TownPoint direction);

}  // namespace lastreach
