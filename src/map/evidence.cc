#include "map/evidence.h"

#include <algorithm>

namespace lastreach {
namespace {

constexpr double kThingAtEnd_m = 3;
constexpr double kThingAtCrossing_m = 2;

class Odds {
 public:
  explicit Odds(double chance) : odds_(chance / (1 - chance)) {}
  void Weigh(bool so, double factor, const char* words) {
    if (!so) return;
    odds_ *= factor;
    why_ += (why_.empty() ? "" : "; ") + std::string(words);
  }
  Belief Done(const std::string& first_words) const {
    return {std::clamp(odds_ / (1 + odds_), 0.02, 0.98), first_words + (why_.empty() ? "" : "; " + why_)};
  }

 private:
  double odds_;
  std::string why_;
};

bool ZonesDiffer(const DrawnMain& a, const DrawnMain& b) {
  return !a.zone.empty() && !b.zone.empty() && a.zone != b.zone;
}

constexpr double kTrunk_m = 0.3;

bool IsTrunk(const DrawnMain& main) { return main.diameter && main.diameter->value.metres() >= kTrunk_m; }

// One a trunk main and the other at most half as wide.
bool TrunkPassesSmall(const DrawnMain& a, const DrawnMain& b) {
  if (!a.diameter || !b.diameter) return false;
  const double one_m = a.diameter->value.metres();
  const double other_m = b.diameter->value.metres();
  const double most_m = std::max(one_m, other_m);
  return most_m >= kTrunk_m && std::min(one_m, other_m) <= most_m / 2;
}

}  // namespace

Belief BelieveGap(const EndGap& gap, const DrawnMain& first, const DrawnMain& second,
                  const ThingsNear& things, const GapEvidence& evidence) {
  Odds odds(std::clamp(evidence.chance_of_distance, 0.02, 0.98));
  odds.Weigh(evidence.otherwise_unfed, 10, "nothing else feeds it");
  // Over a hand's breadth the direction says nothing.
  const bool tells = gap.gap_m > 0.3;
  odds.Weigh(gap.runs_past, 5, "it crosses it just before");
  odds.Weigh(tells && !gap.runs_past && gap.aims_off_deg <= 30, 3, "the end points at it");
  odds.Weigh(tells && !gap.runs_past && gap.aims_off_deg >= 100, 0.1, "the end points away");
  odds.Weigh(tells && gap.side_by_side, 0.1, "the two run side by side and end together");
  odds.Weigh(things.Any(gap.from, kThingAtEnd_m, {ThingKind::kHydrant, ThingKind::kBlowOff}), 0.1,
             "a hydrant or blow-off stands at the end, as at a true dead end");
  odds.Weigh(ZonesDiffer(first, second), 0.2, "the two are in different zones");
  return odds.Done(gap.runs_past ? "the end runs past the line"
                   : gap.to_node ? "the end falls short of another"
                                 : "the end falls short of the line");
}

Belief BelieveCrossing(const LineCrossing& crossing, const DrawnMain& first, const DrawnMain& second,
                       const ThingsNear& things, const CrossingEvidence& evidence) {
  Odds odds(std::clamp(evidence.share_joined, 0.02, 0.98));
  odds.Weigh(crossing.vertex, 30, "a point of the line was put there");
  odds.Weigh(evidence.end_just_beyond, 30, "one line ends just beyond");
  odds.Weigh(things.Any(crossing.at, kThingAtCrossing_m, {ThingKind::kValve, ThingKind::kFitting}), 10,
             "a valve or fitting stands there");
  odds.Weigh(evidence.otherwise_unfed, 30, "nothing else feeds one of them");
  odds.Weigh(first.level != second.level, 0.01, "one runs above the other");
  odds.Weigh(ZonesDiffer(first, second), 0.1, "the two are in different zones");
  odds.Weigh(TrunkPassesSmall(first, second), 0.25, "a trunk main passes a small one");
  odds.Weigh((IsTrunk(first) && !second.diameter) || (IsTrunk(second) && !first.diameter), 0.3,
             "a trunk main passes one of unknown width");
  return odds.Done(evidence.share_joined >= 0.5
                       ? "this drawing does not break lines where they meet"
                       : "this drawing breaks lines where they meet, and here it does not");
}

}  // namespace lastreach
