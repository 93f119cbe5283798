#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>

#include "core/result.h"
#include "hydraulics/flow_period.h"
#include "network/network.h"

namespace lastreach {

// What is carried through the network.
enum class Quantity {
  kAge,          // since the water entered the network [s]
  kChlorine,     // [mg/L]
  kSourceShare,  // of the water that entered at one node, 0 to 1
  // Where NetworkOptions::two_reactants is given, along with chlorine (reactants.h):
  kFastReactant,  // [mg/L of chlorine it can use up]
  kSlowReactant,  // likewise
  kThm,           // [ug/L]
};

struct NetworkQualityOptions {
  bool age = true;
  bool chlorine = true;
  std::optional<NodeIndex> source{};  // the share of its water is tracked; of a tank: of what leaves it
  // How much leaving out kinks and fronts may change water each time it enters a link: this share of the age
  // it will have at the link's other end and an hour more; of what ln c will have fallen and 0.1; of 1 for
  // the share; beside reactants of 0.1 mg/L. Its mean stays. What this may add up to is carried along
  // (worst_error). 0 keeps all.
  double tolerance = 0.01;
  double initial_age_s = 0;              // of all water at the begin of the first period
  double initial_chlorine_mg_per_l = 0;  // beside reactants with all of those that entering water has
  double initial_share = 0;
  double still_below_m3_per_s = 1e-9;  // a link with less flow stands
};

// What was met at each node since BeginSpan, size nodes. What would be drawn is judged, drawn or not.
struct SpanStatistics {
  std::span<const double> lowest, greatest;
  std::span<const double> mean;  // over time
};

// Where the disinfectant went since the start [g].
struct NetworkMassAccount {
  double held_at_start_g = 0;
  double entered_g = 0;           // at sources and where water is put in
  double left_g = 0;              // with what is drawn, and into sources
  double decayed_in_links_g = 0;  // bulk and wall
  double decayed_in_tanks_g = 0;
  double held_g = 0;  // now

  // What is missing (if positive) or too much: what mixing, merging and tanks did not keep.
  double imbalance_g() const;
};

struct NetworkTransportCounts {
  uint64_t periods = 0;
  uint64_t link_periods = 0;     // periods times links that flowed
  uint64_t pieces_moved = 0;     // that entered links
  uint64_t pieces_appended = 0;  // of them not merged with the one before
  uint64_t peak_pieces = 0;      // most that links held when a period began
  uint64_t order_repairs = 0;    // links that turned against the order of work
  uint64_t part_periods = 0;     // cut because water flowed in a ring
};

class TransportEngine;

// Age, residual and the share of one source over a whole network while flows change from period to period.
// Water moves as a plug in every link, streams mix at nodes, and tanks mix or keep their order. In a pipe
// with Q the flow and D(t) its integral, the water at volume p from its `from` end has the label w = p -
// D(t), which never changes; over the labels
//
//   t - age and the share      are straight between fronts, exactly, in all flow that is constant in periods
//   ln c + G(t)                likewise where streams do not mix, G the loss of that pipe summed over time
//
// so that water is carried by its fronts and kinks alone: there is no step to refine and no numerical mixing.
// docs/theory/network-transport.md has the proofs.
//
// ERROR: where streams mix, ln c is straight only nearly, and kinks smaller than the tolerances are left out
// (the integral over the water stays); worst_error() bounds both, everything that followed included.
// COST: some tens of nanoseconds a link and period, more where many fronts pass.
// THREADS: one object, one thread. REQUIRES: the network outlives it and does not change.
class NetworkTransport {
 public:
  // ERROR: kBadRequest where nothing is carried or a value is negative.
  static Result<NetworkTransport> Make(const Network& network, const NetworkQualityOptions& options);
  ~NetworkTransport();
  NetworkTransport(NetworkTransport&&) noexcept;
  NetworkTransport& operator=(NetworkTransport&&) noexcept;

  // Moves the water through one period. The first period's tank volumes are taken; periods follow each other.
  // ERROR: kInternal where sizes are wrong or a period does not begin where the last ended.
  Status Advance(const FlowPeriod& period);
  double now_s() const;

  bool Carries(Quantity quantity) const;
  // What would be drawn at each node now; at a front the younger side. Where water stands, what stands next
  // to the node. REQUIRES, for all of these: a period has passed; Carries(quantity); out.size() == nodes.
  void ReadNodes(Quantity quantity, std::span<double> out) const;

  // Forgets what was met so far; until then, a span begins with the first period. The statistics are those up
  // to now and hold until the next call of anything.
  void BeginSpan();
  SpanStatistics Span(Quantity quantity);

  // Bound of the error of anything read so far: seconds of age, share of the concentration where that is 1e-3
  // mg/L or more, share; beside reactants mg/L and ug/L, but for the splitting of steps in mixed tanks and
  // the mean rate of the wall. It adds up what every link on the way may have left out as if all of it
  // pointed the same way, and so grows with the number of links: beyond some thousand it may exceed the age
  // itself, where errors met are a hundredth. To know them, run again with a tenth of the tolerance. COST: a
  // pass over all water held.
  double worst_error(Quantity quantity) const;
  // REQUIRES: Carries(Quantity::kChlorine), not beside reactants. COST: a pass over all water held.
  NetworkMassAccount Account() const;
  const NetworkTransportCounts& counts() const;

 private:
  explicit NetworkTransport(std::unique_ptr<TransportEngine> engine);
  std::unique_ptr<TransportEngine> engine_;
  std::size_t nodes_ = 0, links_ = 0;
  std::array<bool, 6> carries_{};  // by Quantity
  std::optional<double> now_s_;
};

}  // namespace lastreach
