#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "evidence/explanations.h"

namespace lastreach {

// What the number on a sheet may have to be multiplied by: noughts lost or added, gallons taken for cubic
// metres or cubic feet, and the other way about; imperial gallons.
const std::vector<double>& ReadFactors();

// One explanation with its days, weighed: ln of prior times likelihood.
struct Weighed {
  VerdictKind kind = VerdictKind::kRanAsSet;
  int32_t way = -1;   // index of the Explanation; -1 for those without
  int32_t first = 0;  // index of a day; for a read mistake of the read, -1 for all reads
  int32_t last = -1;  // -1: to the end
  double parameter = 0;
  double ln_weight = 0;
  bool onward = false;  // of a read mistake: of every read from that one on
};

// All of them, over every day they may have begun on and ended on.
std::vector<Weighed> WeighAll(const PointRecords& records, const SeriesMoments& moments,
                              const std::vector<DialRead>& dial, const Explanations& explanations,
                              const SwitchLikelihood& likelihood, const KnownFlow& flow);

// Of one kind, summed up. Probabilities over all kinds sum to 1 to rounding.
struct KindOdds {
  double probability = 0;
  Weighed best;                 // the heaviest of those that begin on the median day; of reads, of all
  int32_t median = 0;           // of the day of beginning, by weight
  int32_t early = 0, late = 0;  // 5 % and 95 % of it
};
std::array<KindOdds, kVerdictKinds> SumUp(const std::vector<Weighed>& weighed);

}  // namespace lastreach
