#pragma once

#include <optional>
#include <string>
#include <vector>

#include "ends/end_options.h"
#include "ends/shortest_feed.h"
#include "network/quiet_place.h"
#include "network/structure.h"

namespace lastreach {

// A way of water from a well-fed place to where it stops, with all that draws on it.
struct Arm {
  NodeIndex tee{};  // where it leaves the well-fed main
  std::vector<ReachPiece> pieces;
  std::vector<int> sides;  // of each piece: 0 where it begins at its link's `from`
  double length_m = 0;
  double volume_m3 = 0;
  int services = 0;
  int services_beyond = 0;
  double demand_m3_per_s = 0;
  double tail_m = 0;
  double tail_m3 = 0;
  std::optional<double> days_to_last_customer;  // to the last that draws, where later ones draw nothing
  std::optional<double> days_from_source;
  bool last_draws_nothing = false;
};

// Walks back up the water's ways.
//
// The REACH of an end goes back to the first node that lies on a loop, is where water comes in, or has a
// well-fed main before it: one whose water covers fast_m_per_day and of which the branch takes at most
// branch_share. The arm of a meeting point within a link goes back to the first main that fast, whatever
// share it takes.
//
// A customer is a connection that stands for services, or a side branch that has some. Where the whole
// network has none (a plain table), whatever draws water is a customer.
//
//   days = SUM over the stretches between draws of  pi d^2 L / 4 q  up to the last customer that draws
//   tail = what lies beyond the last customer
class ReachTracer {
 public:
  // THREADS: const calls may run together. All four arguments must outlive the tracer.
  ReachTracer(const Network& network, const Adjacency& adjacency, const ShortestFeed& feed,
              const EndOptions& options);

  // REQUIRES: water comes to `end`. No pieces where it comes in there.
  Arm ToEnd(NodeIndex end) const;
  // REQUIRES: the link is fed from both ends. The pieces run from a tee to the cut; side as in LinkFeed.
  Arm ToCut(LinkIndex link, int side) const;

  const Network& network() const { return network_; }
  const ShortestFeed& feed() const { return feed_; }
  const EndOptions& options() const { return options_; }
  bool knows_customers() const { return knows_customers_; }  // there is one somewhere

  // "200 mm (8 in) main in Elm Street, from tank Hilltop": what brings water to the tee of an arm.
  std::string FedBy(const Arm& arm) const;
  // The main of those words; none where water comes in at the tee.
  std::optional<LinkIndex> FedThrough(const Arm& arm) const;

 private:
  struct Branches;
  Branches SideBranchesAt(NodeIndex node, LinkIndex but) const;
  ReachPiece PieceOf(LinkIndex link, int side) const;
  bool IsCustomer(const Connection& connection) const;
  bool IsFast(LinkIndex link) const;
  bool IsWellFed(NodeIndex node, double branch_m3_per_s) const;
  void Climb(NodeIndex from, bool to_cut, Arm& arm) const;
  void Measure(Arm& arm) const;
  std::vector<double> CustomersOn(const ReachPiece& piece, int side,
                                  const std::vector<FlowStretch>& stretches) const;
  bool IsEnough(double flow_m3_per_s) const;

  const Network& network_;
  const Adjacency& adjacency_;
  const ShortestFeed& feed_;
  const EndOptions& options_;
  std::vector<size_t> first_connection_;
  std::vector<char> on_loop_;  // size nodes
  bool counts_services_ = false;
  bool knows_customers_ = false;
};

// "200 mm (8 in) main in Elm Street"; "main in Elm Street" where nobody knows the width.
std::string WordsFor(const Link& link);

}  // namespace lastreach
