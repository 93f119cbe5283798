#include "year/season_water.h"

#include <algorithm>
#include <functional>

#include "plan/numbers.h"

namespace lastreach {
namespace {

const MonthWater* WaterOf(const std::vector<MonthWater>& water, const std::string& zone, int month) {
  const auto found = std::find_if(water.begin(), water.end(),
                                  [&](const MonthWater& w) { return w.month == month && w.zone == zone; });
  return found == water.end() ? nullptr : &*found;
}

// The hardest of an item over the months of a part that have it.
template <typename T>
struct HardestOf {
  std::optional<Sourced<T>> value;
  bool every_month = true;
};

template <typename T, typename Harder>
HardestOf<T> Hardest(const YearPart& part, const std::string& zone, const std::vector<MonthWater>& water,
                     std::optional<Sourced<T>> MonthWater::*item, Harder harder) {
  HardestOf<T> hardest;
  for (const int month : part.months) {
    const MonthWater* of_month = WaterOf(water, zone, month);
    if (of_month == nullptr || !(of_month->*item)) {
      hardest.every_month = false;
    } else if (!hardest.value || harder((of_month->*item)->value, hardest.value->value)) {
      hardest.value = of_month->*item;
    }
  }
  return hardest;
}

void SetTemperature(const Sourced<Temperature>& temperature, FactsOfPart& out) {
  out.facts.supply.worst_week = temperature;
  out.options.temperature_c.reset();
}

// A use nobody gave is planning's own default, asked of planning so that the two cannot differ.
void ScaleUse(double factor, FactsOfPart& out) {
  const Result<PlanningNumbers> numbers = GatherNumbers(out.facts, out.options);
  SupplyZone& supply = out.facts.supply;
  for (size_t i = 0; i < out.facts.reach.pipes.size(); ++i) {
    ReachPipe& pipe = out.facts.reach.pipes[i];
    if (pipe.demand) {
      pipe.demand->value = pipe.demand->value * factor;
    } else if (!supply.demand_per_service && numbers.ok() && numbers->pipes[i].demand_m3_per_s > 0) {
      const double each = numbers->pipes[i].demand_m3_per_s * factor;
      pipe.demand = Sourced<Flow>{Flow::CubicMetresPerSecond(each), {OriginKind::kAssumed, "", {}, ""}};
    }
  }
  if (supply.demand_per_service) {
    supply.demand_per_service->value = supply.demand_per_service->value * factor;
  }
}

void SetUpstream(const Sourced<Concentration>& of_month, FactsOfPart& out) {
  auto& own = out.facts.reach.upstream_residual;
  auto& zone = out.facts.supply.upstream_residual;
  if (own && zone && zone->value.milligrams_per_litre() > 0) {
    const double swing = of_month.value.milligrams_per_litre() / zone->value.milligrams_per_litre();
    own->value = own->value * swing;
    own->origin.kind = OriginKind::kEstimated;
  } else if (own && of_month.value.milligrams_per_litre() < own->value.milligrams_per_litre()) {
    own = of_month;
  }
  zone = of_month;
}

}  // namespace

FactsOfPart FactsIn(const YearPart& part, const DeviceFacts& facts, const PlanOptions& options,
                    const std::vector<MonthWater>& water) {
  FactsOfPart out{facts, options, {}};
  out.options.from = part.days.from;
  out.options.to = part.days.to;
  out.options.season = part.name;
  const std::string& zone = facts.supply.name;
  const auto say = [&](const char* what) {
    // Without the part's name, so that a year says it once.
    out.as_worst_week.push_back(
        "Zone '" + zone + "': " + what +
        " is not known for every month; where it is not, it is taken as in the worst week.");
  };
  // What stands for a month of which nothing is known.
  const Result<PlanningNumbers> worst = GatherNumbers(facts, options);
  const auto temperature = Hardest(part, zone, water, &MonthWater::temperature, std::greater<>());
  if (!temperature.every_month) say("the temperature");
  if (temperature.value && (temperature.every_month ||
                            (worst.ok() && temperature.value->value.celsius() > worst->temperature_c))) {
    SetTemperature(*temperature.value, out);
  }
  const auto factor = Hardest(part, zone, water, &MonthWater::use_factor, std::less<>());
  if (!factor.every_month) say("the customers' use");
  if (factor.value && (factor.every_month || factor.value->value < 1)) ScaleUse(factor.value->value, out);
  const auto upstream = Hardest(part, zone, water, &MonthWater::upstream_residual, std::less<>());
  if (!upstream.every_month) say("the residual upstream");
  const auto& of_zone = facts.supply.upstream_residual;
  if (upstream.value && (upstream.every_month || (of_zone && upstream.value->value < of_zone->value))) {
    SetUpstream(*upstream.value, out);
  }
  return out;
}

ZonesOfPart ZonesIn(const YearPart& part, const std::vector<SupplyZone>& zones, const PlanOptions& options,
                    const std::vector<MonthWater>& water) {
  ZonesOfPart out;
  for (size_t i = 0; i < zones.size(); ++i) {
    // A unit of use goes through with the zone and comes back as its factor.
    DeviceFacts facts;
    facts.supply = zones[i];
    ReachPipe& pipe = facts.reach.pipes.emplace_back();
    pipe.length.value = Length::Metres(1);
    pipe.inner_diameter.value = Diameter::Millimetres(100);
    pipe.demand = Sourced<Flow>{Flow::CubicMetresPerSecond(1), {}};
    FactsOfPart in_part = FactsIn(part, facts, options, water);
    const double factor = in_part.facts.reach.pipes[0].demand->value.cubic_metres_per_second();
    out.use_factor = i == 0 ? factor : std::min(out.use_factor, factor);
    in_part.facts.supply.demand_per_service = zones[i].demand_per_service;
    out.zones.push_back(std::move(in_part.facts.supply));
  }
  return out;
}

}  // namespace lastreach
