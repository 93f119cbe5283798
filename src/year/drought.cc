#include "year/drought.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "plan/predict.h"
#include "plan/words.h"

namespace lastreach {
namespace {

std::string WaterADay(double m3) {
  char text[48];
  std::snprintf(text, sizeof text, "%.3g m3 a day", m3);
  return text;
}

std::string Customers(int services) {
  return services == 1 ? "1 customer" : std::to_string(services) + " customers";
}

std::string ReasonFor(const DroughtDevice& device, bool on, bool by_rank) {
  if (!device.stays_on_because.empty()) return "stays on: " + device.stays_on_because;
  const std::string without =
      Customers(device.services) + " would be left " + Residual(device.low_without_mg_per_l) + " of " +
      Residual(device.target_mg_per_l) + " without it; it takes " + WaterADay(device.water_m3_per_day);
  if (on) return "stays on: " + without;
  if (by_rank) return "shut by the order given (" + std::to_string(*device.shut_rank) + "): " + without;
  if (device.services == 0) return "shut: nobody drinks from its reach";
  if (device.need() == 0) return "shut: its customers' own use holds the target without it";
  return "shut: others keep more for the water: " + without;
}

}  // namespace

double DroughtDevice::need() const {
  if (!(target_mg_per_l > 0)) return 0;
  return services * std::clamp(1 - low_without_mg_per_l / target_mg_per_l, 0.0, 1.0);
}

DroughtPlan PlanDrought(const std::vector<DroughtDevice>& devices, const DroughtCap& cap) {
  DroughtPlan plan;
  plan.cap = cap;
  std::vector<bool> on(devices.size(), true), by_rank(devices.size(), false);
  double water = 0;
  for (const DroughtDevice& device : devices) water += device.water_m3_per_day;

  std::vector<size_t> ranked, open;
  for (size_t d = 0; d < devices.size(); ++d) {
    if (!devices[d].stays_on_because.empty()) continue;
    (devices[d].shut_rank ? ranked : open).push_back(d);
  }
  std::stable_sort(ranked.begin(), ranked.end(),
                   [&](size_t a, size_t b) { return *devices[a].shut_rank < *devices[b].shut_rank; });
  for (const size_t d : ranked) {
    if (water <= cap.most_m3_per_day) break;
    on[d] = false;
    by_rank[d] = true;
    water -= devices[d].water_m3_per_day;
  }
  if (water > cap.most_m3_per_day) {
    std::vector<double> weights, worths;
    double fixed = water;
    for (const size_t d : open) {
      weights.push_back(devices[d].water_m3_per_day);
      worths.push_back(devices[d].need());
      fixed -= weights.back();
    }
    const std::vector<bool> taken = MostWorth(weights, worths, cap.most_m3_per_day - fixed);
    for (size_t i = 0; i < open.size(); ++i) on[open[i]] = taken[i];
  }
  for (size_t d = 0; d < devices.size(); ++d) {
    const DroughtDevice& device = devices[d];
    plan.choices.push_back(
        {device.point, on[d], device.water_m3_per_day, device.need(), ReasonFor(device, on[d], by_rank[d])});
    (on[d] ? plan.need_kept : plan.need_given_up) += device.need();
    if (on[d]) plan.water_m3_per_day += device.water_m3_per_day;
    if (!on[d] && device.need() > 0) plan.services_below_target += device.services;
  }
  plan.fits = plan.water_m3_per_day <= cap.most_m3_per_day * (1 + 1e-9);
  const std::string limit =
      WaterADay(cap.most_m3_per_day) + " of " + cap.name + " (source: " + cap.source + ")";
  plan.notes.push_back(plan.fits ? WaterADay(plan.water_m3_per_day) + " of the " + limit + " are used."
                                 : "What may not be shut takes " + WaterADay(plan.water_m3_per_day) +
                                       ", more than the " + limit + ".");
  if (plan.services_below_target > 0) {
    plan.notes.push_back(
        Customers(plan.services_below_target) +
        " are on reaches that fall below their target: tell them, read the residual, and flush by "
        "hand as far as the stage allows. The operator in charge decides.");
  }
  return plan;
}

std::vector<DroughtDevice> DroughtDevicesOf(const std::vector<DeviceFacts>& facts, const SystemPlan& plan,
                                            const PlanOptions& options) {
  std::vector<DroughtDevice> devices;
  for (size_t d = 0; d < std::min(facts.size(), plan.devices.size()); ++d) {
    const DevicePlan& planned = plan.devices[d];
    if (!planned.planned_outcome || !(planned.planned_outcome->water_m3_per_day > 0)) continue;
    DeviceFacts off = facts[d];
    off.present.reset();
    DroughtDevice& device = devices.emplace_back();
    device.point = off.point.code;
    device.water_m3_per_day = planned.planned_outcome->water_m3_per_day;
    device.shut_rank = off.point.drought_rank;
    if (off.point.stays_on) {
      const std::string& because = off.point.stays_on_because;
      device.stays_on_because = because.empty() ? "as the list of devices says" : because;
    }
    device.services = planned.reach.services;
    device.target_mg_per_l = planned.target_mg_per_l;
    // What cannot be predicted must not look good.
    const auto low = PredictLowest(off, options);
    device.low_without_mg_per_l = low.ok() ? low->middle_mg_per_l : 0;
  }
  return devices;
}

}  // namespace lastreach
