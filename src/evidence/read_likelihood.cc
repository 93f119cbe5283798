#include "evidence/read_likelihood.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace lastreach {

LikelihoodTerms& LikelihoodTerms::operator+=(const LikelihoodTerms& other) {
  aa += other.aa;
  ay += other.ay;
  yy += other.yy;
  ln += other.ln;
  return *this;
}

LikelihoodTerms operator-(const LikelihoodTerms& a, const LikelihoodTerms& b) {
  return {a.aa - b.aa, a.ay - b.ay, a.yy - b.yy, a.ln - b.ln};
}

double LogLikelihood(const LikelihoodTerms& terms, double relative_sd) {
  const double known = 1 / (relative_sd * relative_sd);
  const double precision = known + terms.aa;
  const double middle = known + terms.ay;
  return -0.5 * (terms.ln + terms.yy + known - middle * middle / precision + std::log(precision / known));
}

double FlowFactor(const LikelihoodTerms& terms, double relative_sd) {
  const double known = 1 / (relative_sd * relative_sd);
  return (known + terms.ay) / (known + terms.aa);
}

LikelihoodTerms TermsOf(const ReadVolume& read, double expected_m3, double variance_m6,
                        double around_first_m3, double around_last_m3) {
  const double scatter_m3 = kIntervalScatter * expected_m3;
  // Whether the water around a read was through by then is at worst as open as the toss of a coin.
  const double around_m6 = (around_first_m3 * around_first_m3 + around_last_m3 * around_last_m3) / 4;
  const double variance = read.variance_m6 + variance_m6 + scatter_m3 * scatter_m3 + around_m6;
  const double w = 1 / variance;
  return {w * expected_m3 * expected_m3, w * expected_m3 * read.volume_m3,
          w * read.volume_m3 * read.volume_m3, std::log(2 * std::numbers::pi * variance)};
}

SwitchLikelihood::SwitchLikelihood(const SeriesMoments& moments, std::vector<ReadVolume> reads,
                                   std::vector<WaterSeries> series)
    : reads_(std::move(reads)), series_(std::move(series)) {
  for (const Instant day : moments.days) {
    const auto after = std::upper_bound(moments.reads.begin(), moments.reads.end(), day);
    interval_of_day_.push_back(static_cast<size_t>(after - moments.reads.begin()) - 1);
  }
  for (const WaterSeries& each : series_) {
    std::vector<LikelihoodTerms> sums(1);
    for (size_t i = 0; i < reads_.size(); ++i) {
      sums.push_back(sums.back() + TermsOf(reads_[i], each.at_read_m3[i + 1] - each.at_read_m3[i],
                                           each.read_variance_m6[i + 1] - each.read_variance_m6[i],
                                           each.around_read_m3[i], each.around_read_m3[i + 1]));
    }
    prefix_.push_back(std::move(sums));
  }
}

SwitchLikelihood::Mixed SwitchLikelihood::MixedAt(size_t interval, size_t other, size_t first,
                                                  size_t last) const {
  const WaterSeries& base = series_[0];
  const WaterSeries& alt = series_[other];
  const bool begins_here = interval_of_day_[first] == interval;
  const bool ends_here = last != kNever && interval_of_day_[last] == interval;
  // From the start of the other series within the interval to its end there.
  const double alt_begin_m3 = begins_here ? alt.at_day_m3[first] : alt.at_read_m3[interval];
  const double alt_begin_m6 = begins_here ? alt.day_variance_m6[first] : alt.read_variance_m6[interval];
  const double alt_end_m3 = ends_here ? alt.at_day_m3[last] : alt.at_read_m3[interval + 1];
  const double alt_end_m6 = ends_here ? alt.day_variance_m6[last] : alt.read_variance_m6[interval + 1];
  Mixed mixed{alt_end_m3 - alt_begin_m3, alt_end_m6 - alt_begin_m6};
  if (begins_here) {
    mixed.volume_m3 += base.at_day_m3[first] - base.at_read_m3[interval];
    mixed.variance_m6 += base.day_variance_m6[first] - base.read_variance_m6[interval];
  }
  if (ends_here) {
    mixed.volume_m3 += base.at_read_m3[interval + 1] - base.at_day_m3[last];
    mixed.variance_m6 += base.read_variance_m6[interval + 1] - base.day_variance_m6[last];
  }
  mixed.variance_m6 = std::max(0.0, mixed.variance_m6);
  return mixed;
}

LikelihoodTerms SwitchLikelihood::OneInterval(size_t interval, size_t other, size_t first,
                                              size_t last) const {
  const Mixed mixed = MixedAt(interval, other, first, last);
  const bool begins_here = interval_of_day_[first] == interval;
  const bool ends_here = last != kNever && interval_of_day_[last] == interval;
  return TermsOf(reads_[interval], mixed.volume_m3, mixed.variance_m6,
                 series_[begins_here ? 0 : other].around_read_m3[interval],
                 series_[ends_here ? 0 : other].around_read_m3[interval + 1]);
}

LikelihoodTerms SwitchLikelihood::Terms(size_t other, size_t first, size_t last) const {
  const size_t begin = interval_of_day_[first];
  const auto& base = prefix_[0];
  const auto& alt = prefix_[other];
  LikelihoodTerms terms = base[begin] + OneInterval(begin, other, first, last);
  if (last == kNever) return terms + (alt.back() - alt[begin + 1]);
  const size_t end = interval_of_day_[last];
  if (end > begin) terms += (alt[end] - alt[begin + 1]) + OneInterval(end, other, first, last);
  return terms + (base.back() - base[end + 1]);
}

double SwitchLikelihood::Expected_m3(size_t interval, size_t other, size_t first, size_t last) const {
  const size_t begin = interval_of_day_[first];
  const size_t end = last == kNever ? reads_.size() : interval_of_day_[last];
  const bool is_base = interval < begin || interval > end;
  const WaterSeries& whole = series_[is_base ? 0 : other];
  if (is_base || (interval > begin && interval < end)) {
    return whole.at_read_m3[interval + 1] - whole.at_read_m3[interval];
  }
  return MixedAt(interval, other, first, last).volume_m3;
}

}  // namespace lastreach
