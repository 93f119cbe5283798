#pragma once

#include <cstddef>
#include <vector>

#include "evidence/read_likelihood.h"
#include "evidence/reconcile.h"

namespace lastreach {

// One way in which a device may have run otherwise than by its settings.
struct Explanation {
  VerdictKind kind = VerdictKind::kStopped;
  double parameter = 0;
  size_t series = 0;
  double share = 1;      // of its kind's prior
  bool any_end = false;  // may end on any day; else only when somebody was there
};

// Every way that is tried, and the water by each; the first series is that of the settings in the ground.
struct Explanations {
  std::vector<WaterSeries> series;
  std::vector<Explanation> ways;
};
Explanations ExplanationsFor(const PointRecords& records, const SeriesMoments& moments,
                             const KnownFlow& flow);

// The prior share of "from the first read on" among the days on which it may have begun. SOURCE: common
// practice, no source.
double FromTheStart(VerdictKind kind);

// Whether it takes somebody at the timer to bring it about: then kByAPersonShare of its odds are on days on
// which somebody is known to have been there. SOURCE: common practice, no source.
bool IsByAPerson(VerdictKind kind);
inline constexpr double kByAPersonShare = 0.9;

// Indices of the days after each record or visit on which somebody stood at the device.
std::vector<size_t> DaysSomebodyWasThere(const PointRecords& records, const SeriesMoments& moments);

// How far residuals speak for "nothing has run since": ln of the odds, added up from each day on. Each
// residual from the third day on counts once: below half of the upper quartile of the point's own twice as
// likely if stopped, at it or above half as likely. Fewer than four say nothing. SOURCE: common practice, no
// source.
class ResidualLean {
 public:
  ResidualLean(const PointRecords& records, const SeriesMoments& moments);
  double LnOdds(size_t first, size_t last) const;  // of a stop between those days; within +-ln 8
  int low(size_t first, size_t last) const;        // how many low ones there are
  bool any() const { return any_; }

 private:
  std::vector<double> lean_;  // of samples on days before this one; size days + 1
  std::vector<int> low_;
  bool any_ = false;
};

}  // namespace lastreach
