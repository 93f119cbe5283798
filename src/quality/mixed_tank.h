#pragma once

#include <algorithm>
#include <cmath>

#include "quality/log_linear.h"
#include "quality/reacting_water.h"
#include "quality/water_piece.h"

namespace lastreach {

// One quantity of an ideally mixed tank over `seconds` of steady flows in and out,
//
//   V dX/dt = Q_in (X_in - X),   V = V0 + (Q_in - Q_out) t,   X_in straight,
//
// solved in closed form. Either the end or the mean is then taken from the balance
// V1 X1 - V0 X0 = Q_in INT X_in - Q_out INT X, so that it holds to rounding.
struct TankFlow {
  double begin_m3 = 0, end_m3 = 0;  // water held
  double in_m3_per_s = 0, out_m3_per_s = 0;
  double seconds = 0;
};
struct TankAnswer {
  double end = 0;
  double mean = 0;       // of what leaves
  double old_share = 0;  // of the water held at the end
  double bend = 0;       // how far the middle lies off the line from begin to end
};
TankAnswer SolveMixedTank(const TankFlow& flow, double begin, double in_first, double in_last,
                          double in_mean);

// The water of an ideally mixed tank. The disinfectant is lost at the bulk rate, or reacts in turns with the
// mixing.
template <class C>
struct MixedTank {
  double volume_m3 = 0;
  double bulk_per_s = 0;
  TwoReactantLaw law{};  // of reacting quantities
  Values<C> now{};       // the disinfectant as ln of mg/L
  Bounds<C> error{};
  double decayed_g = 0;

  double held_g() const {
    if constexpr (C::kDisinfectant) return volume_m3 * std::exp(now[C::kLog]);
    return 0;
  }
};

// Lets the water of `in` (its seconds the time) through a tank; `emit` is handed what the tank holds and
// gives meanwhile, in stretches within whose lines it stays within `tolerance`. `in` counts for nothing where
// in is 0.
template <class C, class Emit>
void PassMixedTank(MixedTank<C>& tank, const NodeStretch<C>& in, double in_m3_per_s, double out_m3_per_s,
                   const Values<C>& tolerance, const Emit& emit) {
  double done = 0;
  double step = in.seconds;
  while (done < in.seconds) {
    step = std::min(step, in.seconds - done);
    Values<C> held = tank.now;
    if constexpr (C::kReacting) {
      step = std::min(step, TurnSeconds<C>(tank.law, tank.now));
      held = LaterOffTheWall<C>(tank.law, tank.now, step / 2);
    }
    if (in.seconds - done - step < 1e-9 * in.seconds) step = in.seconds - done;
    TankFlow flow{.begin_m3 = tank.volume_m3,
                  .end_m3 = std::max(tank.volume_m3 + (in_m3_per_s - out_m3_per_s) * step, 0.0),
                  .in_m3_per_s = in_m3_per_s,
                  .out_m3_per_s = out_m3_per_s,
                  .seconds = step};
    const double a = done / in.seconds;
    const double b = (done + step) / in.seconds;
    NodeStretch<C> out{.begin_s = in.begin_s + done, .seconds = step, .first = tank.now};
    Values<C> after = tank.now;
    Bounds<C> after_error = tank.error;
    double entered_g = 0;
    bool fits = true;
    for (std::size_t k = 0; k < C::kCount; ++k) {
      if constexpr (C::kReacting) {
        if (k >= C::kEntered) break;
      }
      const bool is_log = C::kDisinfectant && k == C::kLog;
      double input_bend = 0;  // of what comes in off a line
      double first = in.first[k] + (in.last[k] - in.first[k]) * a;
      double last = in.first[k] + (in.last[k] - in.first[k]) * b;
      double begin = held[k];
      const double fall = is_log ? tank.bulk_per_s * step : 0;
      double mean = (first + last) / 2;
      if (is_log) {  // c exp(k t) is mixed like the others
        entered_g = in_m3_per_s * step * LogLinearMean(first, last);
        mean = LogLinearMean(first, last + fall);
        input_bend = (last + fall - first) * (last + fall - first) / 8;
        first = std::exp(first);
        last = std::exp(last + fall);
        begin = std::exp(begin);
      }
      const TankAnswer answer = SolveMixedTank(flow, begin, first, last, mean);
      double bend = answer.bend;
      double new_share = 1 - answer.old_share;
      double end = answer.end;
      if (is_log) {
        end = std::max(end, std::exp(kNoneLn));
        // Straight in its logarithm now, moved so that what leaves is what has left.
        const double moved =
            std::log(std::max(answer.mean, 1e-30) / LogLinearMean(tank.now[k], std::log(end)));
        out.first[k] = tank.now[k] + moved;
        after[k] = std::log(end) - fall;
        out.last[k] = after[k] + moved;
        out.mean_mg_per_l = LogLinearMean(out.first[k], out.last[k]);
        bend = std::abs(moved) + bend / std::max(end, 1e-6) + fall * fall / 8;
        new_share = std::min(1.0, std::max(0.0, 1 - answer.old_share * begin / end));
        bend += input_bend * new_share;
      } else {
        const double moved = answer.mean - (begin + end) / 2;
        out.first[k] = begin + moved;
        out.last[k] = end + moved;
        after[k] = end;
        bend += std::abs(moved);
      }
      if (bend > tolerance[k] && step > 1e-4 * in.seconds) fits = false;
      const double mixed = (1 - new_share) * tank.error[k] + new_share * in.error[k];
      after_error[k] = static_cast<float>(mixed);
      out.error[k] = static_cast<float>(std::max<double>(tank.error[k], mixed) + bend);
    }
    if (!fits) {
      step /= 2;
      continue;
    }
    if constexpr (C::kReacting) {
      after = LaterOffTheWall<C>(tank.law, after, step / 2);
      for (const std::size_t k : {C::kChlorine, C::kFast, C::kSlow}) {
        out.first[k] = tank.now[k];
        out.last[k] = after[k];
      }
    }
    const double before_g = tank.held_g();
    tank.now = after;
    tank.error = after_error;
    tank.volume_m3 = flow.end_m3;
    tank.decayed_g += before_g + entered_g - out_m3_per_s * step * out.mean_mg_per_l - tank.held_g();
    emit(out);
    done += step;
    step *= 2;
  }
}

}  // namespace lastreach
