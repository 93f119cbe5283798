#pragma once

#include <cstdint>
#include <span>
#include <vector>

namespace lastreach {

// The order in which nodes are worked through, each after all nodes water comes to it from, kept while flows
// change: a link that turns moves only the nodes between its two ends in the order.
//
// Where water flows in a ring, one link of the ring is left out of the order: the one that takes longest to
// pass. Its lower end is worked out before its upper end, from water the link already holds. Flow in a ring
// of links that hold no water is taken out of the flows: it would carry nothing anywhere. SOURCE: Pearce &
// Kelly, A dynamic topological sort algorithm for directed acyclic graphs, ACM J. Exp. Algorithmics 11, 1.7,
// 2006 (from memory). COST: nothing while no flow turns; else the nodes moved, but no more than O(nodes +
// links) for making the order anew (Kahn, Comm. ACM 5, 558-562, 1962; from memory) and the way to each ring.
class WorkOrder {
 public:
  // Links given by their two nodes and the water they hold.
  WorkOrder(uint32_t nodes, std::vector<uint32_t> from, std::vector<uint32_t> to,
            std::vector<double> volume_m3);

  // Flows below 0 go from `to` to `from`; those of 0 count for nothing. Takes rings of no volume out of them.
  void Follow(std::span<double> flow_m3_per_s);

  std::span<const uint32_t> nodes() const { return order_; }           // first to last
  std::span<const uint32_t> late_links() const { return late_list_; }  // left out of the order
  uint64_t repairs() const { return repairs_; }

 private:
  static constexpr uint32_t kPut = UINT32_MAX;
  struct Arc {
    uint32_t link;
    uint32_t other;
  };

  uint32_t Upper(uint32_t link) const { return turn_[link] > 0 ? from_[link] : to_[link]; }
  uint32_t Lower(uint32_t link) const { return turn_[link] > 0 ? to_[link] : from_[link]; }
  bool Leads(uint32_t link, uint32_t node, bool down) const {
    return placed_[link] != 0 && (down ? Upper(link) : Lower(link)) == node;
  }
  bool Mend(std::span<double> flow);
  void Rebuild(std::span<double> flow);
  void PutFrom(uint32_t start);
  void FindRingAbove(uint32_t node);
  void Place(uint32_t link, std::span<double> flow);
  bool Reaches(uint32_t start, uint32_t goal, std::vector<uint32_t>& seen);
  void CollectAbove(uint32_t start, uint32_t floor, std::vector<uint32_t>& seen);
  uint32_t BreakRing(std::span<double> flow);
  void Reorder();

  std::vector<uint32_t> from_, to_;
  std::vector<double> volume_;
  std::vector<uint32_t> arc_start_;
  std::vector<Arc> arcs_;
  std::vector<int8_t> turn_;     // size links: sign of the flow followed last
  std::vector<uint8_t> placed_;  // size links: the order heeds it
  std::vector<uint32_t> order_, position_;
  std::vector<uint32_t> late_list_, ring_list_, changed_;  // ring_list_: some flow was taken out of it
  std::vector<uint32_t> below_, above_, slots_, stack_, came_by_, ring_;
  std::vector<uint32_t> waits_;  // size nodes: links from nodes not put into the order yet, or kPut
  std::vector<uint32_t> mark_;
  uint32_t mark_now_ = 0;
  std::size_t nodes_seen_ = 0;  // while mending
  uint64_t repairs_ = 0;
  bool is_built_ = false;
};

}  // namespace lastreach
