#pragma once

#include <string>
#include <utility>

#include "map/crossings.h"
#include "map/gaps.h"
#include "map/things_near.h"
#include "network/drawing.h"

namespace lastreach {

// How sure a joint is, and why. The chance to begin with, turned into odds, is multiplied by a factor for
// each piece of evidence and turned back:
//   p = o / (1 + o),  o = p0 / (1 - p0) x f1 x f2 ...
// The factors are judgement: common practice, no source; docs/theory/map.md lists them.
struct Belief {
  double chance = 0;  // held within 0.02 and 0.98
  std::string why;    // the evidence that moved it, in words
};

struct GapEvidence {
  double chance_of_distance = 0;  // GapModel::Chance
  bool otherwise_unfed = false;   // nothing feeds the line but through this
};
Belief BelieveGap(const EndGap& gap, const DrawnMain& first, const DrawnMain& second,
                  const ThingsNear& things, const GapEvidence& evidence);

struct CrossingEvidence {
  double share_joined = 0;  // of such places in this drawing
  bool otherwise_unfed = false;
  bool end_just_beyond = false;  // one of the lines ends shortly after
};
Belief BelieveCrossing(const LineCrossing& crossing, const DrawnMain& first, const DrawnMain& second,
                       const ThingsNear& things, const CrossingEvidence& evidence);

}  // namespace lastreach
