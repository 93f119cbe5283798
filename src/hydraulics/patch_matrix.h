#pragma once

#include <cstdint>
#include <span>
#include <utility>
#include <vector>

#include "hydraulics/elimination.h"

namespace lastreach {

// The matrix of core_matrix.h for a small part of a network, laid out anew for every part.
//
// Factored as L D L' row by row. SOURCE: Davis, ACM Trans. Math. Softw. 31(4), 587-591, 2005 (from memory).
// COST: the square of the entries of a column of L, for each. THREADS: one object a thread.
class PatchMatrix {
 public:
  // REQUIRES: nodes in an order that keeps L sparse; those at `unknowns` and above are fixed.
  void LayOut(uint32_t unknowns, std::span<const LinkEnds> links);
  // False where a pivot is not above 0. REQUIRES: one conductance a link, 0 or above.
  bool Factor(std::span<const double> conductance);
  // Overwrites `x`, size unknowns, by A^-1 x. REQUIRES: Factor has succeeded.
  void Solve(std::span<double> x) const;

 private:
  void FindTree();

  uint32_t unknowns_ = 0;
  std::vector<LinkEnds> links_;
  std::vector<uint32_t> start_, column_, link_;          // of each row, left of the diagonal
  std::vector<uint32_t> parent_, seen_, begin_, count_;  // size unknowns
  std::vector<uint32_t> stack_, pattern_;
  std::vector<double> work_, inverse_, diagonal_;
  std::vector<uint32_t> row_;  // of L, by columns
  std::vector<double> value_;
};

}  // namespace lastreach
