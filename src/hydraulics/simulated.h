#pragma once

#include <gtest/gtest.h>

#include <numbers>
#include <vector>

#include "hydraulics/flow_simulation.h"

namespace lastreach {

// For tests: a period that stays.
struct SimulatedPeriod {
  double begin_s = 0;
  double end_s = 0;
  std::vector<double> flow_m3_per_s;
  std::vector<double> outflow_m3_per_s;
  std::vector<double> head_m;
  std::vector<double> tank_volume_m3;
};

// For tests: a whole simulation.
struct Simulated {
  std::vector<SimulatedPeriod> periods;
  FlowSimulationSummary summary;

  std::vector<double> Begins_s() const {
    std::vector<double> begins_s;
    for (const SimulatedPeriod& period : periods) begins_s.push_back(period.begin_s);
    return begins_s;
  }
  std::vector<double> Begins_h() const {
    std::vector<double> begins_h = Begins_s();
    for (double& begin : begins_h) begin /= 3600;
    return begins_h;
  }
  std::vector<double> Flows(size_t link) const {
    std::vector<double> flows;
    for (const SimulatedPeriod& period : periods) flows.push_back(period.flow_m3_per_s[link]);
    return flows;
  }
  // Of a tank, by volume and flow of the last period.
  double LevelAtEnd_m(const Network& network, NodeIndex tank) const {
    const SimulatedPeriod& last = periods.back();
    const double diameter_m = network[tank].tank->diameter_m;
    const double volume_m3 =
        last.tank_volume_m3[At(tank)] + last.outflow_m3_per_s[At(tank)] * (last.end_s - last.begin_s);
    return volume_m3 / (std::numbers::pi / 4 * diameter_m * diameter_m);
  }
  double LevelAt_m(const Network& network, NodeIndex tank, double second) const {
    const double diameter_m = network[tank].tank->diameter_m;
    for (const SimulatedPeriod& period : periods) {
      if (second > period.end_s) continue;
      const double volume_m3 =
          period.tank_volume_m3[At(tank)] + period.outflow_m3_per_s[At(tank)] * (second - period.begin_s);
      return volume_m3 / (std::numbers::pi / 4 * diameter_m * diameter_m);
    }
    ADD_FAILURE() << "the simulation ends before " << second << " s";
    return 0;
  }
};

inline std::vector<double> Copied(std::span<const double> values) { return {values.begin(), values.end()}; }

inline Simulated Simulate(const Network& network, const FlowSimulationOptions& options) {
  Simulated all;
  auto simulation = FlowSimulation::Make(network, options);
  EXPECT_TRUE(simulation.ok()) << simulation.error().ToString();
  if (!simulation.ok()) return all;
  FlowPeriod period;
  for (;;) {
    const Result<bool> more = simulation->Next(period);
    EXPECT_TRUE(more.ok()) << more.error().ToString();
    if (!more.ok() || !*more) break;
    all.periods.push_back({period.begin_s, period.end_s, Copied(period.flow_m3_per_s),
                           Copied(period.outflow_m3_per_s), Copied(period.head_m),
                           Copied(period.tank_volume_m3)});
  }
  all.summary = simulation->summary();
  return all;
}

}  // namespace lastreach
