#include "app/year_network.h"

#include <algorithm>

#include "app/plan_on_network.h"
#include "together/network_judge.h"

namespace lastreach {
namespace {

constexpr int kMostRounds = 3;  // the year's own plan is judged, and made again, afterwards
const double kAgree_mg_per_l = NetworkPlanOptions{}.agree_mg_per_l;

bool IsInFrost(const YearRecords& records, const PointCode& point, const YearPart& part) {
  const auto frost = records.frost.find(point);
  return frost != records.frost.end() && LiesIn(part, frost->second.months);
}

}  // namespace

YearOnNetwork::YearOnNetwork(const MapSource& source, const ProjectFacts& facts, const PlanOptions& options,
                             const std::vector<YearPart>& year, const std::vector<SupplyZone>& zones,
                             Instant now)
    : source_(source), facts_(facts), options_(options), year_(year), zones_(zones), now_(now) {}

Result<YearOnNetwork::OfPart> YearOnNetwork::Prepare(const YearPart& part, const YearRecords& records) const {
  ZonesOfPart water = ZonesIn(part, zones_, options_, records.water);
  PrepareOptions wanted;
  wanted.from = part.days.from;
  wanted.now = now_;
  wanted.zones = std::move(water.zones);
  wanted.use_factor = water.use_factor;
  auto prepared = PreparePlanning(source_, facts_, wanted);
  if (!prepared.ok()) return prepared.error();
  OfPart of_part;
  of_part.prepared = *std::move(prepared);
  for (const DeviceFacts& device : facts_.devices) {
    of_part.facts.push_back(FactsIn(part, device, options_, records.water).facts);
  }
  return of_part;
}

Status YearOnNetwork::CountOn(YearRecords& records, const std::function<void(size_t done)>& progress) {
  for (const DeviceFacts& device : facts_.devices) {
    records.roots[device.point.code].resize(year_.size());
  }
  for (size_t p = 0; p < year_.size(); ++p) {
    const YearPart& part = year_[p];
    auto prepared = Prepare(part, records);
    if (!prepared.ok()) return prepared.error();
    OfPart& of_part = parts_.emplace_back(*std::move(prepared));
    if (p == 0) notes_ = of_part.prepared.notes;
    PlanOptions options = options_;
    options.from = part.days.from;
    options.to = part.days.to;
    options.season = part.name;
    options.what_binds = false;  // the year's own plan says what is to be said
    const PlanningNetwork& network = of_part.prepared.network;
    const auto in_frost = [&](const DeviceFacts& device) {
      return IsInFrost(records, device.point.code, part);
    };
    auto planned = PlanSeasonOnNetwork(of_part.facts, network, facts_.together, options,
                                       {.most_rounds = kMostRounds}, in_frost);
    if (!planned.ok()) return planned.error();
    for (const PlacedDevice& placed : network.placed) {
      const NetworkView& view = *planned->devices[placed.device].on_network;
      records.roots[facts_.devices[placed.device].point.code][p] = view.counted_on_mg_per_l;
    }
    of_part.now = std::move(planned->network.now);
    progress(p + 1);
  }
  return Ok();
}

Result<std::vector<PartOnNetwork>> YearOnNetwork::Judge(const YearPlan& plan, YearRecords& records) {
  std::vector<PartOnNetwork> parts;
  for (size_t p = 0; p < year_.size(); ++p) {
    const OfPart& of_part = parts_[p];
    const PlanningNetwork& network = of_part.prepared.network;
    std::vector<DeviceDuty> duties;
    for (const PlacedDevice& placed : network.placed) {
      const std::vector<PartOfDevice>& planned = plan.devices[placed.device].parts;
      DeviceDuty duty = PresentDuty(of_part.facts[placed.device]);
      if (!planned.empty()) {
        duty.settings = planned[p].settings;
        duty.clock_fast_min = 0;
      }
      duties.push_back(std::move(duty));
    }
    auto judged = JudgeOnNetwork(network, duties, options_.zone, year_[p].days);
    if (!judged.ok()) return judged.error();
    PartOnNetwork& part = parts.emplace_back();
    part.lowest_pressure_m = judged->lowest_pressure_m;
    part.lowest_pressure_at = of_part.prepared.names[At(judged->lowest_pressure_at)];
    for (size_t i = 0; i < network.placed.size(); ++i) {
      const size_t d = network.placed[i].device;
      const std::vector<PartOfDevice>& planned = plan.devices[d].parts;
      if (planned.empty() || planned[p].state != PartState::kHeld) continue;
      const PointCode& point = facts_.devices[d].point.code;
      std::array<double, 24>& counted_on = *records.roots[point][p];
      const auto arriving = ArrivingAtRoot(of_part.facts[d], of_part.now.devices[i], judged->devices[i]);
      double short_by = 0;
      for (size_t hour = 0; hour < arriving.size(); ++hour) {
        short_by = std::max(short_by, counted_on[hour] - arriving[hour]);
      }
      if (short_by <= kAgree_mg_per_l) continue;
      for (size_t hour = 0; hour < arriving.size(); ++hour) {
        counted_on[hour] = std::min(counted_on[hour], arriving[hour]);
      }
      part.short_at.push_back(point);
      part.greatest_shortfall_mg_per_l = std::max(part.greatest_shortfall_mg_per_l, short_by);
    }
    part.confirmed = part.short_at.empty();
  }
  return parts;
}

}  // namespace lastreach
