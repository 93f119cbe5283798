#pragma once

#include <cstdint>
#include <vector>

#include "calendar/runs.h"
#include "core/zone.h"

namespace lastreach {

// What a device's clock reads, as a piecewise shift of UTC, over a span of time.
//
//   reading(t) = t + shift_i   for from_i <= t < from_{i+1}      [minutes since 1970-01-01 00:00]
//
// A start keyed for the reading c happens at the first t with reading(t) >= c: inside a skipped hour that is
// the moment of the change, inside a repeated hour the first pass.
class ClockMap {
 public:
  // Covers local dates [from - 4 days, to + 40 days).
  ClockMap(const Zone& zone, ClockState clock, DateWindow window);

  struct Piece {
    int64_t from_min;   // UTC minutes; the first piece reaches back without end
    int64_t shift_min;  // clock minus UTC
  };
  const std::vector<Piece>& pieces() const { return pieces_; }

  // COST: linear in the number of pieces, which is 3 in a year with two clock changes.
  int64_t FirstMinute(int64_t reading_min) const;

  // What the clock reads at a UTC minute.
  int64_t Reading(int64_t utc_min) const;

  // Moments at which the clock jumps forward, so that several readings happen at once.
  std::vector<int64_t> ForwardJumps() const;

 private:
  std::vector<Piece> pieces_;
};

}  // namespace lastreach
