#include "plan/plan_system.h"

#include <algorithm>
#include <cstdio>
#include <mutex>

#include "plan/all_cores.h"
#include "plan/plan_device.h"

namespace lastreach {
namespace {

std::string Digits(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.3g", value);
  return text;
}

bool Covers(const Limit& limit, const DevicePlan& device) {
  return limit.scope == LimitScope::kSystem ||
         (limit.scope == LimitScope::kZone && limit.subject == device.point.supply_zone);
}

// What the devices of one zone or all of them use together, against a limit on that.
void CompareTogether(const Limit& limit, SystemPlan& plan) {
  const auto* most = std::get_if<MostVolumeADay>(&limit.rule);
  if (most == nullptr) return;
  double water = 0;
  for (const DevicePlan& device : plan.devices) {
    if (device.planned_outcome && Covers(limit, device)) water += device.planned_outcome->water_m3_per_day;
  }
  const std::string who =
      limit.scope == LimitScope::kSystem ? "All devices" : "The devices of " + limit.subject;
  if (water > most->volume.cubic_metres()) {
    plan.notes.push_back(who + " together use " + Digits(water) + " m3 a day, more than the limit (" +
                         Describe(limit.rule) + "; source: " + limit.source +
                         "). Which stay on is for the operator in charge to decide.");
  } else {
    plan.notes.push_back(who + " together use " + Digits(water) + " m3 a day, within the limit (" +
                         Describe(limit.rule) + "; source: " + limit.source + ").");
  }
}

}  // namespace

std::vector<DevicePlan> PlanDevices(const std::vector<DeviceFacts>& devices, const PlanOptions& options,
                                    const std::function<void(size_t done)>& progress) {
  std::vector<DevicePlan> plans(devices.size());
  size_t done = 0;
  std::mutex reporting;
  OnAllCores(devices.size(), [&](size_t i) {
    plans[i] = PlanDevice(devices[i], options);  // a blank once planning is to stop
    const std::lock_guard<std::mutex> lock(reporting);
    if (progress) progress(++done);
  });
  return plans;
}

SystemPlan Assemble(std::vector<DevicePlan> devices, const PlanOptions& options,
                    const std::vector<Limit>& together) {
  SystemPlan plan;
  plan.zone = options.zone.name();
  plan.from = options.from;
  plan.to = options.to;
  plan.season = options.season;
  plan.devices = std::move(devices);
  for (const DevicePlan& device : plan.devices) {
    if (device.planned_outcome) plan.planned_m3_per_day += device.planned_outcome->water_m3_per_day;
    if (device.present_outcome) plan.present_m3_per_day += device.present_outcome->water_m3_per_day;
    if (device.planned_outcome) plan.bound_m3_per_day += device.bound_m3_per_day;
  }
  for (const Limit& limit : together) CompareTogether(limit, plan);
  return plan;
}

double PresentOfPlanned_m3_per_day(const SystemPlan& plan) {
  double water_m3_per_day = 0;
  for (const DevicePlan& device : plan.devices) {
    if (device.planned_outcome && device.present_outcome)
      water_m3_per_day += device.present_outcome->water_m3_per_day;
  }
  return water_m3_per_day;
}

SystemPlan PlanSystem(const std::vector<DeviceFacts>& devices, const PlanOptions& options,
                      const std::vector<Limit>& together, const std::function<void(size_t done)>& progress) {
  return Assemble(PlanDevices(devices, options, progress), options, together);
}

}  // namespace lastreach
