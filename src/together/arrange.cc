#include "together/arrange.h"

#include <algorithm>
#include <set>

#include "plan/all_cores.h"
#include "together/network_plan.h"
#include "together/stagger.h"

namespace lastreach {
namespace {

constexpr const char* kMovedWords =
    "Moved from the hours that were best for it alone, so that it does not run with others.";

// Parts of a season with the clock as it stands, and an hour on.
struct Clocks {
  bool standard_time = false;
  bool summer_time = false;
};

Clocks ClocksOf(const Zone& zone, DateWindow season) {
  const Instant begin = zone.FirstInstant(Midnight(season.from));
  Clocks clocks;
  for (const OffsetPiece& piece : zone.Offsets(begin, zone.FirstInstant(Midnight(season.to)))) {
    (piece.offset > piece.standard_offset ? clocks.summer_time : clocks.standard_time) = true;
  }
  return clocks;
}

// Of devices that cannot all run as they are.
std::set<std::string> ZonesOf(const StaggerAnswer& answer, const std::vector<TogetherDevice>& devices) {
  std::set<std::string> zones;
  for (const StaggerConflict& conflict : answer.conflicts) {
    for (const TogetherDevice& device : devices) {
      const auto& codes = conflict.devices;
      if (std::find(codes.begin(), codes.end(), device.code) != codes.end()) zones.insert(device.zone);
    }
  }
  return zones;
}

bool Runs(const DevicePlan& plan) {
  return (plan.verdict == Verdict::kChange || plan.verdict == Verdict::kKeep) && plan.settings.on;
}

}  // namespace

TogetherLimits TogetherLimitsOf(const std::vector<Limit>& limits) {
  TogetherLimits together;
  for (const Limit& limit : limits) {
    const std::string zone = limit.scope == LimitScope::kZone ? limit.subject : "";
    if (const auto* least = std::get_if<LeastPressure>(&limit.rule)) {
      together.pressure.push_back({zone, least->pressure.metres_of_water(), limit.source});
    } else if (const auto* most = std::get_if<MostTogether>(&limit.rule)) {
      together.at_once.push_back({zone, most->devices, {}, limit.source});
    }
  }
  return together;
}

class Arranger::Impl {
 public:
  Impl(std::vector<size_t> order, size_t placed, const TogetherLimits& limits, const Zone& zone,
       DateWindow season, OtherHoursOf other_hours, SettleOn settle, std::optional<PressureJudge> judge)
      : order_(std::move(order)),
        placed_(placed),
        limits_(limits),
        clocks_(ClocksOf(zone, season)),
        other_hours_(std::move(other_hours)),
        settle_(std::move(settle)),
        judge_(std::move(judge)) {}

  Result<ArrangementSummary> Arrange(const std::vector<DeviceFacts>& facts, std::vector<DevicePlan>& plans) {
    StaggerOptions options;
    options.standard_time = clocks_.standard_time;
    options.summer_time = clocks_.summer_time;
    std::vector<TogetherDevice> devices;
    for (const size_t d : order_) devices.push_back(AsPlanned(facts[d], plans[d]));
    options.least_care = ClockCare::kAllMayBeWrong;
    auto answer = Choose(devices, options);
    if (!answer.ok()) return answer.error();
    if (answer->Found()) return Summary(*answer, plans);

    // First only devices of zones with a conflict may move, then all.
    std::vector<std::vector<OtherHours>> hours(order_.size());
    for (const bool all : {false, true}) {
      const std::set<std::string> zones = ZonesOf(*answer, devices);
      OnAllCores(order_.size(), [&](size_t k) {
        const size_t d = order_[k];
        if (!Runs(plans[d]) || devices[k].ways.size() > 1) return;
        if (!all && !zones.contains(devices[k].zone)) return;
        hours[k] = other_hours_(facts[d], plans[d]);
        for (const OtherHours& other : hours[k]) {
          devices[k].ways.push_back(
              {ClockWeek(plans[d].form, other.settings), other.water_m3_per_day, false});
        }
      });
      options.least_care = ClockCare::kAllRight;
      answer = Choose(devices, options);
      if (!answer.ok()) return answer.error();
      if (answer->Found() && answer->care == ClockCare::kAllMayBeWrong) break;
    }
    for (size_t k = 0; k < order_.size(); ++k) {
      if (!answer->way[k] || *answer->way[k] == 0) continue;
      const size_t d = order_[k];
      plans[d] = settle_(facts[d], hours[k][*answer->way[k] - 1].settings);
      plans[d].reasons.emplace_back(kMovedWords);
    }
    return Summary(*answer, plans);
  }

 private:
  TogetherDevice AsPlanned(const DeviceFacts& facts, const DevicePlan& plan) const {
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

  Result<StaggerAnswer> Choose(const std::vector<TogetherDevice>& devices, const StaggerOptions& options) {
    return Stagger(devices, limits_.at_once, judge_ ? &*judge_ : nullptr, options);
  }

  ArrangementSummary Summary(const StaggerAnswer& answer, const std::vector<DevicePlan>& plans) const {
    ArrangementSummary summary;
    summary.care = ToText(answer.care);
    // Those moved in an earlier round stay where they were put.
    summary.moved = static_cast<int>(std::count_if(plans.begin(), plans.end(), [](const DevicePlan& plan) {
      return std::find(plan.reasons.begin(), plan.reasons.end(), kMovedWords) != plan.reasons.end();
    }));
    summary.water_m3_per_day = answer.water_m3_per_day;
    summary.bound_m3_per_day = answer.bound_m3_per_day;
    for (const StaggerConflict& conflict : answer.conflicts) summary.conflicts.push_back(conflict.Words());
    summary.cautions = answer.cautions;
    if (!judge_) return summary;
    const auto shorts = judge_->ShortWithoutDevices();
    summary.cautions.insert(summary.cautions.end(), shorts.begin(), shorts.end());
    if (placed_ < order_.size()) {
      summary.cautions.emplace_back(
          "Devices that stand at no end of the map draw nothing where pressure is judged.");
    }
    return summary;
  }

  std::vector<size_t> order_;  // of devices as the judge knows them: the placed ones first
  size_t placed_;
  TogetherLimits limits_;
  Clocks clocks_;
  OtherHoursOf other_hours_;
  SettleOn settle_;
  std::optional<PressureJudge> judge_;
};

Arranger::Arranger(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
Arranger::~Arranger() = default;
Arranger::Arranger(Arranger&&) noexcept = default;
Arranger& Arranger::operator=(Arranger&&) noexcept = default;

Result<Arranger> Arranger::Make(const PlanningNetwork& network, const std::vector<DeviceFacts>& devices,
                                const TogetherLimits& limits, const Zone& zone, DateWindow season,
                                OtherHoursOf other_hours, SettleOn settle) {
  std::vector<size_t> order;
  std::vector<DrawingPoint> points;
  std::vector<char> has(devices.size(), 0);
  for (const PlacedDevice& placed : network.placed) {
    const auto& flow = devices[placed.device].point.flow;
    points.push_back({placed.node, flow ? flow->value.cubic_metres_per_second() : 0.0});
    order.push_back(placed.device);
    has[placed.device] = 1;
  }
  const size_t placed = order.size();
  for (size_t d = 0; d < devices.size(); ++d) {
    if (has[d] != 0) continue;
    order.push_back(d);
    if (placed > 0) points.push_back({points.front().node, 0.0});
  }
  std::optional<PressureJudge> judge;
  if (!limits.pressure.empty() && placed > 0) {
    auto made = PressureJudge::Make(network.network, std::move(points), limits.pressure);
    if (!made.ok()) return made.error();
    judge = *std::move(made);
  }
  return Arranger(std::make_unique<Impl>(std::move(order), placed, limits, zone, season,
                                         std::move(other_hours), std::move(settle), std::move(judge)));
}

Result<ArrangementSummary> Arranger::Arrange(const std::vector<DeviceFacts>& facts,
                                             std::vector<DevicePlan>& plans) {
  return impl_->Arrange(facts, plans);
}

}  // namespace lastreach
