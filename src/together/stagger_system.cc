#include "together/stagger_system.h"

namespace lastreach {
namespace {

constexpr size_t kHoursADay = 24;

}  // namespace

TimeTable TableOf(const std::vector<TogetherDevice>& devices, const PressureJudge* judge,
                  const StaggerOptions& options) {
  const bool days_differ = judge != nullptr && judge->moments().state_of_moment.size() > kHoursADay;
  return {devices,
          {.standard_time = options.standard_time,
           .summer_time = options.summer_time,
           .clock_off_min = options.clock_off_min,
           .whole_week = days_differ}};
}

std::vector<OpenSet> MayBeOpen(const TimeTable& table, const PressureMoments& moments) {
  std::vector<OpenSet> open(moments.states.size());
  for (uint32_t d = 0; d < table.devices(); ++d) {
    std::vector<char> states(open.size(), 0);
    for (int regime = 0; regime < table.regimes(); ++regime) {
      for (size_t way = 0; way < table.ways(d); ++way) {
        for (const OpenStretch& stretch : table.May(regime, d, way)) {
          for (int hour = stretch.from_min / 60; hour * 60 < stretch.to_min; ++hour) {
            states[moments.state_of_moment[moments.MomentOf(hour * 60)]] = 1;
          }
        }
      }
    }
    for (size_t state = 0; state < open.size(); ++state) {
      if (states[state] != 0) open[state].push_back(d);
    }
  }
  return open;
}

std::vector<std::vector<double>> CostsOf(const StaggerSystem& system, const std::vector<size_t>& who) {
  std::vector<std::vector<double>> cost;
  for (const size_t d : who) {
    cost.emplace_back();
    for (const RunningWay& way : (*system.devices)[d].ways) {
      cost.back().push_back(way.water_m3_per_day +
                            (way.is_wished ? 0 : system.options->move_costs_m3_per_day));
    }
  }
  return cost;
}

Shares SharesOf(size_t devices, const std::vector<size_t>& who, const std::vector<uint32_t>& way) {
  Shares shares(devices);
  for (size_t i = 0; i < who.size(); ++i) shares[who[i]] = {{way[i], 1.0}};
  return shares;
}

Shares SharesOf(const std::vector<std::optional<uint32_t>>& way) {
  Shares shares(way.size());
  for (size_t d = 0; d < way.size(); ++d) {
    if (way[d]) shares[d] = {{*way[d], 1.0}};
  }
  return shares;
}

}  // namespace lastreach
