#include "calendar/clock_map.h"

#include <algorithm>

namespace lastreach {
namespace {

int64_t Minutes(std::chrono::seconds seconds) {
  return std::chrono::floor<std::chrono::minutes>(seconds).count();
}

}  // namespace

ClockMap::ClockMap(const Zone& zone, ClockState clock, DateWindow window) {
  constexpr std::chrono::days kMargin{4};
  constexpr std::chrono::days kMarginAfter{40};
  const Instant from = Instant(std::chrono::sys_days(window.from)) - kMargin;
  const Instant to = Instant(std::chrono::sys_days(window.to)) + kMarginAfter;
  for (const OffsetPiece& piece : zone.Offsets(from, to)) {
    const int64_t shift =
        Minutes(clock.follows_clock_change ? piece.offset : piece.standard_offset) + clock.fast_minutes;
    if (!pieces_.empty() && pieces_.back().shift_min == shift) continue;
    pieces_.push_back({Minutes(piece.from.time_since_epoch()), shift});
  }
}

int64_t ClockMap::FirstMinute(int64_t reading_min) const {
  for (size_t i = 0; i + 1 < pieces_.size(); ++i) {
    const int64_t minute = i == 0 ? reading_min - pieces_[i].shift_min
                                  : std::max(pieces_[i].from_min, reading_min - pieces_[i].shift_min);
    if (minute < pieces_[i + 1].from_min) return minute;
  }
  const Piece& last = pieces_.back();
  const int64_t minute = reading_min - last.shift_min;
  return pieces_.size() == 1 ? minute : std::max(last.from_min, minute);
}

int64_t ClockMap::Reading(int64_t utc_min) const {
  size_t i = pieces_.size() - 1;
  while (i > 0 && utc_min < pieces_[i].from_min) --i;
  return utc_min + pieces_[i].shift_min;
}

std::vector<int64_t> ClockMap::ForwardJumps() const {
  std::vector<int64_t> jumps;
  for (size_t i = 1; i < pieces_.size(); ++i) {
    if (pieces_[i].shift_min > pieces_[i - 1].shift_min) jumps.push_back(pieces_[i].from_min);
  }
  return jumps;
}

}  // namespace lastreach
