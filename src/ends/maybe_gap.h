#pragma once

#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "ends/end_options.h"
#include "map/map_index.h"
#include "network/repair.h"
#include "network/structure.h"

namespace lastreach {

// Another main close to where one ends, not joined to it nearby: perhaps only the drawing stops.
struct MaybeGap {
  LinkIndex link{};
  double gap_m = 0;
  std::optional<double> round_m;  // the way there along pipes, where it is short enough to have been found
};

// Looks for such mains. Shut links join too: a shut valve is no gap.
class MaybeGaps {
 public:
  // Both must outlive it.
  MaybeGaps(const Network& network, const EndOptions& options);
  // The nearest main within gap_look_m of the node that no way of at most joined_within_gaps times its
  // distance leads to. None where the node has no place.
  std::optional<MaybeGap> At(NodeIndex end) const;

 private:
  const Network& network_;
  const EndOptions& options_;
  Adjacency adjacency_;
  MapIndex near_;
};

// How far to look, given what joining up did: three times the widest gap that it closed by itself between
// ends and lines, 8 m at least, since where a drawing is coarse a gap it left open is wider too. Common
// practice, no source.
double GapLook_m(const std::vector<Repair>& repairs);

// "ends 3.1 m from the 200 mm (8 in) main in Oak Street, not joined there: perhaps only the drawing stops"
std::string Describe(const MaybeGap& gap, const Network& network);

}  // namespace lastreach
