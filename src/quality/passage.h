#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "quality/flow_history.h"

namespace lastreach {

// Water at a moment at which it passes a place of a branch.
struct Breakpoint {
  double time_s = 0;      // when it is here
  double entered_s = 0;   // when it entered the branch at the root; time_s[0] of the drive for what was in it
  double log_loss = 0;    // -ln of the share left since then
  uint32_t step = 0;      // the instant of the drive at or before time_s
  bool must_keep = true;  // false: noted only because it is an instant, and may be straight (see MarkBends)
};

// The water that passes one place through time, as breakpoints in order of time. Between two neighbours,
// where the place flows, entered_s and log_loss are linear in time. Two breakpoints at one time are the older
// and the younger side of a front: water on either side of a moment at which some segment stood still. While
// the place stands still, the breakpoints in a row are the same water (what would be drawn next), ageing.
struct Passage {
  std::vector<Breakpoint> points;
  std::size_t initial = 0;  // the first so many are water that was in the branch at the start
};

// The same water by the volume that had entered a segment before it.
struct Entry {
  double volume_m3 = 0;  // A_j(time_s)
  double base = 0;       // log_loss - G_j(time_s): add G_j(t) for the loss by t
  double entered_s = 0;
};

struct Entries {
  std::vector<Entry> points;
  std::size_t initial = 0;
};

// The water entering the branch: every instant, nothing lost.
void PassRoot(const FlowHistory& flows, Passage& passage);

// What passes the downstream end of a segment, from what passes its upstream end. Instants with bends[i] == 0
// are left out at the inlet; no bends at all keeps every one, and `entries` parallel to the inlet. COST: one
// pass over inlet and instants, without a search and without exponentials.
void PassSegment(const SegmentHistory& segment, std::span<const uint8_t> bends, const Passage& inlet,
                 Entries& entries, Passage& outlet);

}  // namespace lastreach
