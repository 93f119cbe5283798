#pragma once

#include <cstdint>
#include <span>
#include <utility>
#include <vector>

#include "hydraulics/elimination.h"

namespace lastreach {

// The symmetric matrix A with  A x = net outflow through conductances g (x_from - x_to)  of a network some of
// whose nodes are fixed: nodes 0 .. unknowns - 1 are unknown, those above are fixed and their columns left
// out. Positive definite where every unknown node has a way to a fixed one.
//
// Factored as L D L', unit lower L, a front of columns at a time: a front adds up what its children in the
// elimination tree leave, eliminates its own columns in dense arithmetic and hands the rest to its parent.
// SOURCE: Duff and Reid, ACM Trans. Math. Softw. 9(3), 302-325, 1983 (from memory).
// COST: Factor about a third of Eigen's SimplicialLDLT at town-like networks; Solve two passes over L.
// THREADS: one object a thread.
class CoreMatrix {
 public:
  // REQUIRES: nodes numbered by EliminationOrder.
  CoreMatrix(uint32_t unknowns, std::span<const std::pair<uint32_t, uint32_t>> links);

  // False where a pivot is not above 0. REQUIRES: one conductance a link, in their order, 0 or above.
  bool Factor(std::span<const double> conductance);
  // Overwrites `x`, size unknowns, by A^-1 x. REQUIRES: Factor has succeeded.
  void Solve(std::span<double> x) const;

  // For a right side that is 0 but at few nodes. The fronts that some columns lie in and those above them, in
  // order: all that such a right side passes through on its way to the last column.
  void FindReach(std::span<const uint32_t> columns, std::vector<uint32_t>& fronts);
  // Overwrites `x` in the columns of a reach by A^-1 x there, x being 0 in all others, which are left alone.
  // ERROR: what differences between neighbours would drive is off by 1e-7 of itself.
  void SolveWithin(std::span<const uint32_t> reach, std::span<double> x);
  // The same in all columns.
  void SolveFrom(std::span<const uint32_t> reach, std::span<double> x);
  // The columns of a reach, as pieces [begin, end).
  std::pair<uint32_t, uint32_t> Columns(uint32_t front) const {
    return {elimination_.fronts[front].begin, elimination_.fronts[front].end};
  }

 private:
  // Where in the fronts a link's conductance goes; kNowhere for a fixed end or a ring.
  struct Places {
    uint32_t from, to, between;
  };
  bool FactorFront(size_t front);
  void Forward(const Front& front, std::span<double> x) const;
  void Backward(const Front& front, std::span<double> x) const;
  void Shorten();
  void BackwardShort(const Front& front, std::span<double> x);
  void AddChild(const Front& child, const double* left_over, size_t front, double* into);

  Elimination elimination_;
  std::vector<Places> places_;
  std::vector<double> panel_;       // of every front: its columns, each of all its rows
  std::vector<double> inverse_;     // size unknowns: 1 / D
  std::vector<double> left_over_;   // a stack of what fronts leave to their parents: lower triangles
  size_t top_ = 0;                  // of that stack
  std::vector<uint32_t> on_stack_;  // fronts
  std::vector<double> pivot_;       // of the front at hand; work space
  // core_reach.cc: L in single precision, empty until asked for; size unknowns: sums of its columns.
  std::vector<float> short_;
  std::vector<double> sum_;
  std::vector<float> deviation_;  // of the front at hand
  std::vector<char> reached_;     // size fronts: 0 between calls
};

}  // namespace lastreach
