#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>

#include "quality/log_linear.h"
#include "quality/piece_ring.h"
#include "quality/water_piece.h"

namespace lastreach {

// The water of one link, or of a tank that keeps its order: pieces from end 0 to end 1, the values of the
// disinfectant being ln c + loss.
template <class C>
struct WaterColumn {
  PieceRing<WaterPiece<C>> ring;
  double volume_m3 = 0;     // when nothing is under way
  double loss = 0;          // G at the begin of the period
  double loss_per_s = 0;    // in the period, the mean where the water stands
  Bounds<C> left_out{};     // what merging has changed in the piece that entered last
  int8_t entering_end = 0;  // where that was

  double LossAt(double since_begin_s) const { return loss + loss_per_s * since_begin_s; }
};

// Puts `fresh` and the piece before it, `tail`, on one line: through the oldest and the newest value, moved
// so that the integral over the water stays (of the disinfectant: of c). False, and nothing changed, if a
// value moves by more than its tolerance, counting what was left out in `tail` before. COST: two exponentials
// and a logarithm where the disinfectant bends, by series where it bends little.
template <class C>
bool MergeInto(WaterPiece<C>& tail, const WaterPiece<C>& fresh, int end, const Values<C>& tolerance,
               double loss, Bounds<C>& left_out) {
  const Values<C>& oldest = tail.at[1 - end];
  const Values<C>& before = tail.at[end];
  const Values<C>& after = fresh.at[1 - end];
  const Values<C>& newest = fresh.at[end];
  const double total = tail.volume_m3 + fresh.volume_m3;
  const double share = tail.volume_m3 / total;
  Values<C> shift;
  Bounds<C> tail_change, fresh_change;
  for (std::size_t k = 0; k < C::kCount; ++k) {
    const double joint = oldest[k] + (newest[k] - oldest[k]) * share;
    const double above_before = before[k] - joint;
    const double above_after = after[k] - joint;
    bool is_trace = false;
    if (C::kDisinfectant && k == C::kLog) {
      is_trace = std::max({oldest[k], before[k], after[k], newest[k]}) - loss < kTraceLn;
      if (!is_trace && std::max(std::abs(above_before), std::abs(above_after)) > 2 * tolerance[k]) {
        return false;
      }
      const double mid = (oldest[k] + newest[k]) / 2;
      const double line = SinhRatio((newest[k] - oldest[k]) / 2);
      const double held =
          share * NearExp((oldest[k] + before[k]) / 2 - mid) * SinhRatio((before[k] - oldest[k]) / 2) +
          (1 - share) * NearExp((after[k] + newest[k]) / 2 - mid) * SinhRatio((newest[k] - after[k]) / 2);
      shift[k] = NearLog1p((held - line) / line);
    } else {
      shift[k] = (above_before * share + above_after * (1 - share)) / 2;
    }
    if (is_trace) {
      tail_change[k] = fresh_change[k] = 0;
      continue;
    }
    const double moved = std::abs(shift[k]);
    tail_change[k] = static_cast<float>(std::max(moved, std::abs(above_before - shift[k])));
    fresh_change[k] = static_cast<float>(std::max(moved, std::abs(above_after - shift[k])));
    if (std::max(left_out[k] + tail_change[k], fresh_change[k]) > tolerance[k]) return false;
  }
  for (std::size_t k = 0; k < C::kCount; ++k) {
    tail.error[k] = std::max(tail.error[k] + tail_change[k], fresh.error[k] + fresh_change[k]);
    left_out[k] = std::max(left_out[k] + tail_change[k], fresh_change[k]);
    tail.at[end][k] = newest[k] + shift[k];
    tail.at[1 - end][k] += shift[k];
  }
  tail.volume_m3 = total;
  return true;
}

// Lets a piece in at an end. True where it was merged. `loss` is that at the moment it is all in.
template <class C>
bool PushPiece(WaterColumn<C>& column, PiecePool<WaterPiece<C>>& pool, int end, const WaterPiece<C>& piece,
               const Values<C>& tolerance, double loss) {
  if (column.entering_end != end) {
    column.entering_end = static_cast<int8_t>(end);
    column.left_out = {};
  }
  if (column.ring.count() > 0 &&
      MergeInto<C>(column.ring.At(end), piece, end, tolerance, loss, column.left_out)) {
    return true;
  }
  column.ring.Push(end, piece, pool);
  column.left_out = {};
  return false;
}

// Water that comes to a node at a steady flow: out of an end of a column, or put in there. Values are
// straight in time until `volume_left_m3` has passed.
template <class C>
struct WaterInflow {
  WaterColumn<C>* column = nullptr;  // none for water put in
  int end = 0;
  double flow_m3_per_s = 0;
  double volume_left_m3 = std::numeric_limits<double>::infinity();
  Values<C> now{};     // of the water at the node
  Values<C> per_m3{};  // how it changes as water passes
  Bounds<C> error{};
  double loss = 0;  // of the column, at the moment
  double loss_per_s = 0;
  double passed_m3 = 0;

  // `otherwise`: values, ln c among them, to go on with should the column be empty.
  void Open(WaterColumn<C>& from, int exit_end, double flow, double begin_s, const Values<C>& otherwise) {
    *this = {};
    column = &from;
    end = exit_end;
    flow_m3_per_s = flow;
    loss = from.LossAt(begin_s);
    loss_per_s = from.loss_per_s;
    now = otherwise;
    if constexpr (C::kDisinfectant) now[C::kLog] += loss;
    Load();
  }

  // Lets the water of `seconds` pass. Less than a 1e12th of all that passes in `window_s` is no piece.
  void Pass(double seconds, double window_s) {
    const double volume = flow_m3_per_s * seconds;
    loss += loss_per_s * seconds;
    const double left = volume_left_m3 - volume;
    if (left > 1e-12 * flow_m3_per_s * window_s) {
      for (std::size_t k = 0; k < C::kCount; ++k) now[k] += per_m3[k] * volume;
      volume_left_m3 = left;
      passed_m3 += volume;
      return;
    }
    passed_m3 += volume_left_m3;
    now = column->ring.At(end).at[1 - end];
    column->ring.Pop(end);
    Load();
  }

  // Leaves what has not passed in the column, made up to what should have passed.
  void Close(double window_s) {
    if (column == nullptr || column->ring.count() == 0) return;
    if (column->volume_m3 == 0) return column->ring.Clear();
    WaterPiece<C>& rest = column->ring.At(end);
    rest.at[end] = now;
    const double volume = volume_left_m3 + (passed_m3 - flow_m3_per_s * window_s);
    if (volume > 0) rest.volume_m3 = volume;
  }

 private:
  void Load() {
    if (column->ring.count() == 0) {  // only rounding can ask for more
      volume_left_m3 = std::numeric_limits<double>::infinity();
      per_m3 = {};
      return;
    }
    const WaterPiece<C>& piece = column->ring.At(end);
    volume_left_m3 = piece.volume_m3;
    now = piece.at[end];
    for (std::size_t k = 0; k < C::kCount; ++k) per_m3[k] = (piece.at[1 - end][k] - now[k]) / piece.volume_m3;
    error = piece.error;
  }
};

}  // namespace lastreach
