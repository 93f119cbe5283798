#include <algorithm>
#include <memory>
#include <ostream>

#include "app/device_facts.h"
#include "app/map_source.h"
#include "app/planning_network.h"
#include "app/season_facts.h"
#include "app/subcommands.h"
#include "app/us_zone.h"
#include "app/what_else_text.h"
#include "plan/plan_json.h"
#include "plan/plan_system.h"
#include "store/project.h"
#include "together/what_else.h"

namespace lastreach {
namespace {

struct Options {
  std::string file;
  std::string device;
  bool json = false;
};

Result<SystemPlan> PlanOf(const Project& project, const std::string& file) {
  const auto stored = project.LatestPlan(PointCode());
  if (!stored.ok()) return stored.error();
  if (!*stored) return BadInput("the project has no plan yet: lastreach plan " + file, {file, {}, "", ""});
  return PlanFromJson((*stored)->json, file);
}

PlanOptions OptionsOf(const SystemPlan& plan, const DevicePlan& device) {
  PlanOptions options;
  options.zone = *Zone::Find(plan.zone);
  options.from = plan.from;
  options.to = plan.to;
  options.season = plan.season;
  options.sureness = device.asked_sureness;
  options.target_mg_per_l = device.target_mg_per_l;
  return options;
}

// The project's devices with the season's water, and the network they stand on.
struct Season {
  ProjectFacts facts;
  PreparedPlanning prepared;
  std::vector<DeviceDuty> duties;  // of those placed
};

Result<Season> SeasonOfPlan(const MapSource& source, const SystemPlan& plan, PlanOptions options,
                            Instant now) {
  const Project& project = *source.project;
  auto facts = FactsOf(project);
  if (!facts.ok()) return facts.error();
  const auto water = project.MonthWaters();
  if (!water.ok()) return water.error();
  const auto zones = project.SupplyZones();
  if (!zones.ok()) return zones.error();
  options.target_mg_per_l.reset();
  const YearPart part = PartOf(options);
  std::vector<std::vector<std::string>> not_known;
  TakeWaterOf(part, *water, options, *facts, not_known);
  ZonesOfPart of_part = ZonesIn(part, *zones, options, *water);
  PrepareOptions wanted;
  wanted.from = options.from;
  wanted.now = now;
  wanted.zones = std::move(of_part.zones);
  wanted.use_factor = of_part.use_factor;
  auto prepared = PreparePlanning(source, *facts, wanted);
  if (!prepared.ok()) return prepared.error();
  Season season{*std::move(facts), *std::move(prepared), {}};
  for (const PlacedDevice& placed : season.prepared.network.placed) {
    const DeviceFacts& device = season.facts.devices[placed.device];
    const auto planned = std::find_if(plan.devices.begin(), plan.devices.end(), [&](const DevicePlan& other) {
      return other.point.code == device.point.code;
    });
    season.duties.push_back(planned == plan.devices.end() ? PresentDuty(device)
                                                          : PlannedDuty(device, *planned));
  }
  return season;
}

Result<int> Tell(const Options& options, Surroundings& around) {
  auto source = OpenMapSource(options.file);
  if (!source.ok()) return source.error();
  if (!source->project) return BadRequest(options.file + " is a folder: this needs a project file");
  const auto plan = PlanOf(*source->project, options.file);
  if (!plan.ok()) return plan.error();
  const auto device = std::find_if(plan->devices.begin(), plan->devices.end(), [&](const DevicePlan& d) {
    return d.point.code.text() == options.device;
  });
  if (device == plan->devices.end()) return BadRequest("the plan has no device '" + options.device + "'");
  if (!source->network) {
    return BadInput("the project has no map: what a device could be done without is computed on the network",
                    {options.file, {}, "", ""});
  }
  const PlanOptions plan_options = OptionsOf(*plan, *device);
  const auto season = SeasonOfPlan(*source, *plan, plan_options, around.now);
  if (!season.ok()) return season.error();
  const std::vector<PlacedDevice>& placed = season->prepared.network.placed;
  const auto at = std::find_if(placed.begin(), placed.end(), [&](const PlacedDevice& p) {
    return season->facts.devices[p.device].point.code == device->point.code;
  });
  if (at == placed.end()) return BadRequest(options.device + " stands at no end of the map");
  DeviceFacts facts = season->facts.devices[at->device];
  if (device->on_network) facts.root_mg_per_l_by_hour = device->on_network->counted_on_mg_per_l;
  const PlanThese plan_these = [&](const std::vector<DeviceFacts>& devices) {
    return PlanDevices(devices, plan_options);
  };
  auto ways = WhatElse(season->prepared.network, season->duties, static_cast<size_t>(at - placed.begin()),
                       facts, device->target_mg_per_l, plan_these, plan_options.zone, {plan->from, plan->to});
  if (!ways.ok()) return ways.error();
  const auto prices = source->project->PricesNow();
  if (!prices.ok()) return prices.error();
  const WhatElseTold told{
      &*device,         plan->season,           *prices,
      *std::move(ways), season->prepared.names, IsUsZone(plan->zone) ? SheetUnits::kUs : SheetUnits::kMetric};
  if (options.json) {
    around.out << WhatElseToJson(told) << "\n";
  } else {
    PrintWhatElse(told, around.out);
  }
  return 0;
}

}  // namespace

void AddWhatElseCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command = app.add_subcommand(
      "what-else", "What removing, moving, a smaller main or a loop would do in place of a device's water");
  command->footer(
      "\nTakes the latest plan and runs the whole network again for each way of doing without the device, or "
      "with\n"
      "less of it, all other devices as planned. Nothing is kept in the project.\n"
      "  lastreach what-else town.gpkg D07\n"
      "  lastreach what-else town.gpkg D07 --json");
  const auto options = std::make_shared<Options>();
  command->add_option("FILE.gpkg", options->file, "the project, with a map and a plan")->required();
  command->add_option("DEVICE", options->device, "its code")->required();
  command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->callback(
      [options, &around, &action] { action = [options, &around] { return Tell(*options, around); }; });
}

}  // namespace lastreach
