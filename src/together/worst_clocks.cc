#include "together/worst_clocks.h"

#include <algorithm>
#include <limits>
#include <optional>

namespace lastreach {
namespace {

// The smallest shift that opens the device at the minute; 0 if none does.
int ShiftThatOpens(const OpenTimes& right, int minute, int period_min, int clock_off_min) {
  for (int off = 0; off <= clock_off_min; ++off) {
    for (const int late : {off, -off}) {
      if (IsOpenAt(right, (minute - late + period_min) % period_min)) return late;
    }
  }
  return 0;
}

}  // namespace

std::vector<int> WorstClocks(PressureJudge& judge, const TimeTable& table, const Shares& chosen,
                             ClockCare care, int clock_off_min) {
  std::vector<int> late_min(chosen.size(), 0);
  double least = std::numeric_limits<double>::infinity();
  std::optional<Meeting> worst;
  OpenSet worst_set;
  for (const Meeting& meeting : MeetingsOf(table, judge.moments(), chosen, care)) {
    std::vector<OpenSet> sets;
    if (meeting.one_of.empty()) sets.push_back(meeting.together);
    for (const uint32_t d : meeting.one_of) {
      sets.push_back(meeting.together);
      sets.back().insert(std::lower_bound(sets.back().begin(), sets.back().end(), d), d);
    }
    for (const OpenSet& set : sets) {
      // By the sum of drops: which meeting is simulated may be a guess, what is said of it is not.
      double spare = std::numeric_limits<double>::infinity();
      const std::span<const double> room = judge.Spare_m(meeting.state);
      for (size_t p = 0; p < room.size(); ++p) {
        double drop = 0;
        for (const uint32_t d : set) drop += judge.Drop_m(meeting.state, d)[p];
        spare = std::min(spare, room[p] - drop);
      }
      if (spare >= least) continue;
      least = spare;
      worst = meeting;
      worst_set = set;
    }
  }
  if (!worst) return late_min;
  for (const uint32_t d : worst_set) {
    if (chosen[d].empty()) continue;
    late_min[d] = ShiftThatOpens(table.Right(0, d, chosen[d].front().first), worst->minute,
                                 table.period_min(), clock_off_min);
  }
  return late_min;
}

}  // namespace lastreach
