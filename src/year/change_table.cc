#include "year/change_table.h"

#include <algorithm>
#include <numeric>
#include <tuple>

namespace lastreach {
namespace {

// The best way to some state, and the candidate of the part before.
struct Way {
  double water_m3 = kMayNotStand;
  int changes = 0;
  size_t before = 0;

  bool BetterThan(const Way& other) const {
    return std::tie(water_m3, changes) < std::tie(other.water_m3, other.changes);
  }
};

// Ways by part, candidate and visits, for a year that begins with one candidate.
class YearRound {
 public:
  YearRound(const ChangeTable& table, size_t first, int most_visits)
      : table_(table),
        first_(first),
        visits_(static_cast<size_t>(most_visits) + 1),
        ways_(table.parts() * table.water_m3.size() * visits_) {
    At(0, first, 0).water_m3 = table.water_m3[first][0];
    for (size_t part = 1; part < table.parts(); ++part) Reach(part);
  }

  // The best year with exactly these visits, once the last part is followed by the first again.
  Way Closed(size_t visits, size_t* last) {
    Way best;
    for (size_t c = 0; c < table_.water_m3.size(); ++c) {
      const size_t cost = c == first_ ? 0 : static_cast<size_t>(table_.visits_to_change[0]);
      if (cost > visits) continue;
      Way way = At(table_.parts() - 1, c, visits - cost);
      way.changes += c == first_ ? 0 : 1;
      if (!way.BetterThan(best)) continue;
      best = way;
      *last = c;
    }
    return best;
  }

  std::vector<size_t> Trace(size_t visits, size_t last) {
    std::vector<size_t> candidate(table_.parts());
    if (last != first_) visits -= static_cast<size_t>(table_.visits_to_change[0]);
    for (size_t part = table_.parts(); part-- > 0;) {
      candidate[part] = last;
      const size_t before = At(part, last, visits).before;
      if (part > 0 && before != last) visits -= static_cast<size_t>(table_.visits_to_change[part]);
      last = before;
    }
    return candidate;
  }

 private:
  Way& At(size_t part, size_t candidate, size_t visits) {
    return ways_[(part * table_.water_m3.size() + candidate) * visits_ + visits];
  }

  void Reach(size_t part) {
    const auto cost = static_cast<size_t>(table_.visits_to_change[part]);
    for (size_t c = 0; c < table_.water_m3.size(); ++c) {
      if (table_.water_m3[c][part] == kMayNotStand) continue;
      for (size_t v = 0; v < visits_; ++v) {
        Way best;
        for (size_t before = 0; before < table_.water_m3.size(); ++before) {
          const bool changes = before != c;
          if (changes && cost > v) continue;
          Way way = At(part - 1, before, changes ? v - cost : v);
          way.changes += changes ? 1 : 0;
          way.before = before;
          if (way.BetterThan(best)) best = way;
        }
        best.water_m3 += table_.water_m3[c][part];
        At(part, c, v) = best;
      }
    }
  }

  const ChangeTable& table_;
  size_t first_, visits_;
  std::vector<Way> ways_;
};

}  // namespace

std::vector<ChangeSchedule> LeastWaterByVisits(const ChangeTable& table) {
  const int most = std::accumulate(table.visits_to_change.begin(), table.visits_to_change.end(), 0);
  std::vector<ChangeSchedule> best(static_cast<size_t>(most) + 1);
  std::vector<Way> best_way(best.size());
  for (size_t first = 0; first < table.water_m3.size(); ++first) {
    if (table.water_m3[first][0] == kMayNotStand) continue;
    YearRound round(table, first, most);
    for (size_t visits = 0; visits < best.size(); ++visits) {
      size_t last = 0;
      const Way way = round.Closed(visits, &last);
      if (!way.BetterThan(best_way[visits])) continue;
      best_way[visits] = way;
      best[visits] = Summed(table, round.Trace(visits, last));
    }
  }
  for (size_t visits = 1; visits < best.size(); ++visits) {
    if (best_way[visits].BetterThan(best_way[visits - 1])) continue;
    best_way[visits] = best_way[visits - 1];
    best[visits] = best[visits - 1];
  }
  return best;
}

ChangeSchedule LeastWaterByChanges(const ChangeTable& table, int most_changes) {
  ChangeTable every_change_counts = table;
  std::fill(every_change_counts.visits_to_change.begin(), every_change_counts.visits_to_change.end(), 1);
  const auto best = LeastWaterByVisits(every_change_counts);
  if (best.empty()) return {};
  size_t changes = std::min(static_cast<size_t>(std::max(0, most_changes)), best.size() - 1);
  while (changes + 1 < best.size() && !best[changes].exists()) ++changes;
  return best[changes].exists() ? Summed(table, best[changes].candidate) : ChangeSchedule{};
}

ChangeSchedule Summed(const ChangeTable& table, std::vector<size_t> candidate) {
  ChangeSchedule schedule;
  schedule.water_m3 = 0;
  for (size_t part = 0; part < candidate.size(); ++part) {
    schedule.water_m3 += table.water_m3[candidate[part]][part];
    const size_t before = candidate[part > 0 ? part - 1 : candidate.size() - 1];
    if (before == candidate[part]) continue;
    ++schedule.changes;
    schedule.visits += table.visits_to_change[part];
  }
  schedule.candidate = std::move(candidate);
  return schedule;
}

}  // namespace lastreach
