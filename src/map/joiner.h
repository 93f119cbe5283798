#pragma once

#include <cstdint>
#include <map>
#include <utility>
#include <vector>

#include "map/decisions.h"
#include "map/evidence.h"
#include "map/gaps.h"
#include "map/islands.h"
#include "map/join_up.h"
#include "map/noding.h"
#include "map/things_near.h"
#include "map/tolerance.h"

namespace lastreach {

// From here on a joint is made without asking.
inline constexpr double kSureEnough = 0.5;

// The passes of joining up, in order: gaps at free ends, crossings, islands. Each makes what it is sure of;
// what is left is offered.
class Joiner {
 public:
  Joiner(const Drawing& drawing, const Plane& plane, std::vector<FlatLine> lines,
         const std::vector<RepairDecision>& decisions, const JoinOptions& options);

  void CloseGaps();
  void JudgeCrossings();
  void BringInIslands();
  void OfferGapsLeft();

  const Noding& noding() const { return noding_; }
  std::vector<Repair> TakeRepairs();  // numbered, in order of kind and then from west to east
  JoinSummary Summary() const;        // without the lengths of parts

 private:
  const DrawnMain& MainOf(uint32_t line) const { return drawing_.mains[noding_.lines()[line].main]; }
  uint32_t PartOf(uint32_t line) const;
  bool Fed(uint32_t line) const { return fed_[PartOf(line)]; }
  void FindFedParts();
  void Join(uint32_t line_a, uint32_t node_a, uint32_t line_b, uint32_t node_b);
  void CloseGap(const EndGap& gap);
  Repair ProposalFor(const EndGap& gap) const;
  bool IsProposed(const Repair& repair) const;
  bool HasFreeEndNear(LinePlace place, double within_m) const;
  bool WasDrawn(uint32_t node) const;
  double ShareOfCrossingsJoined(size_t plain) const;
  double IslandReach_m() const;
  bool JoinIslandsOnce();
  bool JoinIsland(const Nearness& near, double reach_m);

  const Drawing& drawing_;
  const Plane& plane_;
  const JoinOptions& options_;
  SegmentGrid grid_;
  Noding noding_;
  ThingsNear things_;
  Decisions decisions_;
  GapModel model_;
  int parts_before_ = 0;
  mutable std::vector<uint32_t> part_;                               // of each line, a union-find over lines
  std::vector<bool> fed_;                                            // by root of part_
  std::vector<double> length_m_;                                     // the same
  std::map<std::pair<uint32_t, uint32_t>, double> islands_offered_;  // two lines, once; the gap [m]
  std::vector<EndGap> gaps_left_;
  std::vector<Repair> repairs_;
};

}  // namespace lastreach
