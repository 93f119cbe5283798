#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "plan/reach_model.h"
#include "quality/demand_cycle.h"

namespace lastreach {

// The pipes of a tree of reaches, each once, as its bound is worked out on. Water past the last judged place
// of a reach is left out.
struct TreeShape {
  struct Stretch {
    std::optional<size_t> before;  // the stretch upstream; none at the main
    double volume_m3 = 0;
    double loss_per_s = 0;    // the least that any flow, or stillness, can leave it with
    double tap_m3_per_s = 0;  // drawn at its downstream end by customers, average
  };
  struct End {
    size_t stretch = 0;     // at whose downstream end the target must hold
    double log_budget = 0;  // ln(highest residual that ever enters / target)
  };
  std::vector<Stretch> stretches;  // every one after the one it hangs on
  std::vector<End> ends;

  // Customers' draw at and beyond the downstream end of each stretch.
  std::vector<double> DemandBeyond() const;
  // The stretches that water to an end passes, the last first.
  std::vector<size_t> WayTo(const End& end) const;
  // The stretches at or beyond `top` that are on the way to one of the ends given, ascending.
  std::vector<size_t> Below(size_t top, std::span<const size_t> to_ends) const;
};

// One reach of a tree and the names of its pipes; models are made with every tap.
struct TreeReach {
  ReachModel model;
  std::vector<std::string> pipe_ids;
  double target_mg_per_l = 0;
};

// Where reaches see a shared stretch differently the mildest is taken: least volume, least loss, most draw.
TreeShape ShapeOf(const std::vector<TreeReach>& reaches);

// The most customers can draw at and beyond the front of water that has still so much volume ahead of it to
// the ends of some stretches, as the lowest concave line through or above every such case. `members` as
// TreeShape::Below gives them. For a reach alone it is the concave majorant of its draw.
std::vector<DemandCorner> MostDrawAhead(const TreeShape& shape, std::span<const size_t> members);

}  // namespace lastreach
