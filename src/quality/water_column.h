#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <optional>

#include "quality/log_linear.h"
#include "quality/piece_ring.h"
#include "quality/water_piece.h"

namespace lastreach {

// What the line of a piece has taken from the water it stands for: true value - line is between `below` (0 or
// less) and `above`, of each quantity.
template <class C>
struct LeftOut {
  Bounds<C> below{}, above{};

  void AddTo(Bounds<C>& error) const {
    for (std::size_t k = 0; k < C::kPassive; ++k) error[k] += std::max(-below[k], above[k]);
    if constexpr (C::kDisinfectant) AddLogError(std::max(-below[C::kLog], above[C::kLog]), error[C::kLog]);
  }
};

// The water of one link, or of a tank that keeps its order: pieces from end 0 to end 1, the values of the
// disinfectant being ln c + loss. The pieces at the two ends are kept here and those between them in a ring,
// so that a period in which nothing new begins or ends touches one place in memory. A piece at an end may be
// missing (no volume).
template <class C>
struct WaterColumn {
  std::array<WaterPiece<C>, 2> near;
  double volume_m3 = 0;   // when nothing is under way
  double loss = 0;        // G at the begin of the period
  double loss_per_s = 0;  // in the period, the mean where the water stands
  PieceRing<WaterPiece<C>> ring;
  LeftOut<C> left_out{};  // of near[entering_end]
  std::size_t entering_end = 0;

  double LossAt(double since_begin_s) const { return loss + loss_per_s * since_begin_s; }
  bool IsEmpty() const { return near[0].volume_m3 == 0 && near[1].volume_m3 == 0 && ring.count() == 0; }
  uint32_t pieces() const {
    return ring.count() + (near[0].volume_m3 > 0 ? 1u : 0u) + (near[1].volume_m3 > 0 ? 1u : 0u);
  }
  void Clear() {
    near[0].volume_m3 = near[1].volume_m3 = 0;
    ring.Clear();
  }
  // What is next to an end. REQUIRES: !IsEmpty().
  const WaterPiece<C>& At(std::size_t end) const {
    if (near[end].volume_m3 > 0) return near[end];
    return ring.count() > 0 ? ring.At(end) : near[1 - end];
  }
  template <class Use>
  void ForEachPiece(const Use& use) const {  // from end 0 to end 1
    if (near[0].volume_m3 > 0) use(near[0]);
    for (uint32_t i = 0; i < ring.count(); ++i) use(ring[i]);
    if (near[1].volume_m3 > 0) use(near[1]);
  }
  // Sees to it that near[end] is there; false where there is no water at all.
  bool Draw(std::size_t end) {
    if (near[end].volume_m3 > 0) return true;
    if (ring.count() > 0) {
      near[end] = ring.At(end);
      ring.Pop(end);
      return true;
    }
    if (near[1 - end].volume_m3 == 0) return false;
    if (entering_end != end) CloseLast();
    near[end] = near[1 - end];
    near[1 - end].volume_m3 = 0;
    return true;
  }
  // The piece that entered last is not added to any more.
  void CloseLast() {
    left_out.AddTo(near[entering_end].error);
    left_out = {};
  }
};

// Puts `fresh` and the piece before it, `tail`, on one line, the one that keeps the integral and the first
// moment over the water (of the disinfectant: of ln c, then moved to keep the integral of c). False, and
// nothing changed, if that takes a value further than its tolerance from what entered.
// COST: two exponentials and a logarithm for the disinfectant, by series where it bends little.
template <class C>
bool MergeInto(WaterPiece<C>& tail, const WaterPiece<C>& fresh, std::size_t end, const Values<C>& tolerance,
               double loss, LeftOut<C>& left_out) {
  const Values<C>& a = tail.at[1 - end];
  const Values<C>& b = tail.at[end];
  const Values<C>& c = fresh.at[1 - end];
  const Values<C>& d = fresh.at[end];
  const double total = tail.volume_m3 + fresh.volume_m3;
  const double f = tail.volume_m3 / total;
  const double g = 1 - f;
  for (std::size_t k = 0; k < C::kCount; ++k) {  // no line comes within less than half the jump
    const bool may_be_trace = C::kDisinfectant && k == C::kLog && std::max(b[k], c[k]) - loss < kTraceLn;
    if (std::abs(c[k] - b[k]) > 2 * tolerance[k] && !may_be_trace) return false;
  }
  Values<C> begin, finish;
  LeftOut<C> now;
  for (std::size_t k = 0; k < C::kCount; ++k) {
    const double tail_mean = (a[k] + b[k]) / 2;
    const double fresh_mean = (c[k] + d[k]) / 2;
    const double rise = 6 * f * g * (fresh_mean - tail_mean) + f * f * (b[k] - a[k]) + g * g * (d[k] - c[k]);
    double mean = f * tail_mean + g * fresh_mean;
    if (C::kDisinfectant && k == C::kLog) {
      mean = MeanOfJoint(f, {tail_mean, (b[k] - a[k]) / 2}, {fresh_mean, (d[k] - c[k]) / 2}, rise / 2);
      const bool is_trace = std::max(std::max(a[k], b[k]), std::max(c[k], d[k])) - loss < kTraceLn;
      if (is_trace) {
        begin[k] = mean - rise / 2;
        finish[k] = mean + rise / 2;
        continue;
      }
    }
    begin[k] = mean - rise / 2;
    finish[k] = mean + rise / 2;
    const double joint = begin[k] + rise * f;
    const double at_begin = a[k] - begin[k];
    const double at_joint = b[k] - joint;
    const double below =
        std::min(left_out.below[k] + std::min(at_begin, at_joint), std::min(c[k] - joint, d[k] - finish[k]));
    const double above =
        std::max(left_out.above[k] + std::max(at_begin, at_joint), std::max(c[k] - joint, d[k] - finish[k]));
    if (std::max(-below, above) > tolerance[k]) return false;
    now.below[k] = static_cast<float>(std::min(below, 0.0));
    now.above[k] = static_cast<float>(std::max(above, 0.0));
  }
  for (std::size_t k = 0; k < C::kCount; ++k) {
    tail.error[k] = std::max(tail.error[k], fresh.error[k]);
  }
  tail.at[1 - end] = begin;
  tail.at[end] = finish;
  tail.volume_m3 = total;
  left_out = now;
  return true;
}

// Lets a piece in at an end. True where it was merged. `loss` is that at the moment it is all in.
template <class C>
bool PushPiece(WaterColumn<C>& column, PiecePool<WaterPiece<C>>& pool, std::size_t end,
               const WaterPiece<C>& piece, const Values<C>& tolerance, double loss) {
  if (column.entering_end != end) {
    column.CloseLast();
    column.entering_end = end;
  }
  WaterPiece<C>& last = column.near[end];
  if (last.volume_m3 > 0) {
    if (MergeInto<C>(last, piece, end, tolerance, loss, column.left_out)) return true;
    column.CloseLast();
    column.ring.Push(end, last, pool);
  }
  last = piece;
  column.left_out = {};
  return false;
}

// Water that comes to a node at a steady flow: out of an end of a column, or put in there. Values are
// straight in time until `volume_left_m3` has passed.
template <class C>
struct WaterInflow {
  WaterColumn<C>* column;  // none for water put in
  std::size_t end;
  double flow_m3_per_s;
  double loss, loss_per_s;  // of the column, at the moment
  double passed_m3;
  double volume_left_m3;
  Values<C> now;     // of the water at the node
  Values<C> per_m3;  // how it changes as water passes
  Bounds<C> error;

  // `otherwise`: values, ln c among them, to go on with should the column be empty.
  void Open(WaterColumn<C>& from, std::size_t exit_end, double flow, double begin_s,
            const Values<C>& otherwise) {
    column = &from;
    end = exit_end;
    flow_m3_per_s = flow;
    loss = from.LossAt(begin_s);
    loss_per_s = from.loss_per_s;
    passed_m3 = 0;
    if (from.entering_end == exit_end) from.CloseLast();
    now = otherwise;
    if constexpr (C::kDisinfectant) now[C::kLog] += loss;
    error = {};
    Load();
  }

  // New water, the time of whose entering (if carried, at `birth`) goes on.
  void PutIn(const Values<C>& given, double flow, std::optional<std::size_t> birth) {
    column = nullptr;
    end = 0;
    flow_m3_per_s = flow;
    loss = loss_per_s = passed_m3 = 0;
    volume_left_m3 = std::numeric_limits<double>::infinity();
    now = given;
    per_m3 = {};
    if (birth) per_m3[*birth] = 1 / flow;
    error = {};
  }

  // By how much a value changes while the water of `seconds` passes; not beyond the piece.
  double Change(std::size_t k, double seconds) const {
    return per_m3[k] * std::min(flow_m3_per_s * seconds, volume_left_m3);
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
    now = column->near[end].at[1 - end];
    column->near[end].volume_m3 = 0;
    Load();
  }

  // Leaves what has not passed in the column, made up to what should have passed.
  void Close(double window_s) {
    if (column == nullptr) return;
    if (column->volume_m3 == 0) return column->Clear();
    WaterPiece<C>& rest = column->near[end];
    if (rest.volume_m3 == 0) return;
    rest.at[end] = now;
    rest.volume_m3 = volume_left_m3;
    const double volume = volume_left_m3 + (passed_m3 - flow_m3_per_s * window_s);
    if (volume > 0) rest.volume_m3 = volume;
  }

 private:
  void Load() {
    per_m3 = {};
    volume_left_m3 = std::numeric_limits<double>::infinity();
    if (!column->Draw(end)) return;  // only rounding can ask for more
    const WaterPiece<C>& piece = column->near[end];
    volume_left_m3 = piece.volume_m3;
    now = piece.at[end];
    const double per_volume = 1 / piece.volume_m3;
    for (std::size_t k = 0; k < C::kCount; ++k) per_m3[k] = (piece.at[1 - end][k] - now[k]) * per_volume;
    error = piece.error;
  }
};

}  // namespace lastreach
