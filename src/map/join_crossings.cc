#include <algorithm>

#include "map/joiner.h"

namespace lastreach {

bool Joiner::HasFreeEndNear(LinePlace place, double within_m) const {
  const auto cuts = noding_.CutsOf(place.line);
  return (place.along_m <= within_m && noding_.Degree(cuts.front().node) == 1) ||
         (noding_.lines()[place.line].length_m() - place.along_m <= within_m &&
          noding_.Degree(cuts.back().node) == 1);
}

// Whether a node was drawn as one: no line runs through it without a point of its own there.
bool Joiner::WasDrawn(uint32_t node) const {
  for (const LinePlace& place : noding_.PlacesOf(node)) {
    const auto& along_m = noding_.lines()[place.line].along_m;
    const auto after =
        std::lower_bound(along_m.begin(), along_m.end(), place.along_m - options_.same_point_m);
    if (after == along_m.end() || *after > place.along_m + options_.same_point_m) return false;
  }
  return true;
}

// What share of this drawing's plain crossings are joints in the ground.
//   s: share of joints of three and more that were drawn as such
//   n: joints of four that were drawn;  c: plain crossings
//   p: share of all places where two lines cross that are joints: n / s of n + c where s is near 1, which
//      tells; and nine in ten where it is not (streets cross mains far more often than mains pass mains:
//      common practice, no source)
//   share = p (1 - s) / (p (1 - s) + 1 - p), Bayes' rule
double Joiner::ShareOfCrossingsJoined(size_t plain) const {
  constexpr double kMostlyJoined = 0.9;
  double drawn = 1;
  double joints = 2;
  double drawn_fours = 0;
  for (uint32_t node = 0; node < noding_.node_count(); ++node) {
    if (noding_.Root(node) != node || noding_.Degree(node) < 3) continue;
    joints += 1;
    if (!WasDrawn(node)) continue;
    drawn += 1;
    if (noding_.Degree(node) >= 4) drawn_fours += 1;
  }
  const double s = drawn / joints;
  const double told = std::min((drawn_fours + 1) / s / (drawn_fours + static_cast<double>(plain) + 1), 0.95);
  const double p = s * told + (1 - s) * kMostlyJoined;
  return p * (1 - s) / (p * (1 - s) + 1 - p);
}

void Joiner::JudgeCrossings() {
  const double tolerance_m = model_.tolerance_m();
  const auto crossings = FindCrossings(noding_, grid_, 1.5 * tolerance_m);
  const double share = ShareOfCrossingsJoined(crossings.size());
  std::vector<bool> done(crossings.size(), false);
  // Twice: what the first pass joins may be all that fed a line the second asks about.
  for (const bool last : {false, true}) {
    for (size_t i = 0; i < crossings.size(); ++i) {
      if (done[i]) continue;
      const LineCrossing& crossing = crossings[i];
      const uint32_t a = crossing.first.line;
      const uint32_t b = crossing.second.line;
      const DrawnMain& first = MainOf(a);
      const DrawnMain& second = MainOf(b);
      const bool unfed = last && PartOf(a) != PartOf(b) && !(Fed(a) && Fed(b));
      const double beyond_m = std::max(2 * tolerance_m, 2.0);
      const bool end_beyond =
          HasFreeEndNear(crossing.first, beyond_m) || HasFreeEndNear(crossing.second, beyond_m);
      const Belief belief = BelieveCrossing(crossing, first, second, things_, {share, unfed, end_beyond});
      const auto decision = decisions_.Find(RepairKind::kCrossing, crossing.at, first.key, second.key);
      const bool made = decision ? *decision != Decision::kRefused : belief.chance >= kSureEnough;
      if (!made && !last) continue;
      done[i] = true;
      if (made) {
        const uint32_t one = noding_.NodeAt(a, crossing.first.along_m);
        Join(a, one, b, noding_.NodeAt(b, crossing.second.along_m));
      }
      const Position at = plane_.From(crossing.at);
      repairs_.push_back({"", RepairKind::kCrossing, at, at, first.key, second.key, 0, belief.chance, made,
                          belief.why, decision});
    }
  }
}

}  // namespace lastreach
