#pragma once

#include "quality/network_engine.h"

namespace lastreach {

// How one node is worked through, for NetworkEngine. Times are from the begin of the period.

// What enters the network at a node at a moment.
template <class C>
Values<C> NetworkEngine<C>::Given(uint32_t node, double time_s) const {
  Values<C> given{};
  if (meaning_.birth) given[*meaning_.birth] = time_s;
  if (meaning_.share) {
    given[*meaning_.share] = frame_.node_in_network[node] == static_cast<uint32_t>(At(*options_.source));
  }
  if constexpr (C::kDisinfectant) given[C::kLog] = frame_.given_ln[node];
  if constexpr (C::kReacting) given = GivenReacting(given, frame_.given_ln[node]);
  return given;
}

template <class C>
void NetworkEngine<C>::PassNode(uint32_t node, double begin_s, double end_s) {
  out_.clear();
  in_m3_per_s_ = OpenInflows(node, begin_s);
  out_m3_per_s_ = 0;
  for (const Outflow& out : out_) out_m3_per_s_ += out.flow_m3_per_s;
  switch (frame_.role[node]) {
    case NodeRole::kGives:
      return PassSource(node, begin_s, end_s);
    case NodeRole::kMixes:
      return PassTank(node, begin_s, end_s);
    case NodeRole::kKeepsOrder:
      return PassOrderedTank(node, begin_s, end_s);
    case NodeRole::kJoins:
      break;
  }
  const double put_in = outflow_[node] < -options_.still_below_m3_per_s ? -outflow_[node] : 0;
  if (in_m3_per_s_ + put_in == 0) return Stand(node, begin_s, end_s);
  PassThrough(node, begin_s, end_s, put_in);
}

// Opens the columns water comes out of and lists those it goes into. The sum of the inflows.
template <class C>
double NetworkEngine<C>::OpenInflows(uint32_t node, double begin_s) {
  in_.clear();
  double sum = 0;
  for (const Arc& arc : frame_.ArcsOf(node)) {
    const double flow = arc.end == 1 ? flow_[arc.link] : -flow_[arc.link];  // towards the node
    if (flow > 0) {
      in_.emplace_back().Open(columns_[arc.link], arc.end, flow, begin_s, last_[node]);
      sum += flow;
    } else if (flow < 0) {
      out_.push_back({arc.link, arc.end, -flow});
    }
  }
  return sum;
}

// What leaving out kinks may change in water that comes at the end of `stretch` and stays for `stay_s`.
template <class C>
Values<C> NetworkEngine<C>::ToleranceFor(const NodeStretch<C>& stretch, double stay_s,
                                         double loss_per_s) const {
  constexpr double kLeastAge_s = 3600;
  constexpr double kLeastLoss = 0.1;
  Values<C> scale;
  scale.fill(1);
  if (meaning_.birth) {
    const double arrives_s = begin_s_ + stretch.begin_s + stretch.seconds;
    scale[*meaning_.birth] = kLeastAge_s + arrives_s + stay_s - stretch.last[*meaning_.birth];
  }
  if constexpr (C::kDisinfectant) {
    scale[C::kLog] = kLeastLoss + loss_per_s * stay_s + std::max(highest_ln_ - stretch.last[C::kLog], 0.0);
  }
  if constexpr (C::kReacting) {
    // The time of entering counts by how fast the water reacts, here the most it will.
    scale[C::kChlorine] = scale[C::kFast] = scale[C::kSlow] = scale[C::kEntryLoss] = kLeastLoss;
    scale[C::kPotential] = kLeastLoss * std::max(law_.thm_ug_per_mg, 1.0);
    scale[C::kEntered] = kLeastLoss / std::max(ReactionRate<C>(law_, stretch.last, loss_per_s), 1e-8);
  }
  for (std::size_t k = 0; k < C::kCount; ++k) {
    scale[k] = std::max(options_.tolerance * scale[k], rounding_[k]);
  }
  return scale;
}

// Hands the mix of the inflows to `sink`, stretch by stretch. Water that takes less than a 1e9th of the time
// is passed over.
template <class C>
template <class Sink>
void NetworkEngine<C>::MixInflows(double begin_s, double end_s, const Sink& sink) {
  const double window = end_s - begin_s;
  const double tolerance = std::max(options_.tolerance / 100, 1e-8);
  double flow = 0;
  for (const WaterInflow<C>& one : in_) flow += one.flow_m3_per_s;
  double at = begin_s;
  while (at < end_s) {
    const double remaining = end_s - at;
    double step = remaining;
    for (const WaterInflow<C>& one : in_) {
      if (one.volume_left_m3 < step * one.flow_m3_per_s) step = one.volume_left_m3 / one.flow_m3_per_s;
    }
    step = std::max(step, 1e-9 * window);
    if (step > remaining * (1 - 1e-9)) step = remaining;
    NodeStretch<C> stretch{.begin_s = at, .seconds = step};
    mixer_.Mix(in_, flow, tolerance, stretch);
    const bool is_last = stretch.seconds == remaining;
    if constexpr (C::kDisinfectant) taken_g_ += flow * stretch.seconds * stretch.mean_mg_per_l;
    sink(stretch);
    for (WaterInflow<C>& one : in_) one.Pass(stretch.seconds, window);
    at = is_last ? end_s : at + stretch.seconds;
  }
  for (WaterInflow<C>& one : in_) one.Close(window);
}

template <class C>
void NetworkEngine<C>::PassThrough(uint32_t node, double begin_s, double end_s, double put_in_m3_per_s) {
  double drawn_m3_per_s = in_m3_per_s_ + put_in_m3_per_s - out_m3_per_s_;
  if (put_in_m3_per_s > 0) {
    in_.emplace_back().PutIn(Given(node, begin_s_ + begin_s), put_in_m3_per_s, meaning_.birth);
    if constexpr (C::kDisinfectant) {
      const double put_in_g = put_in_m3_per_s * (end_s - begin_s) * std::exp(frame_.given_ln[node]);
      entered_g_ += put_in_g;
      taken_g_ -= put_in_g;  // MixInflows counts it among what links gave
    }
  }
  MixInflows(begin_s, end_s, [&](const NodeStretch<C>& stretch) {
    if constexpr (C::kDisinfectant) left_g_ += drawn_m3_per_s * stretch.seconds * stretch.mean_mg_per_l;
    Give(node, stretch);
  });
}

template <class C>
void NetworkEngine<C>::PassSource(uint32_t node, double begin_s, double end_s) {
  if (!in_.empty()) {
    MixInflows(begin_s, end_s, [&](const NodeStretch<C>& stretch) {
      if constexpr (C::kDisinfectant) left_g_ += in_m3_per_s_ * stretch.seconds * stretch.mean_mg_per_l;
    });
  }
  NodeStretch<C> stretch{.begin_s = begin_s, .seconds = end_s - begin_s};
  stretch.first = Given(node, begin_s_ + begin_s);
  stretch.last = Given(node, begin_s_ + end_s);
  if constexpr (C::kDisinfectant) {
    stretch.mean_mg_per_l = std::exp(frame_.given_ln[node]);
    entered_g_ += out_m3_per_s_ * stretch.seconds * stretch.mean_mg_per_l;
  }
  Give(node, stretch);
}

template <class C>
void NetworkEngine<C>::PassTank(uint32_t node, double begin_s, double end_s) {
  MixedTank<C>& tank = mixed_[frame_.tank_of[node]];
  Values<C> tolerance =
      ToleranceFor({.begin_s = begin_s, .seconds = end_s - begin_s, .last = tank.now}, 0, 0);
  // A tank bends for ever: with no tolerance at all it is still put on lines.
  constexpr double kLeast_s = 0.1;
  constexpr double kLeast = 1e-6;  // of ln c and of shares
  for (std::size_t k = 0; k < C::kCount; ++k) {
    const bool is_birth = meaning_.birth == k;
    tolerance[k] = std::max(tolerance[k] / 10, is_birth ? kLeast_s : kLeast);
  }
  const auto through = [&](const NodeStretch<C>& in) {
    PassMixedTank<C>(tank, in, in_m3_per_s_, out_m3_per_s_, tolerance,
                     [&](const NodeStretch<C>& out) { Give(node, out); });
  };
  if (!in_.empty()) return MixInflows(begin_s, end_s, through);
  through({.begin_s = begin_s, .seconds = end_s - begin_s});
}

// All that comes in the time is let in first, then what leaves is taken out at the other end.
template <class C>
void NetworkEngine<C>::PassOrderedTank(uint32_t node, double begin_s, double end_s) {
  WaterColumn<C>& tank = ordered_[frame_.tank_of[node]];
  const double window = end_s - begin_s;
  if (!in_.empty()) {
    MixInflows(begin_s, end_s, [&](const NodeStretch<C>& stretch) {
      WaterPiece<C> piece{.volume_m3 = in_m3_per_s_ * stretch.seconds, .error = stretch.error};
      piece.at = {stretch.last, stretch.first};
      if constexpr (C::kDisinfectant) {
        piece.at[1][C::kLog] += tank.LossAt(stretch.begin_s);
        piece.at[0][C::kLog] += tank.LossAt(stretch.begin_s + stretch.seconds);
        tank_in_g_ += piece.volume_m3 * stretch.mean_mg_per_l;
      }
      if constexpr (C::kReacting) {
        const double first_s = begin_s_ + stretch.begin_s;
        StampEntry<C>(piece, 0, first_s, first_s + stretch.seconds, 0, 0);
      }
      const Values<C> tolerance = ToleranceFor(stretch, tank.volume_m3 / in_m3_per_s_, tank.loss_per_s);
      PushPiece<C>(tank, pool_, 0, piece, tolerance, tank.LossAt(stretch.begin_s + stretch.seconds));
    });
  }
  tank.volume_m3 = std::max(tank.volume_m3 + (in_m3_per_s_ - out_m3_per_s_) * window, 0.0);
  if (out_m3_per_s_ == 0) return Stand(node, begin_s, end_s);
  in_.clear();
  in_.emplace_back().Open(tank, 1, out_m3_per_s_, begin_s, last_[node]);
  const double taken_g = taken_g_;
  MixInflows(begin_s, end_s, [&](const NodeStretch<C>& stretch) { Give(node, stretch); });
  tank_out_g_ += taken_g_ - taken_g;
  taken_g_ = taken_g;
}

// Nothing comes: what is judged is what would be drawn.
template <class C>
void NetworkEngine<C>::Stand(uint32_t node, double begin_s, double end_s) {
  NodeStretch<C> stretch{.begin_s = begin_s, .seconds = end_s - begin_s};
  stretch.first = Standing(node, begin_s, 0);
  stretch.last = Standing(node, end_s, end_s - begin_s);
  if constexpr (C::kDisinfectant) {
    stretch.mean_mg_per_l = LogLinearMean(stretch.first[C::kLog], stretch.last[C::kLog]);
    // Flows that do not balance let water out that did not come; its disinfectant is booked as drawn.
    left_g_ -= out_m3_per_s_ * stretch.seconds * stretch.mean_mg_per_l;
  }
  if (frame_.role[node] == NodeRole::kKeepsOrder) out_.clear();
  Give(node, stretch);
}

// The water next to a node: the mix of what stands at the ends of the links it last came from, by the flows
// it came with; if it never came, of all links that hold water; else what passed last, `aged_s` older.
template <class C>
Values<C> NetworkEngine<C>::Standing(uint32_t node, double since_begin_s, double aged_s) const {
  if (frame_.role[node] == NodeRole::kGives) return Given(node, begin_s_ + since_begin_s);
  if (frame_.role[node] == NodeRole::kMixes) return mixed_[frame_.tank_of[node]].now;
  Values<C> sum{};
  double weight = 0;
  const auto add = [&](const WaterColumn<C>& column, std::size_t end, double loss, double with) {
    Values<C> at = column.At(end).at[end];
    if constexpr (C::kReacting) at = LeavingLink<C>(law_, at, begin_s_ + since_begin_s, loss);
    for (std::size_t k = 0; k < C::kPassive; ++k) sum[k] += with * at[k];
    if constexpr (C::kDisinfectant) sum[C::kLog] += with * std::exp(at[C::kLog] - loss);
    weight += with;
  };
  if (frame_.role[node] == NodeRole::kKeepsOrder) {
    const WaterColumn<C>& tank = ordered_[frame_.tank_of[node]];
    if (!tank.IsEmpty()) add(tank, 1, tank.LossAt(since_begin_s), 1);
  } else {
    for (const bool came : {true, false}) {
      for (const Arc& arc : frame_.ArcsOf(node)) {
        const WaterColumn<C>& column = columns_[arc.link];
        const double towards = arc.end == 1 ? last_flow_[arc.link] : -last_flow_[arc.link];
        if (column.volume_m3 == 0 || column.IsEmpty() || (came && towards <= 0)) continue;
        const double loss = flow_[arc.link] == 0 && since_begin_s > 0 && since_begin_s < period_s_
                                ? column.loss + losses_->StillLossAt(arc.link, since_begin_s)
                                : column.LossAt(since_begin_s);
        add(column, arc.end, loss, came ? towards : 1);
      }
      if (weight > 0) break;
    }
  }
  if (weight == 0) {
    sum = last_[node];
    if constexpr (C::kDisinfectant) sum[C::kLog] -= bulk_per_s_ * aged_s;
    if constexpr (C::kReacting) sum = LaterOffTheWall<C>(law_, sum, aged_s);
    return sum;
  }
  for (double& value : sum) value /= weight;
  if constexpr (C::kDisinfectant) sum[C::kLog] = std::max(std::log(sum[C::kLog]), kNoneLn);
  return sum;
}

// Keeps what is to be said of the water at a node, and lets it into the outflows.
template <class C>
void NetworkEngine<C>::Give(uint32_t node, NodeStretch<C> stretch) {
  if (meaning_.share && frame_.role[node] != NodeRole::kJoins &&
      frame_.node_in_network[node] == static_cast<uint32_t>(At(*options_.source))) {
    stretch.first[*meaning_.share] = stretch.last[*meaning_.share] = 1;
    stretch.error[*meaning_.share] = 0;
  }
  if constexpr (C::kReacting) {
    NodeStretch<C> seen = stretch;
    seen.first[C::kPotential] = Thm_ug_per_l<C>(law_, stretch.first);
    seen.last[C::kPotential] = Thm_ug_per_l<C>(law_, stretch.last);
    record_.Add(node, seen, begin_s_, meaning_.birth.value_or(C::kCount));
  } else {
    record_.Add(node, stretch, begin_s_, meaning_.birth.value_or(C::kCount));
  }
  last_[node] = stretch.last;
  for (std::size_t k = 0; k < C::kCount; ++k) {
    if (C::kDisinfectant && k == C::kLog && stretch.last[k] < kToldLn) continue;
    worst_error_[k] = std::max<double>(worst_error_[k], stretch.error[k]);
  }
  for (const Outflow& out : out_) LetIn(out, stretch);
}

template <class C>
void NetworkEngine<C>::LetIn(const Outflow& out, const NodeStretch<C>& stretch) {
  WaterColumn<C>& column = columns_[out.link];
  const std::size_t end = out.end;
  WaterPiece<C> piece{.volume_m3 = out.flow_m3_per_s * stretch.seconds, .error = stretch.error};
  piece.at[end] = stretch.last;
  piece.at[1 - end] = stretch.first;
  const double loss = column.LossAt(stretch.begin_s + stretch.seconds);
  if constexpr (C::kDisinfectant) {
    piece.at[end][C::kLog] += loss;
    piece.at[1 - end][C::kLog] += column.LossAt(stretch.begin_s);
    let_in_g_ += piece.volume_m3 * stretch.mean_mg_per_l;
  }
  if constexpr (C::kReacting) {
    const double first_s = begin_s_ + stretch.begin_s;
    StampEntry<C>(piece, end, first_s, first_s + stretch.seconds, column.LossAt(stretch.begin_s), loss);
  }
  const Values<C> tolerance = ToleranceFor(stretch, column.volume_m3 / out.flow_m3_per_s, column.loss_per_s);
  ++counts_.pieces_moved;
  if (!PushPiece<C>(column, pool_, out.end, piece, tolerance, loss)) ++counts_.pieces_appended;
}

}  // namespace lastreach
