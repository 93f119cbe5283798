#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "core/position.h"
#include "core/result.h"
#include "network/drawing.h"

namespace lastreach {

struct GroundHeight {
  double metres = 0;
  std::string grid;  // its name
};

// Heights of the ground from grids: bilinear between the centres of the four cells round a place. Where some
// of the four are not known, or lie beyond the edge, the others share their weight; where none is known the
// next grid is asked. Of grids that overlap the later one is asked first.
class Ground {
 public:
  // `grids` must outlive it. ERROR: kBadInput naming the grid if its coordinate system cannot be read, its
  // transformation has no inverse or its size is not that of its heights.
  static Result<Ground> Of(const std::vector<ElevationGrid>& grids);
  ~Ground();
  Ground(Ground&&) noexcept;

  // None outside every grid and where nothing round the place is known. COST: one change of coordinates a
  // grid.
  std::optional<GroundHeight> At(Position position) const;

 private:
  struct Impl;
  explicit Ground(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

// The height at (x, y) of the grid's own coordinates, as above; none outside it or where nothing is known.
std::optional<double> HeightOnGrid_m(const ElevationGrid& grid, double x, double y);

}  // namespace lastreach
