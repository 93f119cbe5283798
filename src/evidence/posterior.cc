#include "evidence/posterior.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lastreach {
namespace {

constexpr double kNoEndShare = 0.5;
constexpr double kAllReadsShare = 0.2;
constexpr double kNewMeterShare = 0.4;  // where there is one: then its unit is first written down
constexpr double kAnyNumberShare = 0.3;
constexpr double kSwappedShare = 0.3;

class Weigher {
 public:
  Weigher(const PointRecords& records, const SeriesMoments& moments, const std::vector<DialRead>& dial,
          const Explanations& explanations, const SwitchLikelihood& likelihood, const KnownFlow& flow)
      : dial_(dial),
        explanations_(explanations),
        likelihood_(likelihood),
        flow_(flow),
        days_(moments.days.size()),
        there_(DaysSomebodyWasThere(records, moments)),
        lean_(records, moments) {
    for (size_t i = 1; i < moments.reads.size(); ++i) {
      seconds_.push_back(static_cast<double>((moments.reads[i] - moments.reads[i - 1]).count()));
    }
  }

  std::vector<Weighed> All() && {
    Put(VerdictKind::kRanAsSet, -1, 0, -1, 0, Ln(likelihood_.BaseTerms()));
    for (size_t way = 0; way < explanations_.ways.size(); ++way) WeighWay(way);
    WeighReads();
    WeighNone();
    return std::move(weighed_);
  }

 private:
  double Ln(const LikelihoodTerms& terms) const { return LogLikelihood(terms, flow_.relative_sd); }

  void Put(VerdictKind kind, int32_t way, int32_t first, int32_t last, double parameter, double ln) {
    weighed_.push_back({kind, way, first, last, parameter, std::log(PriorOf(kind)) + ln});
  }

  double DayShare(VerdictKind kind, size_t first) const {
    if (days_ == 1) return 1;
    const double start = FromTheStart(kind);
    if (first == 0) return start;
    const double each_day = (1 - start) / static_cast<double>(days_ - 1);
    if (!IsByAPerson(kind) || there_.empty()) return each_day;
    const bool there = std::binary_search(there_.begin(), there_.end(), first);
    return (1 - kByAPersonShare) * each_day +
           (there ? kByAPersonShare * (1 - start) / static_cast<double>(there_.size()) : 0);
  }

  void WeighOne(size_t way, size_t first, size_t last, double share) {
    const Explanation& each = explanations_.ways[way];
    double ln = Ln(likelihood_.Terms(each.series, first, last)) + std::log(share);
    if (each.kind == VerdictKind::kStopped && lean_.any()) ln += lean_.LnOdds(first, last);
    const bool ends = last != SwitchLikelihood::kNever;
    Put(each.kind, static_cast<int32_t>(way), static_cast<int32_t>(first),
        ends ? static_cast<int32_t>(last) : -1, each.parameter, ln);
  }

  void WeighWay(size_t way) {
    const Explanation& each = explanations_.ways[way];
    for (size_t first = 0; first < days_; ++first) {
      const double share = each.share * DayShare(each.kind, first);
      const auto after = std::upper_bound(there_.begin(), there_.end(), first);
      const size_t ends = each.any_end ? days_ - first - 1 : static_cast<size_t>(there_.end() - after);
      WeighOne(way, first, SwitchLikelihood::kNever, ends > 0 ? share * kNoEndShare : share);
      const double each_end = share * (1 - kNoEndShare) / static_cast<double>(std::max<size_t>(ends, 1));
      if (each.any_end) {
        for (size_t last = first + 1; last < days_; ++last) WeighOne(way, first, last, each_end);
      } else {
        for (auto at = after; at != there_.end(); ++at) WeighOne(way, first, *at, each_end);
      }
    }
  }

  LikelihoodTerms BaseTermsOf(size_t interval, const ReadVolume& read, size_t intervals = 1) const {
    const WaterSeries& base = likelihood_.series()[0];
    const size_t end = interval + intervals;
    return TermsOf(read, base.at_read_m3[end] - base.at_read_m3[interval],
                   base.read_variance_m6[end] - base.read_variance_m6[interval],
                   base.around_read_m3[interval], base.around_read_m3[end]);
  }

  // The intervals beside read i taken out of the sum of all.
  LikelihoodTerms Without(size_t read) const {
    LikelihoodTerms terms = likelihood_.BaseTerms();
    const auto& reads = likelihood_.reads();
    if (read > 0) terms = terms - BaseTermsOf(read - 1, reads[read - 1]);
    if (read < reads.size()) terms = terms - BaseTermsOf(read, reads[read]);
    return terms;
  }

  // `ln_change` is that of the variable: swapping figures makes numbers neither denser nor thinner.
  void WeighReadTimes(size_t read, double factor, double share, double ln_change) {
    const auto& reads = likelihood_.reads();
    const double added_m3 = (factor - 1) * dial_[read].read.total.cubic_metres();
    const double step_m3 = factor * dial_[read].step_m3;
    LikelihoodTerms terms = Without(read);
    const auto put_back = [&](size_t interval, double sign) {
      ReadVolume changed = reads[interval];
      changed.volume_m3 += sign * added_m3;
      changed.variance_m6 += step_m3 * step_m3 / 12;
      terms += BaseTermsOf(interval, changed);
    };
    if (read > 0) put_back(read - 1, 1);
    if (read < reads.size()) put_back(read, -1);
    Put(VerdictKind::kReadMistake, -1, static_cast<int32_t>(read), -1, factor,
        Ln(terms) + ln_change + std::log(share));
  }

  // Any number whatever in place of a read, as likely as any other on the dial.
  void WeighAnyNumber(size_t read, double most_m3, double share) {
    const auto& reads = likelihood_.reads();
    LikelihoodTerms terms = Without(read);
    if (read > 0 && read < reads.size()) {
      const ReadVolume both{reads[read - 1].volume_m3 + reads[read].volume_m3,
                            reads[read - 1].variance_m6 + reads[read].variance_m6};
      terms += BaseTermsOf(read - 1, both, 2);
    }
    Put(VerdictKind::kReadMistake, -1, static_cast<int32_t>(read), -1, 0,
        Ln(terms) - std::log(most_m3) + std::log(share));
  }

  void WeighAllReadsTimes(double factor, double share) {
    LikelihoodTerms terms;
    const auto& reads = likelihood_.reads();
    for (size_t i = 0; i < reads.size(); ++i) {
      ReadVolume changed{reads[i].volume_m3 * factor, reads[i].variance_m6 * std::max(1.0, factor * factor)};
      terms += BaseTermsOf(i, changed);
    }
    Put(VerdictKind::kReadMistake, -1, -1, -1, factor,
        Ln(terms) + static_cast<double>(reads.size()) * std::log(factor) + std::log(share));
  }

  // Every read from a new meter on.
  void WeighNewMeterTimes(size_t read, double factor, double share) {
    LikelihoodTerms terms;
    const auto& reads = likelihood_.reads();
    for (size_t i = 0; i < reads.size(); ++i) {
      const double times = i < read ? 1 : factor;
      terms +=
          BaseTermsOf(i, {reads[i].volume_m3 * times, reads[i].variance_m6 * std::max(1.0, times * times)});
    }
    Put(VerdictKind::kReadMistake, -1, static_cast<int32_t>(read), -1, factor,
        Ln(terms) + static_cast<double>(reads.size() - read) * std::log(factor) + std::log(share));
    weighed_.back().onward = true;
  }

  void WeighReads() {
    const std::vector<double>& factors = ReadFactors();
    const double each_factor = 1.0 / static_cast<double>(factors.size());
    std::vector<size_t> new_meters;
    for (size_t read = 0; read + 1 < dial_.size(); ++read) {
      if (dial_[read].new_meter) new_meters.push_back(read);
    }
    for (const size_t read : new_meters) {
      const double share = kNewMeterShare / static_cast<double>(new_meters.size());
      for (const double factor : factors) WeighNewMeterTimes(read, factor, share * each_factor);
    }
    const double single_reads = 1 - kAllReadsShare - (new_meters.empty() ? 0 : kNewMeterShare);
    const double each_read = single_reads / static_cast<double>(dial_.size());
    double most_m3 = 1;
    for (const DialRead& read : dial_) most_m3 = std::max(most_m3, 10 * read.read.total.cubic_metres());
    for (size_t read = 0; read < dial_.size(); ++read) {
      const std::vector<double> swapped = SwappedFigures(dial_[read].read.original);
      const double swaps = swapped.empty() ? 0 : kSwappedShare;
      for (const double factor : factors) {
        WeighReadTimes(read, factor, each_read * (1 - kAnyNumberShare - swaps) * each_factor,
                       std::log(factor));
      }
      for (const double factor : swapped) {
        WeighReadTimes(read, factor, each_read * swaps / static_cast<double>(swapped.size()), 0);
      }
      WeighAnyNumber(read, most_m3, each_read * kAnyNumberShare);
    }
    for (const double factor : factors) WeighAllReadsTimes(factor, kAllReadsShare * each_factor);
  }

  // Any volume from none to what an open valve gives, in each interval on its own.
  void WeighNone() {
    double ln = 0;
    for (const double seconds : seconds_) ln -= std::log(flow_.flow_m3_per_s * std::max(seconds, 1.0));
    Put(VerdictKind::kNoneOfThese, -1, 0, -1, 0, ln);
  }

  const std::vector<DialRead>& dial_;
  const Explanations& explanations_;
  const SwitchLikelihood& likelihood_;
  const KnownFlow& flow_;
  size_t days_;
  std::vector<size_t> there_;
  ResidualLean lean_;
  std::vector<double> seconds_;
  std::vector<Weighed> weighed_;
};

// Weights by day, the first for -1: all reads.
using DayWeights = std::vector<double>;

// The day at which the weights, in order of day, first reach a share of their sum.
int32_t DayAtShare(const DayWeights& by_day, double share) {
  double sum = 0;
  for (const double weight : by_day) sum += weight;
  double reached = 0;
  for (size_t i = 0; i < by_day.size(); ++i) {
    reached += by_day[i];
    if (by_day[i] > 0 && reached >= share * sum) return static_cast<int32_t>(i) - 1;
  }
  return static_cast<int32_t>(by_day.size()) - 2;
}

}  // namespace

const std::vector<double>& ReadFactors() {
  static const std::vector<double> kFactors = {10,
                                               100,
                                               1000,
                                               0.1,
                                               0.01,
                                               0.001,
                                               kCubicMetresPerGallon,
                                               1 / kCubicMetresPerGallon,
                                               kCubicMetresPerCubicFoot / kCubicMetresPerGallon,
                                               kCubicMetresPerGallon / kCubicMetresPerCubicFoot,
                                               kCubicMetresPerCubicFoot,
                                               1 / kCubicMetresPerCubicFoot,
                                               kCubicMetresPerImperialGallon / kCubicMetresPerGallon};
  return kFactors;
}

std::vector<Weighed> WeighAll(const PointRecords& records, const SeriesMoments& moments,
                              const std::vector<DialRead>& dial, const Explanations& explanations,
                              const SwitchLikelihood& likelihood, const KnownFlow& flow) {
  return Weigher(records, moments, dial, explanations, likelihood, flow).All();
}

std::array<KindOdds, kVerdictKinds> SumUp(const std::vector<Weighed>& weighed) {
  double most = -std::numeric_limits<double>::infinity();
  int32_t last_day = 0;
  for (const Weighed& each : weighed) {
    most = std::max(most, each.ln_weight);
    last_day = std::max(last_day, each.first);
  }
  std::array<DayWeights, kVerdictKinds> by_day;
  by_day.fill(DayWeights(static_cast<size_t>(last_day) + 2, 0));
  std::array<double, kVerdictKinds> by_kind{};
  double sum = 0;
  for (const Weighed& each : weighed) {
    const double weight = std::exp(each.ln_weight - most);
    const int32_t slot = each.first + 1;
    by_day[static_cast<size_t>(each.kind)][static_cast<size_t>(slot)] += weight;
    by_kind[static_cast<size_t>(each.kind)] += weight;
    sum += weight;
  }
  std::array<KindOdds, kVerdictKinds> odds;
  for (size_t kind = 0; kind < odds.size(); ++kind) {
    odds[kind].best.ln_weight = -std::numeric_limits<double>::infinity();
    if (!(by_kind[kind] > 0)) continue;
    odds[kind].probability = by_kind[kind] / sum;
    odds[kind].median = DayAtShare(by_day[kind], 0.5);
    odds[kind].early = DayAtShare(by_day[kind], 0.05);
    odds[kind].late = DayAtShare(by_day[kind], 0.95);
  }
  for (const Weighed& each : weighed) {
    KindOdds& kind = odds[static_cast<size_t>(each.kind)];
    // Reads have no middle one; days do.
    const bool eligible = each.first == kind.median || each.kind == VerdictKind::kReadMistake;
    if (eligible && each.ln_weight > kind.best.ln_weight) kind.best = each;
  }
  return odds;
}

}  // namespace lastreach
