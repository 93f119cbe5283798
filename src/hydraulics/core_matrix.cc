#include "hydraulics/core_matrix.h"

#include <algorithm>
#include <limits>

#include "hydraulics/power.h"

namespace lastreach {
namespace {

constexpr uint32_t kNowhere = std::numeric_limits<uint32_t>::max();

// Eliminates the first `width` of `height` rows of a panel of columns; writes D and 1/D. False where a pivot
// is not above 0.
LASTREACH_WIDE
bool FactorPanel(double* __restrict panel, size_t width, size_t height, double* __restrict pivot,
                 double* __restrict inverse) {
  for (size_t k = 0; k < width; ++k) {
    double* __restrict column = panel + k * height;
    const double d = column[k];
    if (!(d > 0)) return false;
    pivot[k] = d;
    inverse[k] = 1 / d;
    for (size_t j = k + 1; j < width; ++j) {
      const double factor = column[j] * inverse[k];
      double* __restrict other = panel + j * height;
      for (size_t i = j; i < height; ++i) other[i] -= factor * column[i];
    }
  }
  for (size_t k = 0; k < width; ++k) {
    double* __restrict column = panel + k * height;
    for (size_t i = k + 1; i < height; ++i) column[i] *= inverse[k];
  }
  return true;
}

// rest -= L D L' in its lower triangle, for the rows below of the panel: two columns of the rest at a time,
// by two columns of the panel.
LASTREACH_WIDE
void TakeFromRest(const double* __restrict panel, size_t width, size_t height, const double* __restrict pivot,
                  double* __restrict rest) {
  const size_t below = height - width;
  const double* __restrict lower = panel + width;
  size_t j = 0;
  for (; j + 2 <= below; j += 2) {
    double* __restrict into = rest + j * below;
    double* __restrict next = into + below;
    size_t k = 0;
    for (; k + 2 <= width; k += 2) {
      const double* __restrict a = lower + k * height;
      const double* __restrict b = a + height;
      const double fa = a[j] * pivot[k], fb = b[j] * pivot[k + 1];
      const double ga = a[j + 1] * pivot[k], gb = b[j + 1] * pivot[k + 1];
      into[j] -= fa * a[j] + fb * b[j];
      for (size_t i = j + 1; i < below; ++i) {
        into[i] -= fa * a[i] + fb * b[i];
        next[i] -= ga * a[i] + gb * b[i];
      }
    }
    if (k == width) continue;
    const double* __restrict a = lower + k * height;
    const double fa = a[j] * pivot[k], ga = a[j + 1] * pivot[k];
    into[j] -= fa * a[j];
    for (size_t i = j + 1; i < below; ++i) {
      into[i] -= fa * a[i];
      next[i] -= ga * a[i];
    }
  }
  if (j == below) return;
  for (size_t k = 0; k < width; ++k) {
    const double last = lower[k * height + j];
    rest[j * below + j] -= last * last * pivot[k];
  }
}

// x of a front's own columns, taken out of the rows below: two columns at a time, as rows stand apart.
void SolveForward(const double* panel, size_t width, size_t height, const uint32_t* rows, double* own,
                  double* x) {
  const size_t below = height - width;
  size_t k = 0;
  for (; k + 2 <= width; k += 2) {
    const double* a = panel + k * height;
    const double* b = a + height;
    const double u = own[k];
    const double v = own[k + 1] -= a[k + 1] * u;
    for (size_t i = k + 2; i < width; ++i) own[i] -= a[i] * u + b[i] * v;
    for (size_t i = 0; i < below; ++i) x[rows[i]] -= a[width + i] * u + b[width + i] * v;
  }
  if (k == width) return;
  const double* a = panel + k * height + width;
  const double u = own[k];
  for (size_t i = 0; i < below; ++i) x[rows[i]] -= a[i] * u;
}

void SolveBackward(const double* panel, size_t width, size_t height, const uint32_t* rows, double* own,
                   const double* x) {
  const size_t below = height - width;
  size_t k = width;
  if (width % 2 == 1) {
    const double* a = panel + --k * height + width;
    double sum = own[k];
    for (size_t i = 0; i < below; ++i) sum -= a[i] * x[rows[i]];
    own[k] = sum;
  }
  while (k > 0) {
    k -= 2;
    const double* a = panel + k * height;
    const double* b = a + height;
    double u = own[k], v = own[k + 1];
    for (size_t i = 0; i < below; ++i) {
      const double value = x[rows[i]];
      u -= a[width + i] * value;
      v -= b[width + i] * value;
    }
    for (size_t i = k + 2; i < width; ++i) {
      u -= a[i] * own[i];
      v -= b[i] * own[i];
    }
    own[k + 1] = v;
    own[k] = u - a[k + 1] * v;
  }
}

}  // namespace

CoreMatrix::CoreMatrix(uint32_t unknowns, std::span<const std::pair<uint32_t, uint32_t>> links)
    : elimination_(PlanElimination(unknowns, links)),
      panel_(elimination_.panel_size),
      inverse_(unknowns),
      left_over_(elimination_.stack_size),
      pivot_(elimination_.tallest),
      reached_(elimination_.fronts.size()) {
  const auto place = [&](uint32_t row, uint32_t column) {
    const Front& front = elimination_.fronts[elimination_.front_of[column]];
    const uint64_t start = front.panel_begin + uint64_t{column - front.begin} * front.Height();
    if (row < front.end) return static_cast<uint32_t>(start + row - front.begin);
    const auto rows = elimination_.rows.begin() + front.row_begin;
    const auto at = std::lower_bound(rows, rows + front.rows_below, row);
    return static_cast<uint32_t>(start + front.Width() + static_cast<uint64_t>(at - rows));
  };
  places_.reserve(links.size());
  for (const auto& [a, b] : links) {
    Places at{kNowhere, kNowhere, kNowhere};
    if (a != b) {
      if (a < unknowns) at.from = place(a, a);
      if (b < unknowns) at.to = place(b, b);
      if (a < unknowns && b < unknowns) at.between = place(std::max(a, b), std::min(a, b));
    }
    places_.push_back(at);
  }
}

// `into`: the lower triangle of what the front leaves to its own parent.
void CoreMatrix::AddChild(const Front& child, const double* left_over, size_t index, double* into) {
  const Front& front = elimination_.fronts[index];
  const uint32_t* place = elimination_.in_parent.data() + child.row_begin;
  const size_t count = child.rows_below, width = front.Width(), height = front.Height();
  double* panel = panel_.data() + front.panel_begin;
  for (size_t j = 0; j < count; ++j) {
    const double* column = left_over + j * count;
    if (place[j] < width) {
      double* target = panel + place[j] * height;
      for (size_t i = j; i < count; ++i) target[place[i]] += column[i];
    } else {
      const size_t target = (place[j] - width) * front.rows_below;
      for (size_t i = j; i < count; ++i) into[target + place[i] - width] += column[i];
    }
  }
}

bool CoreMatrix::FactorFront(size_t index) {
  const Front& front = elimination_.fronts[index];
  const size_t own = size_t{front.rows_below} * front.rows_below;
  double* rest = left_over_.data() + top_;
  std::fill(rest, rest + own, 0.0);
  size_t base = top_;
  for (uint32_t k = 0; k < front.children; ++k) {
    const Front& child = elimination_.fronts[on_stack_.back()];
    on_stack_.pop_back();
    base -= size_t{child.rows_below} * child.rows_below;
    AddChild(child, left_over_.data() + base, index, rest);
  }
  double* pivot = pivot_.data();
  double* panel = panel_.data() + front.panel_begin;
  if (!FactorPanel(panel, front.Width(), front.Height(), pivot, inverse_.data() + front.begin)) return false;
  TakeFromRest(panel, front.Width(), front.Height(), pivot, rest);
  if (base != top_) std::copy(rest, rest + own, left_over_.data() + base);
  top_ = base + own;
  if (own > 0) on_stack_.push_back(static_cast<uint32_t>(index));
  return true;
}

bool CoreMatrix::Factor(std::span<const double> conductance) {
  short_.clear();
  std::fill(panel_.begin(), panel_.end(), 0.0);
  for (size_t i = 0; i < conductance.size(); ++i) {
    const Places& at = places_[i];
    if (at.from != kNowhere) panel_[at.from] += conductance[i];
    if (at.to != kNowhere) panel_[at.to] += conductance[i];
    if (at.between != kNowhere) panel_[at.between] -= conductance[i];
  }
  top_ = 0;
  on_stack_.clear();
  for (size_t front = 0; front < elimination_.fronts.size(); ++front) {
    if (!FactorFront(front)) return false;
  }
  return true;
}

// Its columns, then what they leave in the rows below, then their own share by the pivots.
void CoreMatrix::Forward(const Front& front, std::span<double> x) const {
  SolveForward(panel_.data() + front.panel_begin, front.Width(), front.Height(),
               elimination_.rows.data() + front.row_begin, x.data() + front.begin, x.data());
  for (uint32_t column = front.begin; column < front.end; ++column) x[column] *= inverse_[column];
}

void CoreMatrix::Backward(const Front& front, std::span<double> x) const {
  SolveBackward(panel_.data() + front.panel_begin, front.Width(), front.Height(),
                elimination_.rows.data() + front.row_begin, x.data() + front.begin, x.data());
}

void CoreMatrix::Solve(std::span<double> x) const {
  for (const Front& front : elimination_.fronts) Forward(front, x);
  for (size_t i = elimination_.fronts.size(); i-- > 0;) Backward(elimination_.fronts[i], x);
}

}  // namespace lastreach
