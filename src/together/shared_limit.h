#pragma once

#include <cstdint>
#include <limits>
#include <string>
#include <tuple>
#include <vector>

#include "together/time_table.h"

namespace lastreach {

// Something devices share: at every minute the needs of those that may be open add up to no more than there
// is room for.
struct SharedLimit {
  std::string words;         // "at most 2 devices open at once in zone Hill (source: ...)"
  std::vector<double> need;  // size devices; 0 for those it does not concern
  std::vector<double> room;  // by hour, size 24 or 168; infinity where there is no limit
  // What is planned with: less than `room` where needs that are added up were found to promise too much. What
  // breaks `room` is impossible, what breaks this alone may be possible.
  std::vector<double> kept_room;  // same size

  size_t HourOf(int minute) const { return static_cast<size_t>(minute / 60) % room.size(); }
};

inline constexpr double kNoLimit = std::numeric_limits<double>::infinity();
// Sums of needs are compared to this: devices, L/s or m. More than the library that chooses is out by.
inline constexpr double kNeedTolerance = 1e-5;

enum class WhichRoom { kProven, kKept };
inline double RoomAt(const SharedLimit& limit, WhichRoom which, int minute) {
  return (which == WhichRoom::kProven ? limit.room : limit.kept_room)[limit.HourOf(minute)];
}

// The user's own limits, and what was found out elsewhere.
std::vector<SharedLimit> LimitsAtOnce(const std::vector<TogetherDevice>& devices,
                                      const std::vector<MostAtOnce>& limits,
                                      const std::vector<NotTogether>& conflicts);

// A minute at which a limit is overused, and by whom: a row of the integer programme.
struct OverUse {
  uint32_t limit = 0;
  int regime = 0;
  int minute = 0;
  int wrong = -1;  // the device whose clock alone is wrong; -1 where none or all are
  double over = 0;

  auto Key() const { return std::tie(limit, regime, minute, wrong); }
};

// Who takes part and how much of which way: size devices; empty for a device that does not.
using Shares = std::vector<WayShares>;

// Where these shares overuse a limit: the worst minute of every hour that has one. Minute by minute.
// COST: for each way taken, the minutes it may be open.
std::vector<OverUse> FindOverUse(const TimeTable& table, const std::vector<SharedLimit>& limits,
                                 uint32_t limit, const Shares& shares, ClockCare care, WhichRoom which);

}  // namespace lastreach
