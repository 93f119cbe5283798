#include <algorithm>

#include "hydraulics/core_matrix.h"
#include "hydraulics/power.h"

namespace lastreach {
namespace {

// The sum of products in an order that does not depend on the width of registers.
[[gnu::always_inline]] inline float Product(const float* __restrict a, const float* __restrict b,
                                            size_t count) {
  constexpr size_t kLanes = 8;
  size_t i = 0;
  float sum = 0;
  if (count >= kLanes) {
    float sums[kLanes] = {};
    for (; i + kLanes <= count; i += kLanes) {
      for (size_t lane = 0; lane < kLanes; ++lane) sums[lane] += a[i + lane] * b[i + lane];
    }
    sum = ((sums[0] + sums[4]) + (sums[1] + sums[5])) + ((sums[2] + sums[6]) + (sums[3] + sums[7]));
  }
  for (; i < count; ++i) sum += a[i] * b[i];
  return sum;
}

// By deviations from the head of one row below: where a column joins nodes that are not fixed its entries add
// up to -1, so that what all have in common goes through without error, and single precision is that of
// differences between neighbours. Columns stand one after another, each shorter by one than the one before;
// `end` is behind the last.
LASTREACH_WIDE
void BackwardByDeviations(const float* __restrict end, size_t width, size_t below,
                          const uint32_t* __restrict rows, const double* __restrict sum,
                          float* __restrict deviation, double* own, const double* x) {
  const double common = x[rows[0]];
  for (size_t i = 0; i < below; ++i) deviation[i] = static_cast<float>(x[rows[i]] - common);
  const float* column = end;
  for (size_t k = width; k-- > 0;) {
    column -= below;
    own[k] -= common * sum[k] + Product(column, deviation, below);
    column -= width - k - 1;
  }
  column = end;
  for (size_t k = width; k-- > 0;) {
    column -= below + width - k - 1;
    double from_common = own[k];
    for (size_t i = k + 1; i < width; ++i) from_common -= column[i - k - 1] * own[i];
    own[k] = from_common;
  }
  for (size_t k = 0; k < width; ++k) own[k] += common;
}

}  // namespace

void CoreMatrix::FindReach(std::span<const uint32_t> columns, std::vector<uint32_t>& fronts) {
  fronts.clear();
  for (const uint32_t column : columns) {
    for (uint32_t at = elimination_.front_of[column]; reached_[at] == 0;) {
      reached_[at] = 1;
      fronts.push_back(at);
      const Front& front = elimination_.fronts[at];
      if (front.rows_below > 0) at = elimination_.front_of[elimination_.rows[front.row_begin]];
    }
  }
  for (const uint32_t front : fronts) reached_[front] = 0;
  std::sort(fronts.begin(), fronts.end());
}

// Columns of L below the diagonal, and by how much their sums with it miss 0.
void CoreMatrix::Shorten() {
  short_.resize(panel_.size());
  sum_.resize(inverse_.size());
  deviation_.resize(elimination_.tallest);
  for (const Front& front : elimination_.fronts) {
    const size_t height = front.Height();
    const double* panel = panel_.data() + front.panel_begin;
    float* into = short_.data() + front.panel_begin;
    for (size_t k = 0; k < front.Width(); ++k) {
      double sum = 1;
      for (size_t i = k + 1; i < height; ++i) {
        sum += panel[k * height + i];
        *into++ = static_cast<float>(panel[k * height + i]);
      }
      sum_[front.begin + k] = sum;
    }
  }
}

void CoreMatrix::BackwardShort(const Front& front, std::span<double> x) {
  if (front.rows_below == 0) {
    Backward(front, x);
    return;
  }
  const size_t width = front.Width();
  const size_t entries = width * front.Height() - width * (width + 1) / 2;
  BackwardByDeviations(short_.data() + front.panel_begin + entries, width, front.rows_below,
                       elimination_.rows.data() + front.row_begin, sum_.data() + front.begin,
                       deviation_.data(), x.data() + front.begin, x.data());
}

void CoreMatrix::SolveWithin(std::span<const uint32_t> reach, std::span<double> x) {
  if (short_.empty()) Shorten();
  for (const uint32_t front : reach) Forward(elimination_.fronts[front], x);
  for (size_t i = reach.size(); i-- > 0;) BackwardShort(elimination_.fronts[reach[i]], x);
}

void CoreMatrix::SolveFrom(std::span<const uint32_t> reach, std::span<double> x) {
  if (short_.empty()) Shorten();
  for (const uint32_t front : reach) Forward(elimination_.fronts[front], x);
  for (size_t i = elimination_.fronts.size(); i-- > 0;) BackwardShort(elimination_.fronts[i], x);
}

}  // namespace lastreach
