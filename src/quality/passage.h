#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "quality/flow_history.h"

namespace lastreach {

// The water that passes one place of a branch through time, as breakpoints in order. Between two neighbours,
// where the place flows, `entered_s` and `log_loss` are linear in time. Two breakpoints at one time are the
// older and the younger side of a front: water on either side of a moment at which some segment stood still.
// While the place stands still, the breakpoints in a row are the same water (what would be drawn next),
// ageing.
struct Passage {
  std::vector<double> time_s;  // when it is here, never falling
  std::vector<double>
      entered_s;  // when it entered the branch at the root; time_s[0] of the drive for what was in it
  std::vector<double> log_loss;  // -ln of the share left since then
  std::vector<uint32_t>
      instant;              // the instant of the drive it was noted for, kFront if it must be carried on
  std::size_t initial = 0;  // the first so many are water that was in the branch at the start
  static constexpr uint32_t kFront = UINT32_MAX;

  std::size_t size() const { return time_s.size(); }
  void Resize(std::size_t size);
};

// The same water seen by the volume that had entered a segment before it.
struct EnteredWater {
  std::vector<double> volume_m3;  // A_j(time_s), size of the passage at the inlet
  std::vector<double> base;       // log_loss - G_j(time_s): add G_j(t) for the loss by t
};

// The water entering the branch: every instant, nothing lost.
void PassRoot(const FlowHistory& flows, Passage& passage);

// What passes the downstream end of a segment, from what passes its upstream end. `entered` is scratch, left
// filled with the inlet's volumes.
// COST: one pass over inlet and instants, without a search and without exponentials.
void PassSegment(const FlowHistory& flows, const SegmentHistory& segment, const Passage& inlet,
                 EnteredWater& entered, Passage& outlet);

// Leaves out the breakpoints that were noted only for an instant i with bends[i] == 0.
void DropStraight(std::span<const uint8_t> bends, Passage& passage);

}  // namespace lastreach
