#pragma once

#include <array>
#include <vector>

#include "evidence/posterior.h"
#include "evidence/verdict_words.h"

namespace lastreach {

// Reads, days and volumes that go together, those without known settings left out.
struct CountingReads {
  std::vector<DialRead> dial;
  SeriesMoments moments;
  std::vector<ReadVolume> volumes;  // size dial - 1
};

// From explanations and their odds to verdicts in words. REQUIRES: all that it is given outlives it.
class VerdictTeller {
 public:
  VerdictTeller(const PointRecords& records, const CountingReads& counting, const Explanations& explanations,
                const SwitchLikelihood& likelihood, const KnownFlow& flow);

  // Those of at least that probability, ranked.
  std::vector<RankedVerdict> Tell(const std::array<KindOdds, kVerdictKinds>& odds, double least) const;

  // Flow by the reads over that written down, if this is what happened.
  double FactorOf(const Weighed& weighed) const;

 private:
  size_t SeriesIn(const Weighed& weighed) const;
  double ExpectedBy_m3(const Weighed& weighed, size_t interval) const;
  bool SameVolumes(const KindOdds& a, const KindOdds& b) const;
  Date DayOf(int32_t index) const;
  RankedVerdict VerdictOf(VerdictKind kind, const KindOdds& odds) const;
  VerdictFigures FiguresOf(const Weighed& best) const;

  const PointRecords& records_;
  const CountingReads& counting_;
  const Explanations& explanations_;
  const SwitchLikelihood& likelihood_;
  const KnownFlow& flow_;
  ResidualLean lean_;
};

}  // namespace lastreach
