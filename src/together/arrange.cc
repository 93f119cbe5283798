#include "together/arrange.h"

#include <algorithm>
#include <set>

#include "plan/all_cores.h"
#include "together/planned_together.h"
#include "together/stagger.h"
#include "together/week_of_plan.h"

namespace lastreach {
namespace {

constexpr const char* kMovedWords =
    "Moved from the hours that were best for it alone, so that it does not run with others.";

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
    } else if (const auto* level = std::get_if<LeastTankLevel>(&limit.rule)) {
      together.reserves.push_back({level->tank, level->level.metres(), limit.source});
    }
  }
  return together;
}

class Arranger::Impl {
 public:
  Impl(const PlanningNetwork& network, JudgedOrder order, const TogetherLimits& limits, const Zone& zone,
       DateWindow season, OtherHoursOf other_hours, SettleOn settle, std::optional<PressureJudge> judge)
      : network_(network.network),
        order_(std::move(order)),
        limits_(limits),
        other_hours_(std::move(other_hours)),
        settle_(std::move(settle)),
        judge_(std::move(judge)) {
    const SeasonClocks clocks = ClocksOf(zone, season);
    options_.standard_time = clocks.standard_time;
    options_.summer_time = clocks.summer_time;
  }

  Result<ArrangementSummary> Arrange(const std::vector<DeviceFacts>& facts, std::vector<DevicePlan>& plans) {
    auto answer = ChooseAndSettle(facts, plans);
    if (!answer.ok()) return answer.error();
    care_ = answer->care;
    return Summary(*answer, plans);
  }

  Result<bool> ConfirmWeek(const std::vector<DeviceFacts>& facts, const std::vector<DevicePlan>& plans,
                           ArrangementSummary& summary) {
    if (!judge_) return false;
    const ConfirmOptions options{options_.standard_time, options_.summer_time, options_.clock_off_min, care_};
    auto week = WeekOfPlanned(network_, *judge_, order_, facts, plans, limits_.reserves, options);
    if (!week.ok()) return week.error();
    summary.week = std::move(week->words);
    summary.conflicts.insert(summary.conflicts.end(), week->broken.begin(), week->broken.end());
    bool learned = false;
    for (const NotTogether& broken : week->breaks) learned = Learn(broken) || learned;
    return learned;
  }

 private:
  // Devices stay where they are if they can; the way that each was given otherwise.
  Result<StaggerAnswer> ChooseAndSettle(const std::vector<DeviceFacts>& facts,
                                        std::vector<DevicePlan>& plans) {
    StaggerOptions options = options_;
    std::vector<TogetherDevice> devices;
    for (const size_t d : order_.devices) devices.push_back(AsPlanned(facts[d], plans[d]));
    options.least_care = ClockCare::kAllMayBeWrong;
    auto answer = Choose(devices, options);
    if (!answer.ok() || answer->Found()) return answer;

    // First only devices of zones with a conflict may move, then all.
    std::vector<std::vector<OtherHours>> hours(devices.size());
    options.least_care = ClockCare::kAllRight;
    for (const bool all : {false, true}) {
      GiveOtherHours(facts, plans, all ? std::set<std::string>{} : ZonesOf(*answer, devices), devices, hours);
      answer = Choose(devices, options);
      if (!answer.ok()) return answer;
      if (answer->Found() && answer->care == ClockCare::kAllMayBeWrong) break;
    }
    for (size_t k = 0; k < devices.size(); ++k) {
      if (!answer->way[k] || *answer->way[k] == 0) continue;
      const size_t d = order_.devices[k];
      plans[d] = settle_(facts[d], hours[k][*answer->way[k] - 1].settings);
      plans[d].reasons.emplace_back(kMovedWords);
    }
    return answer;
  }

  // To devices of these zones, or to all, that have not got them.
  void GiveOtherHours(const std::vector<DeviceFacts>& facts, const std::vector<DevicePlan>& plans,
                      const std::set<std::string>& zones, std::vector<TogetherDevice>& devices,
                      std::vector<std::vector<OtherHours>>& hours) const {
    OnAllCores(devices.size(), [&](size_t k) {
      const size_t d = order_.devices[k];
      if (!Runs(plans[d]) || devices[k].ways.size() > 1) return;
      if (!zones.empty() && !zones.contains(devices[k].zone)) return;
      hours[k] = other_hours_(facts[d], plans[d]);
      for (const OtherHours& other : hours[k]) {
        devices[k].ways.push_back({ClockWeek(plans[d].form, other.settings), other.water_m3_per_day, false});
      }
    });
  }

  Result<StaggerAnswer> Choose(const std::vector<TogetherDevice>& devices, const StaggerOptions& options) {
    return Stagger(devices, limits_.at_once, judge_ ? &*judge_ : nullptr, options, not_together_);
  }

  // True if that is new.
  bool Learn(const NotTogether& broken) {
    const auto same = [&](const NotTogether& known) {
      return known.devices == broken.devices && known.hour == broken.hour;
    };
    if (std::any_of(not_together_.begin(), not_together_.end(), same)) return false;
    not_together_.push_back(broken);
    return true;
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
    if (order_.placed < order_.devices.size()) {
      summary.cautions.emplace_back(
          "Devices that stand at no end of the map draw nothing where pressure is judged.");
    }
    return summary;
  }

  const Network& network_;
  JudgedOrder order_;
  TogetherLimits limits_;
  StaggerOptions options_;
  OtherHoursOf other_hours_;
  SettleOn settle_;
  std::optional<PressureJudge> judge_;
  ClockCare care_ = ClockCare::kAllRight;  // of the last answer
  std::vector<NotTogether> not_together_;  // learned from simulated weeks
};

Arranger::Arranger(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
Arranger::~Arranger() = default;
Arranger::Arranger(Arranger&&) noexcept = default;
Arranger& Arranger::operator=(Arranger&&) noexcept = default;

Result<Arranger> Arranger::Make(const PlanningNetwork& network, const std::vector<DeviceFacts>& devices,
                                const TogetherLimits& limits, const Zone& zone, DateWindow season,
                                OtherHoursOf other_hours, SettleOn settle) {
  JudgedOrder order = OrderOf(network, devices);
  std::optional<PressureJudge> judge;
  if ((!limits.pressure.empty() || !limits.reserves.empty()) && order.placed > 0) {
    auto made = PressureJudge::Make(network.network, order.points, limits.pressure);
    if (!made.ok()) return made.error();
    judge = *std::move(made);
  }
  return Arranger(std::make_unique<Impl>(network, std::move(order), limits, zone, season,
                                         std::move(other_hours), std::move(settle), std::move(judge)));
}

Result<ArrangementSummary> Arranger::Arrange(const std::vector<DeviceFacts>& facts,
                                             std::vector<DevicePlan>& plans) {
  return impl_->Arrange(facts, plans);
}

Result<bool> Arranger::ConfirmWeek(const std::vector<DeviceFacts>& facts,
                                   const std::vector<DevicePlan>& plans, ArrangementSummary& summary) {
  return impl_->ConfirmWeek(facts, plans, summary);
}

}  // namespace lastreach
