#include "together/planned_together.h"

#include "together/network_plan.h"

namespace lastreach {

SeasonClocks ClocksOf(const Zone& zone, DateWindow season) {
  const Instant begin = zone.FirstInstant(Midnight(season.from));
  SeasonClocks clocks;
  for (const OffsetPiece& piece : zone.Offsets(begin, zone.FirstInstant(Midnight(season.to)))) {
    (piece.offset > piece.standard_offset ? clocks.summer_time : clocks.standard_time) = true;
  }
  return clocks;
}

JudgedOrder OrderOf(const PlanningNetwork& network, const std::vector<DeviceFacts>& devices) {
  JudgedOrder order;
  std::vector<char> has(devices.size(), 0);
  for (const PlacedDevice& placed : network.placed) {
    const auto& flow = devices[placed.device].point.flow;
    order.points.push_back({placed.node, flow ? flow->value.cubic_metres_per_second() : 0.0});
    order.devices.push_back(placed.device);
    has[placed.device] = 1;
  }
  order.placed = order.devices.size();
  for (size_t d = 0; d < devices.size(); ++d) {
    if (has[d] != 0) continue;
    order.devices.push_back(d);
    if (order.placed > 0) order.points.push_back({order.points.front().node, 0.0});
  }
  return order;
}

TogetherDevice AsPlanned(const DeviceFacts& facts, const DevicePlan& plan) {
  const DeviceDuty duty = PlannedDuty(facts, plan);
  TogetherDevice device;
  device.code = facts.point.code.text();
  device.zone = facts.point.supply_zone;
  device.follows_clock_change = duty.form.follows_clock_change.value_or(false);
  device.flow_m3_per_s = duty.flow_m3_per_s;
  const double water = plan.planned_outcome ? plan.planned_outcome->water_m3_per_day : 0;
  device.ways.push_back({ClockWeek(duty.form, duty.settings), water, true});
  return device;
}

}  // namespace lastreach
