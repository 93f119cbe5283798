#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <utility>
#include <vector>

namespace lastreach {

// The symmetric matrix A with  A x = net outflow through conductances g (x_from - x_to)  of a network some of
// whose nodes are fixed: nodes 0 .. unknowns - 1 are unknown, those above are fixed and their columns left
// out. Positive definite where every unknown node has a way to a fixed one.
// COST: the constructor finds the pattern and a fill-reducing order (AMD) once; Factor is the numeric work.
// SOURCE: Eigen's SimplicialLDLT. THREADS: one object a thread.
class CoreMatrix {
 public:
  // Of no unknowns, every solve is done.
  CoreMatrix(uint32_t unknowns, std::span<const std::pair<uint32_t, uint32_t>> links);
  ~CoreMatrix();
  CoreMatrix(CoreMatrix&&) noexcept;
  CoreMatrix& operator=(CoreMatrix&&) noexcept;

  // False where a pivot is not above 0. REQUIRES: one conductance a link, in their order, above 0.
  bool Factor(std::span<const double> conductance);
  // Overwrites `x`, size unknowns, by A^-1 x. REQUIRES: Factor has succeeded.
  void Solve(std::span<double> x) const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace lastreach
