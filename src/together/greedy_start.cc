#include "together/greedy_start.h"

#include <algorithm>
#include <numeric>

namespace lastreach {
namespace {

constexpr int kTurns = 40;

// What is used of every limit, device by device.
class Load {
 public:
  Load(const TimeTable& table, const std::vector<SharedLimit>& limits, ClockCare care)
      : table_(table), limits_(limits), care_(care) {
    const size_t cells = limits.size() * static_cast<size_t>(table.regimes());
    sum_.assign(cells, std::vector<double>(static_cast<size_t>(table.period_min()), 0));
    if (care == ClockCare::kAnyOneMayBeWrong) extra_ = sum_;
  }

  bool Fits(size_t device, size_t way) const {
    for (size_t l = 0; l < limits_.size(); ++l) {
      if (limits_[l].need[device] == 0) continue;
      for (int regime = 0; regime < table_.regimes(); ++regime) {
        if (!FitsIn(l, regime, device, way)) return false;
      }
    }
    return true;
  }

  void Put(size_t device, size_t way) {
    for (size_t l = 0; l < limits_.size(); ++l) {
      const double need = limits_[l].need[device];
      if (need == 0) continue;
      for (int regime = 0; regime < table_.regimes(); ++regime) {
        const size_t cell = Cell(l, regime);
        EachMinute(regime, device, way, [&](size_t m, bool right) {
          if (right || care_ == ClockCare::kAllMayBeWrong) sum_[cell][m] += need;
          if (!right && !extra_.empty()) extra_[cell][m] = std::max(extra_[cell][m], need);
          return true;
        });
      }
    }
  }

 private:
  size_t Cell(size_t limit, int regime) const {
    return limit * static_cast<size_t>(table_.regimes()) + static_cast<size_t>(regime);
  }

  // Minutes at which the device may be open, and whether it is where its clock is right; until false.
  template <typename Visit>
  bool EachMinute(int regime, size_t device, size_t way, const Visit& visit) const {
    const OpenTimes& right = table_.Right(regime, device, way);
    size_t next = 0;
    for (const OpenStretch& stretch : table_.At(care_ != ClockCare::kAllRight, regime, device, way)) {
      for (int m = stretch.from_min; m < stretch.to_min; ++m) {
        while (next < right.size() && right[next].to_min <= m) ++next;
        const bool is_right = next < right.size() && right[next].from_min <= m;
        if (!visit(static_cast<size_t>(m), is_right)) return false;
      }
    }
    return true;
  }

  bool FitsIn(size_t l, int regime, size_t device, size_t way) const {
    const double need = limits_[l].need[device];
    const std::vector<double>& sum = sum_[Cell(l, regime)];
    return EachMinute(regime, device, way, [&](size_t m, bool right) {
      const double room = RoomAt(limits_[l], WhichRoom::kKept, static_cast<int>(m));
      double with = sum[m] + need;
      if (!extra_.empty()) {
        const double extra = extra_[Cell(l, regime)][m];
        with = right ? with + extra : sum[m] + std::max(extra, need);
      }
      return with <= room + kNeedTolerance;
    });
  }

  const TimeTable& table_;
  const std::vector<SharedLimit>& limits_;
  ClockCare care_;
  std::vector<std::vector<double>> sum_, extra_;  // by limit and regime, then minute
};

// Greatest share of any limit, times the minutes it may be open.
double Hardness(const TimeTable& table, const std::vector<SharedLimit>& limits, size_t device) {
  double share = 0;
  for (const SharedLimit& limit : limits) {
    const double room = *std::min_element(limit.kept_room.begin(), limit.kept_room.end());
    if (limit.need[device] > 0) share = std::max(share, limit.need[device] / std::max(room, kNeedTolerance));
  }
  int minutes = 0;
  for (size_t way = 0; way < table.ways(device); ++way) {
    minutes = std::max(minutes, OpenMinutes(table.May(0, device, way)));
  }
  return share * minutes;
}

}  // namespace

std::optional<std::vector<uint32_t>> GreedyStart(const TimeTable& table,
                                                 const std::vector<SharedLimit>& limits,
                                                 const std::vector<size_t>& who,
                                                 const std::vector<std::vector<double>>& cost,
                                                 ClockCare care) {
  std::vector<double> hardness;
  for (const size_t device : who) hardness.push_back(Hardness(table, limits, device));
  std::vector<size_t> order(who.size());
  std::iota(order.begin(), order.end(), size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](size_t a, size_t b) { return hardness[a] > hardness[b]; });
  std::vector<std::vector<uint32_t>> cheapest_first(who.size());
  for (size_t i = 0; i < who.size(); ++i) {
    cheapest_first[i].resize(cost[i].size());
    std::iota(cheapest_first[i].begin(), cheapest_first[i].end(), 0U);
    std::stable_sort(cheapest_first[i].begin(), cheapest_first[i].end(),
                     [&](uint32_t a, uint32_t b) { return cost[i][a] < cost[i][b]; });
  }
  for (int turn = 0; turn < kTurns; ++turn) {
    Load load(table, limits, care);
    std::vector<uint32_t> way(who.size(), 0);
    size_t stuck = order.size();
    for (size_t at = 0; at < order.size() && stuck == order.size(); ++at) {
      const size_t i = order[at];
      const auto fits = [&](uint32_t k) { return load.Fits(who[i], k); };
      const auto found = std::find_if(cheapest_first[i].begin(), cheapest_first[i].end(), fits);
      if (found == cheapest_first[i].end()) {
        stuck = at;
      } else {
        way[i] = *found;
        load.Put(who[i], *found);
      }
    }
    if (stuck == order.size()) return way;
    if (stuck == 0) return std::nullopt;
    std::rotate(order.begin(), order.begin() + static_cast<std::ptrdiff_t>(stuck),
                order.begin() + static_cast<std::ptrdiff_t>(stuck) + 1);
  }
  return std::nullopt;
}

}  // namespace lastreach
