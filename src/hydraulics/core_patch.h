#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "hydraulics/core_problem.h"
#include "hydraulics/elimination.h"
#include "hydraulics/patch_matrix.h"
#include "hydraulics/pipe_rows.h"

namespace lastreach {

// A part of the core where a change is felt so much that laws bend: nodes inside, all links with an end at
// one, and the nodes of the rim at the other ends. Around it the rest answers as by its slopes of before
// (core_follow.cc). Here the links' laws are solved for heads that the rim holds, by steps as in
// core_solve.h on the nodes inside. COST: of all calls, by the size of the patch.
class CorePatch {
 public:
  // REQUIRES: `core` outlives the patch; heads and missing flows are its user's, size all nodes.
  CorePatch(const Core& core, std::vector<double>& head_m, std::vector<double>& missing_m3_per_s);

  // Nodes of unknown head come in; others are left alone.
  void AddNode(uint32_t node);
  void AddLink(uint32_t link);
  void Clear();
  // Takes flows and laws of the core, drives, and the conductances of before, of links.
  void LayOut(std::span<const double> drive_m, std::span<const double> before_m2_per_s);

  bool Holds(uint32_t link) const {
    return place_[core_.links[link].from] == Place::kInside || place_[core_.links[link].to] == Place::kInside;
  }
  // Those inside, then the rim.
  const std::vector<uint32_t>& nodes() const { return nodes_; }
  size_t InsideCount() const { return inside_; }

  // The rest and the patch alike have answered by such a rise of heads, as if links were those of before:
  // what they are not is missing now.
  void Rise(std::span<const double> head_m);
  // One step inside. False where there is none. `sharp`: by slopes as they are now, not of a step before;
  // `first`: flows are far from what heads drive yet.
  bool Step(bool sharp, bool first);
  double WorstMissing_m3_per_s() const;
  // What the next step would still move any flow, at most.
  double WorstMove_m3_per_s() const;
  // Residuals are within such a share of what is allowed.
  bool IsSettled(double head_m, double flow_m3_per_s, double share) const;
  // Writes flows and drives of its links.
  void Give(std::span<double> flow_m3_per_s, std::span<double> drive_m) const;

 private:
  enum class Place : char { kOutside, kRim, kInside };
  struct Member {
    uint32_t link = 0, row_begin = 0, row_end = 0;  // rows of a chain
    const LinkLaw* law = nullptr;                   // of links with laws of their own
    double friction = 0, middle_m3_per_s = 0;
    double before_m2_per_s = 0;
    double flow_m3_per_s = 0, drive_m = 0, loss_m = 0, slope_s_per_m2 = 0;
    bool IsOut() const { return law != nullptr && law->is_out; }
    double Residual_m() const { return IsOut() ? 0 : drive_m - loss_m; }
    double Conductance() const { return IsOut() ? 0 : 1 / slope_s_per_m2; }
  };
  void FindRim();
  void AddMember(uint32_t link, double drive_m, double before_m2_per_s);
  void Evaluate();
  double ChordOf(const Member& member) const;

  const Core& core_;
  std::vector<double>& head_m_;
  std::vector<double>& missing_m3_per_s_;
  std::vector<uint32_t> first_, link_at_;  // links at every node
  std::vector<Place> place_;               // size all nodes
  std::vector<uint32_t> number_;           // size all nodes: among nodes_; those of fixed heads come last
  std::vector<uint32_t> nodes_, links_;
  size_t inside_ = 0;
  std::vector<Member> members_;
  std::vector<LinkEnds> ends_;  // in numbers of the patch
  PipeRows pipes_;              // rows of its chains
  std::vector<double> drawn_m3_per_s_, row_flow_m3_per_s_, row_loss_m_, row_slope_s_per_m2_;
  std::vector<double> conductance_m2_per_s_, step_m_;
  PatchMatrix matrix_;
  bool has_factor_ = false;
};

}  // namespace lastreach
