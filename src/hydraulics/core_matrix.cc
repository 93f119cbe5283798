#include "hydraulics/core_matrix.h"

#include <Eigen/SparseCholesky>
#include <algorithm>

namespace lastreach {
namespace {

using Matrix = Eigen::SparseMatrix<double, Eigen::ColMajor, int>;
constexpr int kNone = -1;

// Where in the values of the matrix a link's conductance goes.
struct Places {
  int from = kNone;  // diagonal
  int to = kNone;
  int between = kNone;
};

}  // namespace

struct CoreMatrix::Impl {
  Matrix matrix;  // lower triangle
  std::vector<Places> places;
  Eigen::SimplicialLDLT<Matrix, Eigen::Lower, Eigen::AMDOrdering<int>> factor;
};

CoreMatrix::CoreMatrix(uint32_t unknowns, std::span<const std::pair<uint32_t, uint32_t>> links)
    : impl_(std::make_unique<Impl>()) {
  std::vector<Eigen::Triplet<double, int>> entries;
  entries.reserve(unknowns + links.size());
  for (uint32_t i = 0; i < unknowns; ++i) entries.emplace_back(i, i, 1.0);
  for (const auto& [a, b] : links) {
    if (a < unknowns && b < unknowns && a != b) entries.emplace_back(std::max(a, b), std::min(a, b), 1.0);
  }
  Matrix& matrix = impl_->matrix;
  matrix.resize(static_cast<int>(unknowns), static_cast<int>(unknowns));
  matrix.setFromTriplets(entries.begin(), entries.end());
  const auto place = [&](uint32_t row, uint32_t column) {
    const int* rows = matrix.innerIndexPtr();
    const int* begin = rows + matrix.outerIndexPtr()[column];
    const int* end = rows + matrix.outerIndexPtr()[column + 1];
    return static_cast<int>(std::lower_bound(begin, end, static_cast<int>(row)) - rows);
  };
  for (const auto& [a, b] : links) {
    Places at;
    if (a == b) {  // a ring: nothing flows out of its node by it
      impl_->places.push_back(at);
      continue;
    }
    if (a < unknowns) at.from = place(a, a);
    if (b < unknowns) at.to = place(b, b);
    if (a < unknowns && b < unknowns) at.between = place(std::max(a, b), std::min(a, b));
    impl_->places.push_back(at);
  }
  if (unknowns > 0) impl_->factor.analyzePattern(matrix);
}

CoreMatrix::~CoreMatrix() = default;
CoreMatrix::CoreMatrix(CoreMatrix&&) noexcept = default;
CoreMatrix& CoreMatrix::operator=(CoreMatrix&&) noexcept = default;

bool CoreMatrix::Factor(std::span<const double> conductance) {
  double* values = impl_->matrix.valuePtr();
  std::fill(values, values + impl_->matrix.nonZeros(), 0.0);
  for (size_t i = 0; i < conductance.size(); ++i) {
    const Places& at = impl_->places[i];
    if (at.from != kNone) values[at.from] += conductance[i];
    if (at.to != kNone) values[at.to] += conductance[i];
    if (at.between != kNone) values[at.between] -= conductance[i];
  }
  if (impl_->matrix.rows() == 0) return true;
  impl_->factor.factorize(impl_->matrix);
  return impl_->factor.info() == Eigen::Success && impl_->factor.vectorD().minCoeff() > 0;
}

void CoreMatrix::Solve(std::span<double> x) const {
  if (x.empty()) return;
  Eigen::Map<Eigen::VectorXd> mapped(x.data(), static_cast<Eigen::Index>(x.size()));
  mapped = impl_->factor.solve(mapped).eval();
}

}  // namespace lastreach
