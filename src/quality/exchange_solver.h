#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace lastreach {

// Exchange between neighbours in a row of cells, and of the last with an outside that does not change:
//
//   V_i dc_i/dt = g_(i-1) (c_(i-1) - c_i) + g_i (c_(i+1) - c_i),   the last also g_out (outside - c_last)
//
// Two implicit stages of second order that damp what is fast (SOURCE: Alexander, SIAM J. Numer. Anal. 14(6),
// 1006-1021, 1977, the L-stable method of two stages; from memory); where they leave the range of the values
// and the outside, one implicit Euler step instead, which never does. SUM V c is kept to rounding.
// COST: two sweeps of the row for a stage. THREADS: one object, one thread.
class ExchangeSolver {
 public:
  void Clear();
  // REQUIRES: volume > 0, exchange >= 0 [m3/s], that with the next cell; of the last one not used.
  void Add(double volume_m3, double exchange_m3_per_s);
  // What the row's `values` are `seconds` later. Returns what came in from the outside, volume x value.
  // REQUIRES: values of as many entries as were added, one or more; seconds > 0; outside_m3_per_s >= 0.
  double Apply(double seconds, double outside_m3_per_s, double outside, std::span<double> values);

 private:
  void Factor(double implicit_s, double outside_m3_per_s);
  void Solve(std::span<const double> right, std::span<double> out) const;

  std::vector<double> volume_, exchange_;
  std::vector<double> inverse_, carry_;
  std::vector<double> right_, first_, second_;
};

}  // namespace lastreach
