#include "quality/exchange_solver.h"

#include <algorithm>
#include <numbers>

namespace lastreach {
namespace {

constexpr double kStage = 1 - 1 / std::numbers::sqrt2;

bool IsWithin(std::span<const double> values, double low, double high) {
  // A range of rounding only is no reason to fall back.
  const double slack = 1e-14 * (high - low);
  return std::all_of(values.begin(), values.end(),
                     [&](double value) { return value >= low - slack && value <= high + slack; });
}

}  // namespace

void ExchangeSolver::Clear() {
  volume_.clear();
  exchange_.clear();
}

void ExchangeSolver::Add(double volume_m3, double exchange_m3_per_s) {
  volume_.push_back(volume_m3);
  exchange_.push_back(exchange_m3_per_s);
}

// V + implicit_s G as lower times upper. What a pivot has beyond the exchange with the next cell is summed of
// positive parts only, so that a sliver of a cell beside a large exchange loses no digits.
void ExchangeSolver::Factor(double implicit_s, double outside_m3_per_s) {
  const std::size_t n = volume_.size();
  inverse_.resize(n);
  carry_.resize(n);
  double from_before = 0;
  for (std::size_t i = 0; i < n; ++i) {
    const double next = implicit_s * (i + 1 < n ? exchange_[i] : outside_m3_per_s);
    const double beyond = volume_[i] + from_before;
    inverse_[i] = 1 / (beyond + next);
    carry_[i] = next * inverse_[i];
    from_before = carry_[i] * beyond;
  }
}

void ExchangeSolver::Solve(std::span<const double> right, std::span<double> out) const {
  const std::size_t n = volume_.size();
  out[0] = right[0];
  for (std::size_t i = 1; i < n; ++i) out[i] = right[i] + carry_[i - 1] * out[i - 1];
  out[n - 1] *= inverse_[n - 1];
  for (std::size_t i = n - 1; i-- > 0;) out[i] = out[i] * inverse_[i] + carry_[i] * out[i + 1];
}

double ExchangeSolver::Apply(double seconds, double outside_m3_per_s, double outside,
                             std::span<double> values) {
  const std::size_t n = volume_.size();
  right_.resize(n);
  first_.resize(n);
  second_.resize(n);
  double low = *std::min_element(values.begin(), values.end());
  double high = *std::max_element(values.begin(), values.end());
  if (outside_m3_per_s > 0) {
    low = std::min(low, outside);
    high = std::max(high, outside);
  }
  const auto stage = [&](double implicit_s, auto&& start, std::span<double> out) {
    for (std::size_t i = 0; i < n; ++i) right_[i] = volume_[i] * start(i);
    right_[n - 1] += implicit_s * outside_m3_per_s * outside;
    Solve(right_, out);
  };
  const auto was = [&](std::size_t i) { return values[i]; };
  Factor(kStage * seconds, outside_m3_per_s);
  stage(kStage * seconds, was, first_);
  constexpr double kSlope = (1 - kStage) / kStage;
  stage(
      kStage * seconds, [&](std::size_t i) { return values[i] + kSlope * (first_[i] - values[i]); }, second_);
  if (!IsWithin(second_, low, high)) {
    Factor(seconds, outside_m3_per_s);
    stage(seconds, was, second_);
  }
  // Not from the exchange itself: a large one times the difference of two like values would lose the digits.
  double entered = 0;
  for (std::size_t i = 0; i < n; ++i) {
    entered += volume_[i] * (second_[i] - values[i]);
    values[i] = second_[i];
  }
  return outside_m3_per_s > 0 ? entered : 0;
}

}  // namespace lastreach
