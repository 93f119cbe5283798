#pragma once

#include <cstddef>
#include <vector>

#include "evidence/water_series.h"

namespace lastreach {

// What the dial says went through between reads i and i + 1.
struct ReadVolume {
  double volume_m3 = 0;    // logged flushes taken off
  double variance_m6 = 0;  // of dial, logged flushes and of what is opened off the calendar
};

// Sums over intervals of w a^2, w a y, w y^2 and ln(2 pi / w), with y what was read, a what is expected at
// the flow written down and 1/w the variance. They are all that the likelihood of those intervals takes.
struct LikelihoodTerms {
  double aa = 0, ay = 0, yy = 0, ln = 0;
  LikelihoodTerms& operator+=(const LikelihoodTerms& other);
  friend LikelihoodTerms operator+(LikelihoodTerms a, const LikelihoodTerms& b) { return a += b; }
  friend LikelihoodTerms operator-(const LikelihoodTerms& a, const LikelihoodTerms& b);
};

// ln of the density of the reads, the true flow being f times the one written down, f normal about 1 with
// deviation s and the same in all intervals, summed out:
//
//   P = 1/s^2 + aa,  m = (1/s^2 + ay) / P,   ln p = -(ln + yy + 1/s^2 - P m^2 + ln(s^2 P)) / 2
double LogLikelihood(const LikelihoodTerms& terms, double relative_sd);
// m, the likeliest f.
double FlowFactor(const LikelihoodTerms& terms, double relative_sd);

// Between reads every volume scatters by this share of itself (meter, pressure). SOURCE: common practice, no
// source.
inline constexpr double kIntervalScatter = 0.04;

// What one interval adds: expected volume and variance, and what goes through around its two reads.
LikelihoodTerms TermsOf(const ReadVolume& read, double expected_m3, double variance_m6,
                        double around_first_m3, double around_last_m3);

// The likelihood of "as one series up to a day, as another from then on, as the first again from another
// day" in a time that does not depend on how many reads there are. ERROR: within 1e-9 of adding up every
// interval. THREADS: immutable after construction.
class SwitchLikelihood {
 public:
  // `series[0]` is what holds before and after. REQUIRES: reads.size() + 1 reads and as many days in all.
  SwitchLikelihood(const SeriesMoments& moments, std::vector<ReadVolume> reads,
                   std::vector<WaterSeries> series);

  static constexpr size_t kNever = static_cast<size_t>(-1);

  // Series `other` from day index `first` until day index `last`, left out; kNever: to the end.
  LikelihoodTerms Terms(size_t other, size_t first, size_t last) const;
  LikelihoodTerms BaseTerms() const { return prefix_[0].back(); }

  // What that expects between reads i and i + 1.
  double Expected_m3(size_t interval, size_t other, size_t first, size_t last) const;

  const std::vector<ReadVolume>& reads() const { return reads_; }
  const std::vector<WaterSeries>& series() const { return series_; }

 private:
  struct Mixed {
    double volume_m3 = 0, variance_m6 = 0;
  };
  Mixed MixedAt(size_t interval, size_t other, size_t first, size_t last) const;
  LikelihoodTerms OneInterval(size_t interval, size_t other, size_t first, size_t last) const;

  std::vector<ReadVolume> reads_;
  std::vector<WaterSeries> series_;
  std::vector<size_t> interval_of_day_;
  std::vector<std::vector<LikelihoodTerms>> prefix_;  // of each series, size reads + 1
};

}  // namespace lastreach
