#include "quality/packing_programme.h"

#include <ClpSimplex.hpp>
#include <algorithm>
#include <numeric>

namespace lastreach {

std::vector<double> PackingWeights(std::span<const double> gain, std::span<const double> pull) {
  const auto columns = static_cast<int>(gain.size());
  const int rows = static_cast<int>(pull.size()) / std::max(1, columns);
  std::vector<double> by_column(pull.size()), row_low(static_cast<std::size_t>(rows), -COIN_DBL_MAX),
      row_high(static_cast<std::size_t>(rows), 1), zero(gain.size(), 0), most(gain.size(), COIN_DBL_MAX);
  std::vector<CoinBigIndex> start(gain.size() + 1);
  std::vector<int> row_of(pull.size());
  for (std::size_t k = 0; k < gain.size(); ++k) {
    for (std::size_t m = 0; m < row_high.size(); ++m) {
      by_column[k * row_high.size() + m] = pull[m * gain.size() + k];
      row_of[k * row_high.size() + m] = static_cast<int>(m);
    }
    start[k + 1] = static_cast<CoinBigIndex>((k + 1) * row_high.size());
  }
  ClpSimplex programme;
  programme.setLogLevel(0);
  programme.setOptimizationDirection(-1);
  programme.loadProblem(columns, rows, start.data(), row_of.data(), by_column.data(), zero.data(),
                        most.data(), gain.data(), row_low.data(), row_high.data());
  programme.primal();
  if (!programme.isProvenOptimal()) return {};
  std::vector<double> weight(programme.primalColumnSolution(), programme.primalColumnSolution() + columns);
  for (double& w : weight) w = std::max(0.0, w);
  return weight;
}

double GainPerLoad(std::span<const double> gain, std::span<const double> pull,
                   std::span<const double> weight) {
  const double gained = std::inner_product(gain.begin(), gain.end(), weight.begin(), 0.0);
  double greatest = 0;
  for (std::size_t row = 0; row + gain.size() <= pull.size(); row += gain.size()) {
    greatest =
        std::max(greatest, std::inner_product(weight.begin(), weight.end(), pull.subspan(row).begin(), 0.0));
  }
  return greatest > 0 ? gained / greatest : 0;
}

}  // namespace lastreach
