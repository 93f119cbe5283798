#include "quality/network_engine.h"

#include "quality/network_engine_pass.h"

namespace lastreach {
template <class C>
Values<C> NetworkEngine<C>::Initial(double time_s) const {
  Values<C> initial{};
  if (meaning_.birth) initial[*meaning_.birth] = time_s - options_.initial_age_s;
  if (meaning_.share) initial[*meaning_.share] = options_.initial_share;
  if constexpr (C::kDisinfectant) {
    const double mg_per_l = options_.initial_chlorine_mg_per_l;
    initial[C::kLog] = mg_per_l > 0 ? std::log(mg_per_l) : kNoneLn;
  }
  if constexpr (C::kReacting) {
    // With all it may have of what uses chlorine up: cautious, like no chlorine.
    initial = GivenReacting(initial, kNoneLn);
    initial[C::kChlorine] = options_.initial_chlorine_mg_per_l;
    initial[C::kEntered] = time_s;
  }
  return initial;
}

// Numbers the network by the first flows and fills it with the initial water.
template <class C>
void NetworkEngine<C>::Begin(const FlowPeriod& period) {
  has_begun_ = true;
  now_s_ = period.begin_s;
  frame_ = FrameOf(network_, period.flow_m3_per_s);
  order_ = frame_.MakeOrder();
  losses_.emplace(network_, frame_.link_in_network, C::kReacting ? LossesOf::kWall : LossesOf::kBulkAndWall);
  bulk_per_s_ = C::kReacting ? 0 : network_.options.bulk_per_day / kSecondsPerDay;
  const Values<C> initial = Initial(now_s_);
  if constexpr (C::kDisinfectant) {
    highest_ln_ = initial[C::kLog];
    for (const double given : frame_.given_ln) highest_ln_ = std::max(highest_ln_, given);
  }
  const auto fill = [&](WaterColumn<C>& column, double volume_m3) {
    column.volume_m3 = volume_m3;
    if (volume_m3 > 0) column.near[0] = {.volume_m3 = volume_m3, .at = {initial, initial}};
  };
  columns_.resize(frame_.links());
  for (uint32_t l = 0; l < frame_.links(); ++l) fill(columns_[l], frame_.volume_m3[l]);
  flow_.assign(frame_.links(), 0);
  last_flow_.assign(frame_.links(), 0);
  outflow_.assign(frame_.nodes(), 0);
  last_.assign(frame_.nodes(), initial);
  record_.Resize(frame_.nodes());
  record_.Begin(now_s_);
  mixed_.resize(frame_.mixed_tanks);
  ordered_.resize(frame_.ordered_tanks);
  for (uint32_t n = 0; n < frame_.nodes(); ++n) {
    const double volume_m3 = period.tank_volume_m3[frame_.node_in_network[n]];
    if (frame_.role[n] == NodeRole::kMixes) {
      mixed_[frame_.tank_of[n]] = {
          .volume_m3 = volume_m3, .bulk_per_s = bulk_per_s_, .law = law_, .now = initial};
    } else if (frame_.role[n] == NodeRole::kKeepsOrder) {
      fill(ordered_[frame_.tank_of[n]], volume_m3);
      ordered_[frame_.tank_of[n]].loss_per_s = bulk_per_s_;
    }
  }
  if constexpr (C::kDisinfectant) {
    held_in_links_at_start_g_ = HeldInLinks();
    for (const WaterColumn<C>& tank : ordered_) ordered_at_start_g_ += HeldIn(tank, tank.loss);
    held_at_start_g_ = held_in_links_at_start_g_ + ordered_at_start_g_;
    for (const MixedTank<C>& tank : mixed_) held_at_start_g_ += tank.held_g();
  }
}

// The flows of the period and what they make of order and losses.
template <class C>
void NetworkEngine<C>::TakeFlows(const FlowPeriod& period) {
  begin_s_ = period.begin_s;
  const double before_s = period_s_;
  period_s_ = period.end_s - period.begin_s;
  for (uint32_t l = 0; l < frame_.links(); ++l) {
    const double flow = period.flow_m3_per_s[frame_.link_in_network[l]];
    const bool flows = std::abs(flow) >= options_.still_below_m3_per_s && frame_.from[l] != frame_.to[l];
    flow_[l] = flows ? flow : 0;
  }
  for (uint32_t n = 0; n < frame_.nodes(); ++n) {
    outflow_[n] = period.outflow_m3_per_s[frame_.node_in_network[n]];
  }
  order_->Follow(flow_);
  uint64_t pieces = 0;
  for (uint32_t l = 0; l < frame_.links(); ++l) {
    WaterColumn<C>& column = columns_[l];
    pieces += column.pieces();
    if (flow_[l] != 0) {
      last_flow_[l] = flow_[l];
      ++counts_.link_periods;
    }
    if constexpr (C::kDisinfectant || C::kReacting) {
      column.loss += column.loss_per_s * before_s;
      column.loss_per_s = losses_->Next_per_s(l, flow_[l], period_s_);
    }
  }
  counts_.peak_pieces = std::max(counts_.peak_pieces, pieces);
  for (WaterColumn<C>& tank : ordered_) tank.loss += tank.loss_per_s * before_s;
}

// In how many parts the period must be taken: in each, a link left out of the order passes no more than it
// holds.
template <class C>
uint32_t NetworkEngine<C>::Parts(double seconds) const {
  constexpr double kMost = 1e6;
  double parts = 1;
  for (const uint32_t l : order_->late_links()) {
    parts = std::max(parts, std::ceil(std::abs(flow_[l]) * seconds / frame_.volume_m3[l] * (1 + 1e-9)));
  }
  return static_cast<uint32_t>(std::min(parts, kMost));
}

template <class C>
void NetworkEngine<C>::Advance(const FlowPeriod& period) {
  if (!has_begun_) Begin(period);
  TakeFlows(period);
  mixer_.BeginPeriod(begin_s_);
  const uint32_t parts = Parts(period_s_);
  for (uint32_t part = 0; part < parts; ++part) {
    const double begin_s = period_s_ * part / parts;
    const double end_s = part + 1 == parts ? period_s_ : period_s_ * (part + 1) / parts;
    for (const uint32_t node : order_->nodes()) PassNode(node, begin_s, end_s);
  }
  now_s_ = period.end_s;
  ++counts_.periods;
  if (parts > 1) counts_.part_periods += parts;
  counts_.order_repairs = order_->repairs();
}

template <class C>
void NetworkEngine<C>::ReadNodes(Quantity quantity, std::span<double> out) const {
  const std::size_t k = IndexOf(quantity);
  std::vector<Values<C>> read(frame_.nodes());
  for (const uint32_t node : order_->nodes()) {
    read[node] = Reading(node, read);
    const double value = read[node][k];
    double& shown = out[frame_.node_in_network[node]];
    shown = quantity == Quantity::kAge ? std::max(now_s_ - value, 0.0) : value;
    if constexpr (C::kDisinfectant) {
      if (quantity == Quantity::kChlorine) shown = SpanRecord<C>::ReadLn(value);
    }
    if constexpr (C::kReacting) {
      if (quantity == Quantity::kThm) shown = Thm_ug_per_l<C>(law_, read[node]);
    }
  }
}

// What would be drawn at a node now; nodes above it have been read, into `read`.
template <class C>
Values<C> NetworkEngine<C>::Reading(uint32_t node, std::span<const Values<C>> read) const {
  const double put_in = outflow_[node] < -options_.still_below_m3_per_s ? -outflow_[node] : 0;
  if (frame_.role[node] != NodeRole::kJoins) return Standing(node, period_s_, 0);
  Values<C> sum{};
  double weight = 0;
  const auto add = [&](const Values<C>& plain, double with) {
    for (std::size_t k = 0; k < C::kPassive; ++k) sum[k] += with * plain[k];
    if constexpr (C::kDisinfectant) sum[C::kLog] += with * std::exp(plain[C::kLog]);
    weight += with;
  };
  if (put_in > 0) add(Given(node, now_s_), put_in);
  for (const Arc& arc : frame_.ArcsOf(node)) {
    const double towards = arc.end == 1 ? flow_[arc.link] : -flow_[arc.link];
    if (towards <= 0) continue;
    const WaterColumn<C>& column = columns_[arc.link];
    if (column.volume_m3 == 0 || column.IsEmpty()) {
      add(read[arc.other], towards);
      continue;
    }
    Values<C> plain = column.At(arc.end).at[arc.end];
    if constexpr (C::kDisinfectant) plain[C::kLog] -= column.LossAt(period_s_);
    if constexpr (C::kReacting) plain = LeavingLink<C>(law_, plain, now_s_, column.LossAt(period_s_));
    add(plain, towards);
  }
  if (weight == 0) return Standing(node, period_s_, 0);
  for (double& value : sum) value /= weight;
  if constexpr (C::kDisinfectant) sum[C::kLog] = std::max(std::log(sum[C::kLog]), kNoneLn);
  return sum;
}

template <class C>
void NetworkEngine<C>::SetReactions(const TwoReactants& options) {
  if constexpr (C::kReacting) {
    law_ = {.fast_l_per_mg_per_s = options.fast_l_per_mg_per_day / kSecondsPerDay,
            .slow_l_per_mg_per_s = options.slow_l_per_mg_per_day / kSecondsPerDay,
            .thm_ug_per_mg = options.thm_ug_per_mg};
    mixer_.SetLaw(law_);
    rounding_[C::kEntered] = 1e-6;
    rounding_[C::kPotential] = 1e-9;
  }
}

template <class C>
Values<C> NetworkEngine<C>::GivenReacting(Values<C> given, double given_ln) const {
  if constexpr (C::kReacting) {
    const TwoReactants& options = *network_.options.two_reactants;
    given[C::kChlorine] = SpanRecord<C>::ReadLn(given_ln);
    given[C::kFast] = options.fast_mg_per_l;
    given[C::kSlow] = options.slow_mg_per_l;
    given[C::kPotential] =
        options.thm_ug_per_l + options.thm_ug_per_mg * (options.fast_mg_per_l + options.slow_mg_per_l);
    given[C::kEntered] = kNotEntered_s;
  }
  return given;
}

template <class C>
double NetworkEngine<C>::HeldIn(const WaterColumn<C>& column, double loss) const {
  double held = 0;
  if constexpr (C::kDisinfectant) {
    column.ForEachPiece([&](const WaterPiece<C>& piece) {
      held += piece.volume_m3 * LogLinearMean(piece.at[0][C::kLog] - loss, piece.at[1][C::kLog] - loss);
    });
  }
  return held;
}

template <class C>
double NetworkEngine<C>::HeldInLinks() const {
  double held = 0;
  for (const WaterColumn<C>& column : columns_) held += HeldIn(column, column.LossAt(period_s_));
  return held;
}

// Of what has passed nodes, and of what stands in links and may have been read there.
template <class C>
double NetworkEngine<C>::WorstOf(std::size_t k) const {
  double worst = worst_error_[k];
  const auto look = [&](const WaterColumn<C>& column) {
    const double loss = column.LossAt(period_s_);
    column.ForEachPiece([&](const WaterPiece<C>& piece) {
      Bounds<C> error = piece.error;
      if (&piece == &column.near[column.entering_end]) column.left_out.AddTo(error);
      const bool is_told =
          !C::kDisinfectant || k != C::kLog || std::max(piece.at[0][k], piece.at[1][k]) - loss >= kToldLn;
      if (is_told) worst = std::max<double>(worst, error[k]);
      if constexpr (C::kReacting) {
        if (k != C::kChlorine) return;
        for (const Values<C>& entered : piece.at) {
          worst = std::max(worst, ReactingError<C>(law_, error, entered, column.loss_per_s));
        }
      }
    });
  };
  for (const WaterColumn<C>& column : columns_) look(column);
  for (const WaterColumn<C>& tank : ordered_) look(tank);
  return worst;
}

template <class C>
double NetworkEngine<C>::WorstError(Quantity quantity) const {
  if constexpr (C::kReacting) {
    // Of either reactant no more than of all three together, and of THM what both can make.
    if (quantity == Quantity::kThm) {
      return WorstOf(C::kPotential) + law_.thm_ug_per_mg * WorstOf(C::kChlorine);
    }
    if (quantity == Quantity::kFastReactant || quantity == Quantity::kSlowReactant) {
      return WorstOf(C::kChlorine);
    }
  }
  return WorstOf(IndexOf(quantity));
}

template <class C>
NetworkMassAccount NetworkEngine<C>::Account() const {
  NetworkMassAccount account;
  account.held_at_start_g = held_at_start_g_;
  account.entered_g = entered_g_;
  account.left_g = left_g_;
  const double in_links_g = HeldInLinks();
  double in_ordered_g = 0;
  for (const WaterColumn<C>& tank : ordered_) in_ordered_g += HeldIn(tank, tank.LossAt(period_s_));
  account.held_g = in_links_g + in_ordered_g;
  account.decayed_in_links_g = held_in_links_at_start_g_ + let_in_g_ - taken_g_ - in_links_g;
  account.decayed_in_tanks_g = ordered_at_start_g_ + tank_in_g_ - tank_out_g_ - in_ordered_g;
  for (const MixedTank<C>& tank : mixed_) {
    account.held_g += tank.held_g();
    account.decayed_in_tanks_g += tank.decayed_g;
  }
  return account;
}

std::unique_ptr<TransportEngine> MakeTransportEngine(const Network& network,
                                                     const NetworkQualityOptions& options) {
  CarriedMeaning meaning;
  std::size_t passive = 0;
  if (options.age) meaning.birth = passive++;
  if (options.source) meaning.share = passive++;
  const auto make = [&]<class C>(C) -> std::unique_ptr<TransportEngine> {
    return std::make_unique<NetworkEngine<C>>(network, options, meaning);
  };
  // One for all: places not in use cost little, and each engine takes a minute to compile with sanitizers.
  if (options.chlorine && network.options.two_reactants) return make(CarriedReacting<2>{});
  if (options.chlorine) {
    if (passive == 0) return make(Carried<0, true>{});
    return passive == 1 ? make(Carried<1, true>{}) : make(Carried<2, true>{});
  }
  return passive == 1 ? make(Carried<1, false>{}) : make(Carried<2, false>{});
}

}  // namespace lastreach
