#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <span>

#include "quality/reactants.h"
#include "quality/water_column.h"
#include "quality/water_piece.h"

namespace lastreach {

// Chlorine beside two reactants as six more passive quantities, after `plain` others. In a link the first
// three stand as they were when the water entered it, with the time it did and what the wall had taken by
// then; leaving, the water is what React makes of them over its stay, the wall at its mean rate. The fourth,
// THM + y (F + S), neither reacts nor decays: it is what THM can come to.
template <std::size_t plain>
struct CarriedReacting {
  static constexpr std::size_t kPassive = plain + 6;
  static constexpr bool kDisinfectant = false;
  static constexpr bool kReacting = true;
  static constexpr std::size_t kLog = kPassive;
  static constexpr std::size_t kCount = kPassive;
  static constexpr std::size_t kChlorine = plain, kFast = plain + 1, kSlow = plain + 2,
                               kPotential = plain + 3, kEntered = plain + 4, kEntryLoss = plain + 5;
};

// The time of entering of water that is in no link. Finite, so that it may be mixed.
inline constexpr double kNotEntered_s = 1e15;

// What water is at a node: given its values in the link, the time on the periods' clock and the loss the
// link's wall has come to.
template <class C>
Values<C> LeavingLink(const TwoReactantLaw& law, const Values<C>& in_link, double now_s, double loss) {
  const double stay_s = std::max(now_s - in_link[C::kEntered], 0.0);
  const double wall_per_s = stay_s > 0 ? std::max(loss - in_link[C::kEntryLoss], 0.0) / stay_s : 0;
  const ReactingWater water = React(law,
                                    {.chlorine_mg_per_l = std::max(in_link[C::kChlorine], 0.0),
                                     .fast_mg_per_l = std::max(in_link[C::kFast], 0.0),
                                     .slow_mg_per_l = std::max(in_link[C::kSlow], 0.0)},
                                    wall_per_s, stay_s);
  Values<C> out = in_link;
  out[C::kChlorine] = water.chlorine_mg_per_l;
  out[C::kFast] = water.fast_mg_per_l;
  out[C::kSlow] = water.slow_mg_per_l;
  out[C::kEntered] = kNotEntered_s;
  out[C::kEntryLoss] = 0;
  return out;
}

// The same water `seconds` later where no wall takes anything: in a tank, or at a node it does not leave.
template <class C>
Values<C> LaterOffTheWall(const TwoReactantLaw& law, Values<C> water, double seconds) {
  water[C::kEntered] = 0;
  water[C::kEntryLoss] = 0;
  return LeavingLink<C>(law, water, seconds, 0);
}

// Between mixing in a tank, reactions are taken in steps this short: the error of taking turns falls with the
// square, and is some 1e-4 of what reacts.
template <class C>
double TurnSeconds(const TwoReactantLaw& law, const Values<C>& water) {
  constexpr double kShareReacted = 0.1;
  const double per_s = law.fast_l_per_mg_per_s * (water[C::kFast] + water[C::kChlorine]) +
                       law.slow_l_per_mg_per_s * (water[C::kSlow] + water[C::kChlorine]);
  return kShareReacted / std::max(per_s, 1e-9);
}

template <class C>
double Thm_ug_per_l(const TwoReactantLaw& law, const Values<C>& water) {
  return std::max(water[C::kPotential] - law.thm_ug_per_mg * (water[C::kFast] + water[C::kSlow]), 0.0);
}

// Marks a piece that enters a column at `end` with when it did and the column's losses then.
template <class C>
void StampEntry(WaterPiece<C>& piece, std::size_t end, double first_s, double last_s, double first_loss,
                double last_loss) {
  piece.at[1 - end][C::kEntered] = first_s;
  piece.at[end][C::kEntered] = last_s;
  piece.at[1 - end][C::kEntryLoss] = first_loss;
  piece.at[end][C::kEntryLoss] = last_loss;
}

// How fast C, F and S fall together [mg/L/s].
template <class C>
double ReactionRate(const TwoReactantLaw& law, const Values<C>& water, double wall_per_s) {
  const double used_per_s =
      law.fast_l_per_mg_per_s * water[C::kFast] + law.slow_l_per_mg_per_s * water[C::kSlow];
  return (2 * used_per_s + wall_per_s) * water[C::kChlorine];
}

// A bound of the error of C, F and S together, all kept at the place of C [mg/L]. No stay makes it larger:
// with C against -F and -S the reactions keep the order of any two waters, and keep C - F - S but for what
// the wall takes, so that they bring any two no further apart in the sum of differences (SOURCE: Crandall &
// Tartar, Proc. Amer. Math. Soc. 78, 385-390, 1980; from memory). A stay taken wrongly by some seconds or
// some loss counts by the rates at its end.
template <class C>
double ReactingError(const TwoReactantLaw& law, const Bounds<C>& error, const Values<C>& leaving,
                     double wall_per_s) {
  return static_cast<double>(error[C::kChlorine]) + static_cast<double>(error[C::kFast]) +
         static_cast<double>(error[C::kSlow]) +
         ReactionRate<C>(law, leaving, wall_per_s) * static_cast<double>(error[C::kEntered]) +
         leaving[C::kChlorine] * static_cast<double>(error[C::kEntryLoss]);
}

// One stream over a stretch: what leaves its link at begin and end, and how far the middle lies off their
// line, C, F and S together.
template <class C>
struct ReactingStream {
  Values<C> first{}, last{};
  double bend_mg_per_l = 0;
};

// The middle is worked out only where it could matter. Where the water entered alike, all that bends is how
// its stay changes by s, and the rate r of C, F and S together falls by no more than r q in a second, q =
// k_F (C + F) + k_S (C + S) + K_w at the shorter stay: the bend is below r q s^2 / 8.
template <class C>
ReactingStream<C> FollowStream(const TwoReactantLaw& law, double begin_s, double seconds,
                               double tolerance_mg_per_l, const WaterInflow<C>& one) {
  const auto in_link = [&](double part) {
    Values<C> raw = one.now;
    for (std::size_t k = 0; k < C::kCount; ++k) raw[k] += one.Change(k, part * seconds);
    return raw;
  };
  const auto leaving = [&](const Values<C>& raw, double part) {
    return LeavingLink<C>(law, raw, begin_s + part * seconds, one.loss + one.loss_per_s * part * seconds);
  };
  const Values<C> raw_last = in_link(1);
  ReactingStream<C> stream{.first = leaving(one.now, 0), .last = leaving(raw_last, 1)};
  double unlike = 0;
  for (const std::size_t k : {C::kChlorine, C::kFast, C::kSlow}) unlike += std::abs(raw_last[k] - one.now[k]);
  const double longer_s = std::abs(seconds - (raw_last[C::kEntered] - one.now[C::kEntered]));
  const bool first_is_shorter = seconds >= raw_last[C::kEntered] - one.now[C::kEntered];
  const Values<C>& fresher = first_is_shorter ? stream.first : stream.last;
  const double wall_per_s = std::max(one.loss_per_s, 0.0);
  const double quickest_per_s = law.fast_l_per_mg_per_s * (fresher[C::kChlorine] + fresher[C::kFast]) +
                                law.slow_l_per_mg_per_s * (fresher[C::kChlorine] + fresher[C::kSlow]) +
                                wall_per_s;
  stream.bend_mg_per_l =
      unlike + ReactionRate<C>(law, fresher, wall_per_s) * quickest_per_s * longer_s * longer_s / 8;
  if (stream.bend_mg_per_l < tolerance_mg_per_l / 4) return stream;
  const Values<C> middle = leaving(in_link(0.5), 0.5);
  stream.bend_mg_per_l = 0;
  for (const std::size_t k : {C::kChlorine, C::kFast, C::kSlow}) {
    stream.bend_mg_per_l += std::abs(middle[k] - (stream.first[k] + stream.last[k]) / 2);
  }
  return stream;
}

// What comes out where streams meet: the mean by flow of what each is on leaving its link. `stretch.seconds`
// is made shorter where the middle lies further than `tolerance_mg_per_l` from the line; what is left of that
// is added to the error. COST: two or three calls of React a stream and stretch.
template <class C>
void MixReacting(const TwoReactantLaw& law, double period_begin_s, std::span<const WaterInflow<C>> in,
                 double flow_m3_per_s, double tolerance_mg_per_l, NodeStretch<C>& stretch) {
  for (;;) {
    stretch.first = stretch.last = {};
    stretch.error = {};
    double bend = 0;
    double known = 0;
    for (const WaterInflow<C>& one : in) {
      const double share = one.flow_m3_per_s / flow_m3_per_s;
      const ReactingStream<C> stream =
          FollowStream<C>(law, period_begin_s + stretch.begin_s, stretch.seconds, tolerance_mg_per_l, one);
      const double wall_per_s = std::max(one.loss_per_s, 0.0);
      for (std::size_t k = 0; k < C::kCount; ++k) {
        stretch.first[k] += share * stream.first[k];
        stretch.last[k] += share * stream.last[k];
        stretch.error[k] += static_cast<float>(share) * one.error[k];
      }
      known += share * std::max(ReactingError<C>(law, one.error, stream.first, wall_per_s),
                                ReactingError<C>(law, one.error, stream.last, wall_per_s));
      bend += share * stream.bend_mg_per_l;
    }
    if (bend > tolerance_mg_per_l && stretch.seconds > 1e-3) {
      stretch.seconds *= std::max(0.1, 0.9 * std::sqrt(tolerance_mg_per_l / bend));
      continue;
    }
    stretch.error[C::kChlorine] = static_cast<float>(known + bend);
    for (const std::size_t k : {C::kFast, C::kSlow, C::kEntered, C::kEntryLoss}) stretch.error[k] = 0;
    return;
  }
}

}  // namespace lastreach
