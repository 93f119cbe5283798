#pragma once

#include <cstdint>
#include <span>
#include <unordered_map>
#include <vector>

#include "map/flat_lines.h"
#include "map/segment_grid.h"

namespace lastreach {

// A place on a line.
struct LinePlace {
  uint32_t line = 0;
  double along_m = 0;
};

// Lines cut at nodes: the network while it is being made. Every line has a node at each end; nodes between
// are where it meets others. A node may stand on many lines.
//
// Nodes are merged, never moved apart; Root() gives the one that stands for all merged with it.
class Noding {
 public:
  struct Cut {
    double along_m = 0;
    uint32_t node = 0;  // Root() of it is what counts
  };

  // Nodes at the ends of every line and where points of two lines coincide, or such a node lies on another
  // line, within same_point_m. COST: O(n log n).
  Noding(std::vector<FlatLine> lines, const SegmentGrid& grid, double same_point_m);

  const std::vector<FlatLine>& lines() const { return lines_; }
  double same_point_m() const { return same_point_m_; }

  // The node at that place: one that is there within same_point_m, or a new one.
  uint32_t NodeAt(uint32_t line, double along_m);
  // Makes one node of two.
  void Merge(uint32_t a, uint32_t b);

  uint32_t Root(uint32_t node) const;
  size_t node_count() const { return parent_.size(); }
  PlanePoint at(uint32_t node) const { return at_[Root(node)]; }
  std::span<const LinePlace> PlacesOf(uint32_t node) const { return places_[Root(node)]; }
  std::span<const Cut> CutsOf(uint32_t line) const { return cuts_[line]; }
  // Pieces of line that meet at the node: 1 at a free end.
  int Degree(uint32_t node) const;

  // Shortest ways along the lines from a node to all nodes no farther than most_m, by root [m].
  std::unordered_map<uint32_t, double> WaysFrom(uint32_t node, double most_m) const;
  // From those, the shortest way to a place on a line; infinite if there is none.
  double Way_m(const std::unordered_map<uint32_t, double>& ways, LinePlace place) const;

  // Number of each line's connected part, 0, 1, ... in order of the first line of each.
  std::vector<uint32_t> Parts() const;

 private:
  uint32_t AddNode(uint32_t line, double along_m, PlanePoint at);
  void JoinEqualPoints();
  void JoinEndsOnLines(const SegmentGrid& grid);

  std::vector<FlatLine> lines_;
  double same_point_m_;
  std::vector<std::vector<Cut>> cuts_;  // by line, in order along it; first and last are its ends
  mutable std::vector<uint32_t> parent_;
  std::vector<PlanePoint> at_;
  std::vector<std::vector<LinePlace>> places_;  // by root
};

}  // namespace lastreach
