#pragma once

#include <cstdint>
#include <span>
#include <utility>
#include <vector>

namespace lastreach {

using LinkEnds = std::pair<uint32_t, uint32_t>;

// Columns eliminated together: they and the rows below them, which are the same for all (some zeros let in).
struct Front {
  uint32_t begin = 0, end = 0;  // columns
  uint32_t row_begin = 0;       // of its rows below in Elimination::rows, in order
  uint32_t rows_below = 0;
  uint64_t panel_begin = 0;  // of its panel, columns of (end - begin + rows_below) numbers
  uint32_t children = 0;     // the fronts right before it in the stack that it takes up
  uint32_t Width() const { return end - begin; }
  uint32_t Height() const { return Width() + rows_below; }
};

// The order of work of a sparse factorisation, for one pattern.
struct Elimination {
  std::vector<Front> fronts;        // each after its children
  std::vector<uint32_t> rows;       // of all fronts, below their columns
  std::vector<uint32_t> in_parent;  // size rows: its place among columns and rows of the front's parent
  std::vector<uint32_t> front_of;   // size unknowns
  uint64_t panel_size = 0, stack_size = 0;  // numbers
  uint32_t tallest = 0;                     // rows of a front
};
// Ends of links at `unknowns` and above are left out. COST: about the entries of L.
Elimination PlanElimination(uint32_t unknowns, std::span<const LinkEnds> links);

// New numbers for nodes 0 .. unknowns - 1 that keep the factor sparse: approximate minimum degree, then so
// that columns that go together stand together. Gives the new number of each. SOURCE: Eigen's AMDOrdering.
std::vector<uint32_t> EliminationOrder(uint32_t unknowns, std::span<const LinkEnds> links);

}  // namespace lastreach
