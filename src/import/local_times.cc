#include "import/local_times.h"

namespace lastreach {

LocalTimeKind KindOfLocalTime(const Zone& zone, LocalTime local) {
  const Instant first = zone.FirstInstant(local);
  if (zone.ToLocal(first) != local) return LocalTimeKind::kNever;
  // Clocks go back by half an hour in one zone, by an hour in the others, and once went back by two.
  for (const int minutes : {30, 60, 120}) {
    if (zone.ToLocal(first + std::chrono::minutes(minutes)) == local) return LocalTimeKind::kTwice;
  }
  return LocalTimeKind::kOnce;
}

}  // namespace lastreach
