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

// A bound of the error of C, F and S together, all kept at the place of C [mg/L]. No stay makes it larger:
// with C against -F and -S the reactions keep the order of any two waters, and keep C - F - S but for what
// the wall takes, so that they bring any two no further apart in the sum of differences (SOURCE: Crandall &
// Tartar, Proc. Amer. Math. Soc. 78, 385-390, 1980; from memory). A stay taken wrongly by some seconds or
// some loss counts by the rates at its end.
template <class C>
double ReactingError(const TwoReactantLaw& law, const Bounds<C>& error, const Values<C>& leaving,
                     double wall_per_s) {
  const double used_per_s =
      (law.fast_l_per_mg_per_s * leaving[C::kFast] + law.slow_l_per_mg_per_s * leaving[C::kSlow]) *
      leaving[C::kChlorine];
  const double all_per_s = 2 * used_per_s + wall_per_s * leaving[C::kChlorine];
  return static_cast<double>(error[C::kChlorine]) + static_cast<double>(error[C::kFast]) +
         static_cast<double>(error[C::kSlow]) + all_per_s * static_cast<double>(error[C::kEntered]) +
         leaving[C::kChlorine] * static_cast<double>(error[C::kEntryLoss]);
}

// What comes out where streams meet: the mean by flow of what each is on leaving its link, worked out at
// begin, middle and end of the stretch. `stretch.seconds` is made shorter where the middle lies further than
// `tolerance_mg_per_l` from the line, C, F and S together; what is left of that is added to the error.
// COST: three calls of React a stream and stretch.
template <class C>
void MixReacting(const TwoReactantLaw& law, double period_begin_s, std::span<const WaterInflow<C>> in,
                 double flow_m3_per_s, double tolerance_mg_per_l, NodeStretch<C>& stretch) {
  for (;;) {
    Values<C> first{}, middle{}, last{};
    Bounds<C> error{};
    for (const WaterInflow<C>& one : in) {
      const double share = one.flow_m3_per_s / flow_m3_per_s;
      const auto at = [&](double part) {
        Values<C> raw = one.now;
        for (std::size_t k = 0; k < C::kCount; ++k) raw[k] += one.Change(k, part * stretch.seconds);
        return LeavingLink<C>(law, raw, period_begin_s + stretch.begin_s + part * stretch.seconds,
                              one.loss + one.loss_per_s * part * stretch.seconds);
      };
      const Values<C> ends[] = {at(0), at(0.5), at(1)};
      for (std::size_t k = 0; k < C::kCount; ++k) {
        first[k] += share * ends[0][k];
        middle[k] += share * ends[1][k];
        last[k] += share * ends[2][k];
        error[k] += static_cast<float>(share * one.error[k]);
      }
      const double known = std::max(ReactingError<C>(law, one.error, ends[0], std::max(one.loss_per_s, 0.0)),
                                    ReactingError<C>(law, one.error, ends[2], std::max(one.loss_per_s, 0.0)));
      error[C::kChlorine] +=
          static_cast<float>(share * (known - static_cast<double>(one.error[C::kChlorine])));
    }
    double bend = 0;
    for (const std::size_t k : {C::kChlorine, C::kFast, C::kSlow}) {
      bend += std::abs(middle[k] - (first[k] + last[k]) / 2);
    }
    if (bend > tolerance_mg_per_l && stretch.seconds > 1e-3) {
      stretch.seconds *= std::max(0.1, 0.9 * std::sqrt(tolerance_mg_per_l / bend));
      continue;
    }
    error[C::kChlorine] += static_cast<float>(bend);
    error[C::kFast] = error[C::kSlow] = error[C::kEntered] = error[C::kEntryLoss] = 0;
    stretch.first = first;
    stretch.last = last;
    stretch.error = error;
    return;
  }
}

}  // namespace lastreach
