#include "evidence/tell_verdicts.h"

#include <algorithm>
#include <cmath>

namespace lastreach {
namespace {

// Both predict the same where they differ by less than this many standard deviations in every interval.
constexpr double kSameWithin = 0.5;

Date LocalDay(const Zone& zone, Instant moment) {
  return Date{std::chrono::floor<std::chrono::days>(zone.ToLocal(moment))};
}

size_t First(const Weighed& weighed) { return static_cast<size_t>(weighed.first); }
size_t Last(const Weighed& weighed) {
  return weighed.last < 0 ? SwitchLikelihood::kNever : static_cast<size_t>(weighed.last);
}

}  // namespace

VerdictTeller::VerdictTeller(const PointRecords& records, const CountingReads& counting,
                             const Explanations& explanations, const SwitchLikelihood& likelihood,
                             const KnownFlow& flow)
    : records_(records),
      counting_(counting),
      explanations_(explanations),
      likelihood_(likelihood),
      flow_(flow),
      lean_(records, counting.moments) {}

std::vector<RankedVerdict> VerdictTeller::Tell(const std::array<KindOdds, kVerdictKinds>& odds,
                                               double least) const {
  std::vector<RankedVerdict> verdicts;
  for (size_t kind = 0; kind < odds.size(); ++kind) {
    if (!(odds[kind].probability > 0) || odds[kind].probability < least) continue;
    verdicts.push_back(VerdictOf(static_cast<VerdictKind>(kind), odds[kind]));
    for (size_t other = 0; other < odds.size(); ++other) {
      if (other != kind && odds[other].probability >= least && SameVolumes(odds[kind], odds[other])) {
        verdicts.back().same_volumes.push_back(static_cast<VerdictKind>(other));
      }
    }
  }
  std::stable_sort(verdicts.begin(), verdicts.end(), [](const RankedVerdict& a, const RankedVerdict& b) {
    return a.probability > b.probability;
  });
  return verdicts;
}

double VerdictTeller::FactorOf(const Weighed& weighed) const {
  if (weighed.way < 0) return FlowFactor(likelihood_.BaseTerms(), flow_.relative_sd);
  return FlowFactor(likelihood_.Terms(SeriesIn(weighed), First(weighed), Last(weighed)), flow_.relative_sd);
}

size_t VerdictTeller::SeriesIn(const Weighed& weighed) const {
  return weighed.way < 0 ? 0 : explanations_.ways[static_cast<size_t>(weighed.way)].series;
}
double VerdictTeller::ExpectedBy_m3(const Weighed& weighed, size_t interval) const {
  if (weighed.way < 0) return likelihood_.Expected_m3(interval, 0, 0, SwitchLikelihood::kNever);
  return likelihood_.Expected_m3(interval, SeriesIn(weighed), First(weighed), Last(weighed));
}

bool VerdictTeller::SameVolumes(const KindOdds& a, const KindOdds& b) const {
  const auto has_series = [](const Weighed& w) {
    return w.kind != VerdictKind::kReadMistake && w.kind != VerdictKind::kNoneOfThese;
  };
  if (!has_series(a.best) || !has_series(b.best)) return false;
  const double of_a = FactorOf(a.best), of_b = FactorOf(b.best);
  for (size_t i = 0; i < counting_.volumes.size(); ++i) {
    const double a_m3 = of_a * ExpectedBy_m3(a.best, i), b_m3 = of_b * ExpectedBy_m3(b.best, i);
    const double sd_m3 = std::hypot(std::sqrt(counting_.volumes[i].variance_m6), kIntervalScatter * a_m3);
    if (std::abs(a_m3 - b_m3) > kSameWithin * sd_m3) return false;
  }
  return true;
}

Date VerdictTeller::DayOf(int32_t index) const {
  return LocalDay(records_.zone, counting_.moments.days[static_cast<size_t>(index)]);
}

RankedVerdict VerdictTeller::VerdictOf(VerdictKind kind, const KindOdds& odds) const {
  RankedVerdict verdict;
  verdict.kind = kind;
  verdict.probability = odds.probability;
  verdict.parameter = odds.best.parameter;
  verdict.onward = odds.best.onward;
  if (kind == VerdictKind::kReadMistake) {
    if (odds.best.first >= 0) {
      verdict.since = counting_.dial[static_cast<size_t>(odds.best.first)].read.day;
    }
  } else if (odds.best.way >= 0) {
    if (odds.median > 0) {
      verdict.since = DayOf(odds.median);
      verdict.earliest = DayOf(odds.early);
      verdict.latest = DayOf(odds.late);
    }
    if (odds.best.last >= 0) verdict.until = DayOf(odds.best.last);
  }
  verdict.evidence = EvidenceWords(verdict, FiguresOf(odds.best));
  verdict.settle = SettleWords(verdict);
  return verdict;
}

VerdictFigures VerdictTeller::FiguresOf(const Weighed& best) const {
  VerdictFigures figures;
  const double factor = FactorOf(best);
  for (size_t i = 0; i < counting_.volumes.size(); ++i) {
    const double by_settings_m3 = ExpectedBy_m3({}, i);
    const double by_this_m3 = ExpectedBy_m3(best, i);
    const bool differs = best.way < 0 || std::abs(by_this_m3 - by_settings_m3) > 1e-3 * by_settings_m3;
    if (!differs) continue;
    if (figures.intervals++ == 0) figures.from = counting_.dial[i].read.day;
    figures.to = counting_.dial[i + 1].read.day;
    figures.read_m3 += counting_.volumes[i].volume_m3;
    figures.expected_m3 += by_settings_m3;
    figures.explained_m3 += factor * by_this_m3;
  }
  if (best.kind == VerdictKind::kStopped) figures.low_residuals = lean_.low(First(best), Last(best));
  if (best.kind == VerdictKind::kRanAsSet) figures.flow_by_reads_m3_per_s = factor * flow_.flow_m3_per_s;
  if (best.kind == VerdictKind::kReadMistake && best.first >= 0) {
    figures.read_as_written = counting_.dial[First(best)].read.original;
  }
  return figures;
}

}  // namespace lastreach
