#pragma once

#include <cstddef>
#include <functional>
#include <span>
#include <vector>

namespace lastreach {

// d residual[row] / d unknown[column].
struct JacobianEntry {
  int row = 0;
  int column = 0;
  double value = 0;
};

// min SUM r_i(x)^2, few unknowns in each residual.
struct LeastSquaresProblem {
  std::size_t unknowns = 0;
  std::size_t residuals = 0;  // >= unknowns
  std::function<void(std::span<const double> x, std::span<double> r)> residuals_at;
  std::function<std::vector<JacobianEntry>(std::span<const double> x)> jacobian_at;
};

struct LeastSquaresAnswer {
  std::vector<double> x;
  double sum_of_squares = 0;
  int evaluations = 0;
  bool converged = false;  // to relative changes of 1e-8; false: the limit of evaluations came first
};

// Levenberg and Marquardt's steps from `start`, by the sparse solver of the Eigen library.
// SOURCE: More, The Levenberg-Marquardt algorithm, Lecture Notes in Mathematics 630, 105-116, 1978 (from
// memory). ERROR: a local minimum where there are several: begin near. THREADS: calls back on this thread.
LeastSquaresAnswer SolveLeastSquares(const LeastSquaresProblem& problem, std::vector<double> start,
                                     int most_evaluations = 200);

}  // namespace lastreach
