#pragma once

#include <map>
#include <optional>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "together/random_towns.h"
#include "together/stagger.h"

namespace lastreach {

// For tests: small systems of which every choice can be looked at, and what is true of each.

inline constexpr int kOff_min = 60;

inline OpenTimes Daily(int from_min, int minutes, unsigned days = 0x7F) {
  OpenTimes times;
  for (int day = 0; day < 7; ++day) {
    if ((days >> day & 1U) != 0) {
      times.push_back({day * kMinutesADay + from_min, day * kMinutesADay + from_min + minutes});
    }
  }
  return ShiftedTimes(times, 0, 0);
}

inline TogetherDevice Device(const std::string& code, std::vector<RunningWay> ways,
                             double flow_m3_per_s = 2e-3) {
  return {code, "low", false, flow_m3_per_s, std::move(ways)};
}

// Towns of 2 to 5 devices with 3 or 4 ways each, so that every choice can be looked at.
struct StaggerCase {
  StaggerCase(std::mt19937_64& random, bool loops, int junctions = 6)
      : town(random, junctions, 2 + static_cast<int>(random() % 4), loops), limits(town.LimitsThatMayBind()) {
    limits.resize(1);
    const bool whole_days = town.Pick(2) == 0;
    for (size_t d = 0; d < town.points.size(); ++d) {
      std::vector<RunningWay> ways;
      for (int k = 0; k < 3 + town.Pick(2); ++k) {
        const unsigned days = whole_days ? 0x7F : static_cast<unsigned>(1 + town.Pick(127));
        ways.push_back(
            {Daily(30 * (6 + town.Pick(6)), 20 + town.Pick(60), days), 0.1 * (1 + town.Pick(30)), k == 0});
      }
      devices.push_back(Device("T" + std::to_string(d), std::move(ways), town.points[d].flow_m3_per_s));
      devices.back().zone = town.Pick(2) ? "low" : "high";
      devices.back().follows_clock_change = town.Pick(2) == 0;
    }
    if (town.Pick(3) == 0) at_once.push_back({"low", 1 + town.Pick(2), {}, "made up"});
    if (town.Pick(3) == 0) at_once.push_back({"", {}, town.In(3e-3, 9e-3), "made up"});
    options.gap = 0;
    options.clock_off_min = kOff_min;
    options.summer_time = town.Pick(2) == 0;
    options.standard_time = !options.summer_time || town.Pick(2) == 0;
  }
  RandomTown town;
  std::vector<LeastPressureThere> limits;
  std::vector<TogetherDevice> devices;
  std::vector<MostAtOnce> at_once;
  StaggerOptions options;
};

// The oracle: whatever could be open together, minute by minute, by solving the network from a flat start.
class StaggerOracle {
 public:
  explicit StaggerOracle(const StaggerCase& of) : case_(of) {
    for (const bool summer : {false, true}) {
      if (summer ? !of.options.summer_time : !of.options.standard_time) continue;
      regimes_.emplace_back();
      for (size_t d = 0; d < of.devices.size(); ++d) {
        regimes_.back().emplace_back();
        for (uint32_t k = 0; k < of.devices[d].ways.size(); ++k) {
          regimes_.back().back().push_back(
              WalkWeek(d, k, summer && !of.devices[d].follows_clock_change ? 60 : 0));
        }
      }
    }
  }

  bool SetHolds(int hour, unsigned open) {
    const bool night = hour < 6 || hour > 20;
    const auto [found, added] = known_.try_emplace({night, open}, false);
    if (added) found->second = CountsHold(open) && PressureHolds(hour, open);
    return found->second;
  }

  bool Holds(const std::vector<uint32_t>& way, ClockCare care) {
    for (const auto& regime : regimes_) {
      for (int minute = 0; minute < kMinutesAWeek; ++minute) {
        unsigned right = 0, may = 0;
        for (size_t d = 0; d < way.size(); ++d) {
          const Walked& walked = regime[d][way[d]];
          right |= walked.right[static_cast<size_t>(minute)] != 0 ? 1U << d : 0U;
          may |= walked.may[static_cast<size_t>(minute)] != 0 ? 1U << d : 0U;
        }
        if (may != 0 && !HoldsAt(minute / 60 % 24, right, may, care)) return false;
      }
    }
    return true;
  }

  double Cost(const std::vector<uint32_t>& way) const {
    double cost = 0;
    for (size_t d = 0; d < way.size(); ++d) {
      const RunningWay& each = case_.devices[d].ways[way[d]];
      cost += each.water_m3_per_day + (each.is_wished ? 0 : case_.options.move_costs_m3_per_day);
    }
    return cost;
  }

  // The least cost of all choices that keep everything.
  std::optional<double> Least(ClockCare care) {
    std::optional<double> least;
    std::vector<uint32_t> way(case_.devices.size(), 0);
    for (;;) {
      const double cost = Cost(way);
      if ((!least || cost < *least) && Holds(way, care)) least = cost;
      size_t d = 0;
      while (d < way.size() && ++way[d] == case_.devices[d].ways.size()) way[d++] = 0;
      if (d == way.size()) return least;
    }
  }

 private:
  struct Walked {
    std::vector<char> right, may;  // by minute of the week
  };
  // Every minute of the week, with the clock right and every minute of it wrong.
  Walked WalkWeek(size_t d, uint32_t way, int late_min) const {
    Walked walked{std::vector<char>(kMinutesAWeek, 0), std::vector<char>(kMinutesAWeek, 0)};
    for (int minute = 0; minute < kMinutesAWeek; ++minute) {
      if (!IsOpenAt(case_.devices[d].ways[way].week, minute)) continue;
      for (int off = -kOff_min; off <= kOff_min; ++off) {
        const auto at = static_cast<size_t>((minute + late_min + off + kMinutesAWeek) % kMinutesAWeek);
        walked.may[at] = 1;
        if (off == 0) walked.right[at] = 1;
      }
    }
    return walked;
  }
  bool HoldsAt(int hour, unsigned right, unsigned may, ClockCare care) {
    if (care == ClockCare::kAllRight) return SetHolds(hour, right);
    if (care == ClockCare::kAllMayBeWrong) return SetHolds(hour, may);
    if (!SetHolds(hour, right)) return false;
    for (size_t d = 0; d < case_.devices.size(); ++d) {
      if ((may >> d & 1U) != 0 && !SetHolds(hour, right | 1U << d)) return false;
    }
    return true;
  }
  bool CountsHold(unsigned open) const {
    for (const MostAtOnce& most : case_.at_once) {
      int count = 0;
      double flow = 0;
      for (size_t d = 0; d < case_.devices.size(); ++d) {
        if ((open >> d & 1U) == 0 || (!most.zone.empty() && most.zone != case_.devices[d].zone)) continue;
        ++count;
        flow += case_.devices[d].flow_m3_per_s;
      }
      if (most.devices && count > *most.devices) return false;
      if (most.flow_m3_per_s && flow > *most.flow_m3_per_s) return false;
    }
    return true;
  }
  bool PressureHolds(int hour, unsigned open) const {
    OpenSet set;
    for (uint32_t d = 0; d < case_.devices.size(); ++d) {
      if ((open >> d & 1U) != 0) set.push_back(d);
    }
    return LeastSpareFlat_m(case_.town.network(), hour, set, case_.town.points, case_.limits) >= -1e-3;
  }

  const StaggerCase& case_;
  std::vector<std::vector<std::vector<Walked>>> regimes_;  // then by device and way
  std::map<std::pair<bool, unsigned>, bool> known_;
};

}  // namespace lastreach
