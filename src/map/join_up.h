#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/result.h"
#include "network/drawing.h"
#include "network/network.h"
#include "network/repair.h"

namespace lastreach {

struct JoinOptions {
  // Ends farther apart than this are not joined. DEFAULT: chosen from the drawing (tolerance.h).
  std::optional<double> tolerance_m;
  // How far lines that nothing feeds may lie from the rest to be joined on that ground alone.
  // DEFAULT: three tolerances, at least 5 m, at most 25 m.
  std::optional<double> island_reach_m;
  // Points closer than this are one point drawn twice: no repair, only arithmetic.
  double same_point_m = 0.01;
};

struct JoinSummary {
  double tolerance_m = 0;
  std::string tolerance_why;  // "chosen: of 1,204 gaps below 10 m, 97 % are below 0.8 m"
  double island_reach_m = 0;
  double drawn_m = 0;         // of all lines that take part
  double largest_part_m = 0;  // of the largest connected part
  int parts = 0;              // connected parts
  int parts_before = 0;       // the same before any repair
  int repairs_made = 0;
  int repairs_offered = 0;
};

struct JoinedMap {
  Network network;                  // nodes and links with geometry; nothing filled in
  std::vector<Repair> repairs;      // in order of id
  std::vector<SetAside> set_aside;  // drawn lines that take no part
  JoinSummary summary;
};

// Makes one network of the mains of a drawing: points that coincide become one node, lines are split where
// others end on them, ends that fall short are joined, crossings are judged; each repair is a record. The
// drawing is not changed and no vertex of it is moved: a joint over a gap ends at the line's own end.
//
// Promises, each tested:
//   1. Shuffling, reversing, splitting, doubling or re-projecting the lines gives the same network.
//   2. No repair joins what lies farther apart than summary.tolerance_m, or for islands island_reach_m,
//      unless a person accepted or locked it.
//   3. A refused repair is not made. An accepted one is, for as long as it is proposed; a locked one is at
//      any tolerance.
//   4. Every line is in the network whole, or in set_aside with a reason.
// ERROR: kBadInput if there are no mains.
// COST: O(n log n) in vertices; 100,000 lines in a few seconds.
Result<JoinedMap> JoinUp(const Drawing& drawing, const std::vector<RepairDecision>& decisions = {},
                         const JoinOptions& options = {});

}  // namespace lastreach
