#include "app/year_records.h"

#include <algorithm>
#include <atomic>
#include <thread>

#include "plan/numbers.h"

namespace lastreach {
namespace {

// The part of the year in which the devices together take most water a day.
size_t ThirstiestPart(const YearPlan& plan) {
  std::vector<double> water_m3_per_day(plan.parts.size(), 0);
  for (const DeviceYear& device : plan.devices) {
    for (size_t p = 0; p < device.parts.size(); ++p) {
      water_m3_per_day[p] += device.parts[p].water_m3 / plan.parts[p].length_days();
    }
  }
  return static_cast<size_t>(std::max_element(water_m3_per_day.begin(), water_m3_per_day.end()) -
                             water_m3_per_day.begin());
}

// One part of a year's plan as the plan of a season.
SystemPlan PlanOfPart(const YearPlan& plan, size_t part, const std::vector<DeviceFacts>& facts,
                      const PlanOptions& options) {
  SystemPlan of_part;
  for (size_t d = 0; d < plan.devices.size(); ++d) {
    DevicePlan& device = of_part.devices.emplace_back();
    device.point = facts[d].point;
    for (const ReachPipe& pipe : facts[d].reach.pipes) device.reach.services += pipe.services.value;
    const auto numbers = GatherNumbers(facts[d], options);
    if (plan.devices[d].parts.empty() || !numbers.ok()) continue;
    const PartOfDevice& in_part = plan.devices[d].parts[part];
    device.target_mg_per_l = numbers->target_mg_per_l;
    device.settings = in_part.settings;
    device.planned_outcome = in_part.outcome.value_or(Outcome{});
    device.planned_outcome->water_m3_per_day = in_part.water_m3 / plan.parts[part].length_days();
  }
  return of_part;
}

std::string StageName(const Limit& limit, int stage) {
  return "stage " + std::to_string(stage) +
         (limit.scope == LimitScope::kZone ? " in zone " + limit.subject : std::string());
}

}  // namespace

std::map<PointCode, FrostSpell> FrostOf(const std::vector<DeviceFacts>& devices) {
  std::map<PointCode, FrostSpell> all;
  for (const DeviceFacts& device : devices) {
    for (const Limit& limit : device.limits) {
      const auto* frost = std::get_if<FrostMonths>(&limit.rule);
      if (frost == nullptr) continue;
      FrostSpell& spell = all[device.point.code];
      for (int month = 1; month <= 12; ++month) {
        if (IsMonthWithin(month, frost->from_month, frost->to_month)) spell.months.insert(month);
      }
      if (spell.source.find(limit.source) == std::string::npos || spell.source.empty())
        spell.source += (spell.source.empty() ? "" : "; ") + limit.source;
    }
  }
  return all;
}

std::map<PointCode, std::set<int>> TripMonthsOf(const std::vector<Trip>& trips,
                                                const std::vector<DeviceFacts>& devices,
                                                const std::vector<YearPart>& year) {
  std::map<PointCode, std::set<int>> all;
  for (const DeviceFacts& device : devices) {
    for (const Trip& trip : trips) {
      if (!IsWithin(trip.scope, trip.subject, device.point)) continue;
      const Date first = year.front().days.from;
      for (int i = 0; i < 12; ++i) {
        const auto month = first.year() / first.month() + std::chrono::months(i);
        if (FallsInto(trip, month))
          all[device.point.code].insert(static_cast<int>(static_cast<unsigned>(month.month())));
      }
    }
  }
  return all;
}

std::optional<YearPrices> YearPricesOf(const Prices& prices, std::vector<std::string>& notes) {
  const bool none = !prices.water_per_m3 && !prices.visit;
  if (none) return std::nullopt;
  if (!prices.water_per_m3 || !prices.visit) {
    notes.push_back(std::string("What ") + (prices.visit ? "water" : "a visit") +
                    " costs is not known: give both prices to see water and visits as money.");
    return std::nullopt;
  }
  const Origin& origin = prices.water_per_m3->origin;
  const std::string source = !origin.note.empty() ? origin.note : origin.by;
  return YearPrices{prices.currency, prices.water_per_m3->value, prices.visit->value,
                    source.empty() ? "the project's prices" : source};
}

HandFlushOptions HandOptionsOf(const DeviceFacts& end) {
  HandFlushOptions options;
  for (const Limit& limit : end.limits) {
    const auto* duty = std::get_if<LeastFlushEvery>(&limit.rule);
    if (duty == nullptr || (options.most_days_between && *options.most_days_between <= duty->days)) continue;
    options.most_days_between = duty->days;
    options.rule_source = limit.source;
  }
  return options;
}

std::vector<HandEndYear> PlanHandEnds(const std::vector<DeviceFacts>& ends, const PlanOptions& options,
                                      const std::vector<YearPart>& year, const YearRecords& records) {
  std::vector<HandEndYear> all(ends.size());
  std::atomic<size_t> next{0};
  const auto work = [&] {
    for (size_t i = next++; i < ends.size(); i = next++) {
      all[i].point = ends[i].point;
      all[i].year = PlanHandFlushYear(ends[i], options, year, records.water, HandOptionsOf(ends[i]));
    }
  };
  std::vector<std::thread> threads;
  const size_t cores = std::max(1U, std::thread::hardware_concurrency());
  for (size_t i = 1; i < std::min(cores, ends.size()); ++i) threads.emplace_back(work);
  work();
  for (std::thread& thread : threads) thread.join();
  return all;
}

std::vector<DroughtPlan> PlanDroughts(const std::vector<Limit>& limits, const std::vector<DeviceFacts>& facts,
                                      const YearPlan& plan, const PlanOptions& options,
                                      const YearRecords& records) {
  std::vector<const Limit*> stages;
  for (const Limit& limit : limits) {
    if (std::holds_alternative<DroughtStage>(limit.rule)) stages.push_back(&limit);
  }
  if (stages.empty() || plan.parts.empty()) return {};
  std::stable_sort(stages.begin(), stages.end(), [](const Limit* a, const Limit* b) {
    return std::get<DroughtStage>(a->rule).stage < std::get<DroughtStage>(b->rule).stage;
  });
  const size_t part = ThirstiestPart(plan);
  std::vector<DeviceFacts> in_part;
  PlanOptions part_options = options;
  for (const DeviceFacts& device : facts) {
    FactsOfPart of_part = FactsIn(plan.parts[part], device, options, records.water);
    const auto roots = records.roots.find(device.point.code);
    if (roots != records.roots.end() && roots->second[part])
      of_part.facts.root_mg_per_l_by_hour = roots->second[part];
    part_options = of_part.options;
    in_part.push_back(std::move(of_part.facts));
  }
  const std::vector<DroughtDevice> devices =
      DroughtDevicesOf(in_part, PlanOfPart(plan, part, in_part, part_options), part_options);
  std::vector<DroughtPlan> droughts;
  for (const Limit* limit : stages) {
    const auto& rule = std::get<DroughtStage>(limit->rule);
    std::vector<DroughtDevice> bound;
    for (const DroughtDevice& device : devices) {
      const auto at = std::find_if(facts.begin(), facts.end(),
                                   [&](const DeviceFacts& f) { return f.point.code == device.point; });
      if (IsWithin(limit->scope, limit->subject, at->point)) bound.push_back(device);
    }
    droughts.push_back(
        PlanDrought(bound, {StageName(*limit, rule.stage), rule.volume_a_day.cubic_metres(), limit->source}));
    droughts.back().notes.insert(droughts.back().notes.begin(),
                                 "Looked at in " + plan.parts[part].name + ", which takes most water.");
  }
  return droughts;
}

}  // namespace lastreach
