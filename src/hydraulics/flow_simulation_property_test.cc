// What holds for any simulation of any network.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "hydraulics/simulated.h"
#include "hydraulics/supply_schedule.h"
#include "hydraulics/test_networks.h"

namespace lastreach {
namespace {

double Between(double low, double high) { return low + (high - low) * *rc::gen::inRange(0, 1001) / 1000; }

TankShape AnyTank() {
  const double level_m = Between(0.5, 3.5);
  return {Between(4, 15), level_m, *rc::gen::element(0.0, 0.5), *rc::gen::element(3.6, 6.0),
          TankMixing::kMixed};
}

// A source, one or two tanks on the side of a ladder of loops, patterns, devices, leaks, rules; perhaps a
// tank filled by a pump that goes by its level, perhaps demands that fall with pressure.
Network AnyTown() {
  Hand hand;
  const NodeIndex source = hand.Source(Between(50, 65));
  hand.network.patterns = {{"day", {}}, {"flat", {1}}, {"short", {0.5, 1.5}}};
  for (int hour = 0; hour < 24; ++hour) hand.network.patterns[0].factors.push_back(Between(0.2, 2));
  std::vector<NodeIndex> places = {source};
  const auto rungs = static_cast<size_t>(*rc::gen::inRange(2, 6));
  for (size_t i = 0; i < 2 * rungs; ++i) {
    const NodeIndex node = hand.Junction(Between(0, 20), Between(0, 0.003));
    hand.network[node].pattern = *rc::gen::element<std::string>("", "day", "flat", "short");
    hand.Pipe(places[i > 1 ? places.size() - 2 : 0], node, Between(50, 600),
              *rc::gen::element(0.1, 0.15, 0.2, 0.3));
    if (i % 2 == 1) hand.Pipe(places.back(), node, Between(50, 600), 0.1);
    places.push_back(node);
  }
  const auto any_place = [&] { return places[*rc::gen::inRange<size_t>(1, places.size())]; };
  for (int i = *rc::gen::inRange(1, 3); i > 0; --i) {
    const NodeIndex tank = hand.Tank(Between(44, 52), AnyTank());
    hand.Pipe(any_place(), tank, Between(20, 300), 0.2);
    const auto index = LinkIndex(hand.network.links.size() - 1);
    if (*rc::gen::arbitrary<bool>()) {
      hand.network.rules.push_back({index, false, tank, {}, 3.2, {}});
      hand.network.rules.push_back({index, true, {}, {}, {}, Between(0, 24)});
    }
  }
  for (int i = *rc::gen::inRange(0, 4); i > 0; --i) {
    hand.network.runs.push_back(
        {any_place(), Between(0, 20), Between(1, 400), Between(0.0005, 0.004), {}, {}});
  }
  if (*rc::gen::arbitrary<bool>()) {
    hand.network.runs.push_back({any_place(), Between(0, 20), Between(1, 400), {}, 0.04, 0.6});
  }
  if (*rc::gen::arbitrary<bool>()) hand.network[any_place()].leak = Leak{0.01, 0.6};
  if (*rc::gen::arbitrary<bool>()) hand.network.options.short_pressure = ShortPressure{5, 35};
  if (*rc::gen::arbitrary<bool>()) {
    const NodeIndex high = hand.Tank(60, AnyTank());
    hand.Pump(any_place(), high, 40, 0.004, 25);
    const auto pump = LinkIndex(hand.network.links.size() - 1);
    hand.Pipe(high, hand.Junction(30, 0.001), 200, 0.1);
    hand.network.rules.push_back({pump, true, high, 1, {}, {}});
    hand.network.rules.push_back({pump, false, high, {}, 3, {}});
  }
  return hand.network;
}

void ExpectSameState(const SimulatedPeriod& a, const SimulatedPeriod& b) {
  RC_ASSERT(a.flow_m3_per_s == b.flow_m3_per_s);
  RC_ASSERT(a.outflow_m3_per_s == b.outflow_m3_per_s);
}

RC_GTEST_PROP(AnySimulation, PeriodsFollowEachOtherAndTheirWaterCloses, ()) {
  const Network network = AnyTown();
  const Simulated run = Simulate(network, {.hours = 30});
  RC_ASSERT(run.periods.front().begin_s == 0);
  RC_ASSERT(run.periods.back().end_s == 30 * 3600);
  RC_ASSERT(run.summary.unsettled_hours == 0);
  double drawn_m3 = 0, given_m3 = 0;
  for (size_t i = 0; i < run.periods.size(); ++i) {
    const SimulatedPeriod& period = run.periods[i];
    RC_ASSERT(period.end_s > period.begin_s);
    const double length_s = period.end_s - period.begin_s;
    for (size_t node = 0; node < network.nodes.size(); ++node) {
      const double out_m3 = period.outflow_m3_per_s[node] * length_s;
      if (network.nodes[node].kind == NodeKind::kJunction) drawn_m3 += out_m3;
      if (network.nodes[node].kind == NodeKind::kSource) given_m3 -= out_m3;
    }
    if (i + 1 == run.periods.size()) break;
    RC_ASSERT(run.periods[i + 1].begin_s == period.end_s);
    for (size_t node = 0; node < network.nodes.size(); ++node) {
      if (network.nodes[node].kind != NodeKind::kTank) continue;
      const double volume_m3 = period.tank_volume_m3[node] + period.outflow_m3_per_s[node] * length_s;
      // No tank is handed out as holding less than nothing.
      RC_ASSERT(std::abs(run.periods[i + 1].tank_volume_m3[node] - volume_m3) <= 1e-8);
      const TankShape& shape = *network.nodes[node].tank;
      const double level_m = volume_m3 / (std::numbers::pi / 4 * shape.diameter_m * shape.diameter_m);
      // A mark may be passed by what a microsecond brings.
      RC_ASSERT(level_m >= shape.min_level_m - 1e-7);
      RC_ASSERT(level_m <= shape.max_level_m + 1e-7);
    }
  }
  double change_m3 = 0;
  for (size_t node = 0; node < network.nodes.size(); ++node) {
    if (network.nodes[node].kind != NodeKind::kTank) continue;
    const SimulatedPeriod& last = run.periods.back();
    change_m3 += last.tank_volume_m3[node] - run.periods.front().tank_volume_m3[node] +
                 last.outflow_m3_per_s[node] * (last.end_s - last.begin_s);
  }
  const double total_m3 = std::max(std::abs(given_m3), std::abs(drawn_m3));
  RC_ASSERT(std::abs(given_m3 - drawn_m3 - change_m3) <= 1e-9 * total_m3);
  RC_ASSERT(std::abs(run.summary.Imbalance_m3()) <= 1e-9 * total_m3);
  RC_ASSERT(std::abs(run.summary.drawn_m3 - drawn_m3) <= 1e-9 * total_m3);
  RC_ASSERT(std::abs(run.summary.given_m3 - given_m3) <= 1e-9 * total_m3);
  RC_ASSERT(std::abs(run.summary.tank_change_m3 - change_m3) <= 1e-9 * total_m3);
}

RC_GTEST_PROP(AnySimulation, CutsForAReportChangeNothing, ()) {
  const Network network = AnyTown();
  const Simulated whole = Simulate(network, {.hours = 26});
  const double report_s = *rc::gen::element(60.0, 300.0, 900.0, 1000.0, 3600.0);
  const Simulated cut = Simulate(network, {.hours = 26, .report_step_s = report_s});
  RC_ASSERT(cut.summary.solves == whole.summary.solves);
  RC_ASSERT(cut.periods.size() >= static_cast<size_t>(26 * 3600 / report_s));
  size_t at = 0;
  for (const SimulatedPeriod& period : cut.periods) {
    while (whole.periods[at].end_s < period.end_s) ++at;
    RC_ASSERT(whole.periods[at].begin_s <= period.begin_s);
    ExpectSameState(whole.periods[at], period);
    const double first = std::floor(period.begin_s / report_s + 1e-6);
    const double last = std::ceil(period.end_s / report_s - 1e-6);
    // None crosses a mark; one of a few milliseconds just behind it, to a tank that is full, may seem to
    // stand on it.
    RC_ASSERT(last - first <= 1);
  }
}

// The schedule against asking anew for every moment.
RC_GTEST_PROP(AnySimulation, TheScheduleIsTheSupplyOfEveryMoment, ()) {
  Network network = AnyTown();
  network[NodeIndex(0)].pattern = *rc::gen::element<std::string>("", "day");
  if (*rc::gen::arbitrary<bool>()) network.runs.push_back({NodeIndex(1), 3.25, 90, {}, 0.05, 0.7});
  auto schedule = SupplySchedule::Make(network);
  RC_ASSERT(schedule.ok());
  Supply supply = schedule->Begin();
  for (double at_s = 0; at_s < 50 * 3600.0; at_s = schedule->NextChange_s(at_s)) {
    schedule->Update(at_s, supply);
    // Runs are to the millisecond there and not here.
    const double next_s = std::min(schedule->NextChange_s(at_s), at_s + 1e5);
    for (const double share : {0.01, 0.5, 0.99}) {
      const double second = at_s + share * (next_s - at_s);
      const auto expected = SupplyAt(network, second / 3600);
      for (size_t i = 0; i < network.nodes.size(); ++i) {
        RC_ASSERT(std::abs(supply.demand_m3_per_s[i] - expected->demand_m3_per_s[i]) < 1e-15);
        const double head_m = expected->fixed_head_m[i];
        RC_ASSERT(supply.fixed_head_m[i] == head_m || std::isnan(head_m));
      }
      RC_ASSERT(supply.openings.size() == expected->openings.size());
    }
  }
}

}  // namespace
}  // namespace lastreach
