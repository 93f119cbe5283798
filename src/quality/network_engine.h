#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <vector>

#include "quality/link_losses.h"
#include "quality/mixed_tank.h"
#include "quality/node_mixing.h"
#include "quality/span_record.h"
#include "quality/transport_engine.h"
#include "quality/transport_frame.h"
#include "quality/water_column.h"

namespace lastreach {

// What each carried value is, in the order of Carried.
struct CarriedMeaning {
  std::optional<std::size_t> birth;  // the time the water entered, on the periods' clock [s]
  std::optional<std::size_t> share;
};

// The engine for one set of quantities. A period is worked through node by node, each after those water comes
// from; a node takes the water of its inflows out of their columns, mixes it, and lets it into its outflows.
template <class C>
class NetworkEngine final : public TransportEngine {
 public:
  NetworkEngine(const Network& network, const NetworkQualityOptions& options, const CarriedMeaning& meaning)
      : network_(network), options_(options), meaning_(meaning) {
    for (std::size_t k = 0; k < C::kCount; ++k) {
      const bool is_birth = meaning.birth == k;
      // Rounding of what lies on one line; never counted as a kink.
      rounding_[k] = is_birth ? 1e-6 : 1e-11;
    }
    if constexpr (C::kReacting) SetReactions(*network.options.two_reactants);
  }

  void Advance(const FlowPeriod& period) override;
  void ReadNodes(Quantity quantity, std::span<double> out) const override;
  void BeginSpan() override { record_.Begin(now_s_); }
  SpanStatistics Span(Quantity quantity) override {
    return record_.Statistics(IndexOf(quantity), now_s_, frame_);
  }
  double WorstError(Quantity quantity) const override;
  NetworkMassAccount Account() const override;
  const NetworkTransportCounts& counts() const override { return counts_; }

 private:
  using Arc = TransportFrame::Arc;
  struct Outflow {
    uint32_t link;
    std::size_t end;
    double flow_m3_per_s;
  };

  std::size_t IndexOf(Quantity quantity) const {
    if (quantity == Quantity::kAge) return *meaning_.birth;
    if (quantity == Quantity::kSourceShare) return *meaning_.share;
    if constexpr (C::kReacting) {
      if (quantity == Quantity::kFastReactant) return C::kFast;
      if (quantity == Quantity::kSlowReactant) return C::kSlow;
      return quantity == Quantity::kThm ? C::kPotential : C::kChlorine;
    }
    return C::kLog;
  }
  void SetReactions(const TwoReactants& options);
  Values<C> GivenReacting(Values<C> given, double given_ln) const;
  Values<C> Given(uint32_t node, double time_s) const;
  Values<C> Initial(double time_s) const;
  void Begin(const FlowPeriod& period);
  void TakeFlows(const FlowPeriod& period);
  uint32_t Parts(double seconds) const;
  void PassNode(uint32_t node, double begin_s, double end_s);
  double OpenInflows(uint32_t node, double begin_s);
  void PassThrough(uint32_t node, double begin_s, double end_s, double put_in_m3_per_s);
  void PassSource(uint32_t node, double begin_s, double end_s);
  void PassTank(uint32_t node, double begin_s, double end_s);
  void PassOrderedTank(uint32_t node, double begin_s, double end_s);
  void Stand(uint32_t node, double begin_s, double end_s);
  Values<C> Standing(uint32_t node, double since_begin_s, double aged_s) const;
  template <class Sink>
  void MixInflows(double begin_s, double end_s, const Sink& sink);
  void Give(uint32_t node, NodeStretch<C> stretch);
  void LetIn(const Outflow& out, const NodeStretch<C>& stretch);
  Values<C> ToleranceFor(const NodeStretch<C>& stretch, double stay_s, double loss_per_s) const;
  Values<C> Reading(uint32_t node, std::span<const Values<C>> read) const;
  double HeldInLinks() const;
  double WorstOf(std::size_t k) const;
  double HeldIn(const WaterColumn<C>& column, double loss) const;

  const Network& network_;
  NetworkQualityOptions options_;
  CarriedMeaning meaning_;
  Values<C> rounding_{};
  double highest_ln_ = kNoneLn;  // of the disinfectant where it enters

  bool has_begun_ = false;
  double now_s_ = 0;
  double begin_s_ = 0, period_s_ = 0;  // of the period being worked through, or the last
  double bulk_per_s_ = 0;              // in tanks
  TwoReactantLaw law_;                 // of reacting quantities
  TransportFrame frame_;
  std::optional<WorkOrder> order_;
  std::optional<LinkLosses> losses_;
  PiecePool<WaterPiece<C>> pool_;
  std::vector<WaterColumn<C>> columns_;  // of links
  std::vector<double> flow_;             // of links
  std::vector<double> last_flow_;        // the last that was not 0
  std::vector<double> outflow_;          // of nodes
  std::vector<Values<C>> last_;          // of nodes: what passed last
  std::vector<MixedTank<C>> mixed_;
  std::vector<WaterColumn<C>> ordered_;
  SpanRecord<C> record_;
  std::array<double, C::kCount> worst_error_{};
  NetworkTransportCounts counts_;

  // The node being worked through.
  std::vector<WaterInflow<C>> in_;
  std::vector<Outflow> out_;
  double in_m3_per_s_ = 0, out_m3_per_s_ = 0;
  NodeMixer<C> mixer_;

  // Grams: see NetworkMassAccount.
  double held_at_start_g_ = 0, held_in_links_at_start_g_ = 0, entered_g_ = 0, left_g_ = 0;
  double let_in_g_ = 0, taken_g_ = 0;                               // into and out of links
  double tank_in_g_ = 0, tank_out_g_ = 0, ordered_at_start_g_ = 0;  // of tanks that keep their order
};

}  // namespace lastreach
