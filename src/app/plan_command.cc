#include <algorithm>
#include <cstdio>
#include <memory>
#include <ostream>

#include "app/device_facts.h"
#include "app/map_source.h"
#include "app/plan_on_network.h"
#include "app/plan_text.h"
#include "app/planning_network.h"
#include "app/progress.h"
#include "app/season_facts.h"
#include "app/seasons.h"
#include "app/stop_when_asked.h"
#include "app/subcommands.h"
#include "plan/plan_json.h"
#include "plan/plan_system.h"
#include "store/project.h"
#include "together/network_plan.h"

namespace lastreach {
namespace {

struct Options {
  std::string file;
  double target_mg_per_l = 0;
  std::string season = "summer";
  std::string from;
  std::string to;
  double sureness = 0.9;
  double temperature_c = 0;
  std::string device;
  bool target_given = false;
  bool temperature_given = false;
  bool least_water = false;
  bool alone = false;
  bool json = false;
  double for_seconds = 0;
  bool for_given = false;
};

std::string Number(const char* format, double value) {
  char text[48];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

Result<Season> SeasonAskedFor(const Options& options, const ProjectInfo& info, bool south, Instant now) {
  if (options.from.empty() != options.to.empty()) return BadRequest("--from and --to go together");
  if (options.from.empty()) {
    const auto zone = Zone::Find(info.zone);
    if (!zone.ok()) return zone.error();
    return SeasonOf(options.season, Date{std::chrono::floor<std::chrono::days>(zone->ToLocal(now))}, south);
  }
  const auto from = ParseDate(options.from);
  if (!from.ok()) return BadRequest("--from: " + from.error().ToString());
  const auto to = ParseDate(options.to);
  if (!to.ok()) return BadRequest("--to: " + to.error().ToString());
  if (*to <= *from) return BadRequest("--to " + options.to + " is not after --from " + options.from);
  if (*to > AddYears(*from, 1)) {
    return BadRequest("--to " + options.to + " is more than a year after --from " + options.from);
  }
  return Season{options.from + " to " + options.to, {*from, *to}};
}

Status CheckNumbers(const Options& options) {
  if (options.target_given && !(options.target_mg_per_l > 0 && options.target_mg_per_l <= 4)) {
    return BadRequest("--target " + Number("%g", options.target_mg_per_l) +
                      " mg/L is not above 0 and up to 4");
  }
  if (!(options.sureness >= 0.5 && options.sureness <= 0.99)) {
    return BadRequest("--sureness " + Number("%g", options.sureness) + " is not from 0.5 to 0.99");
  }
  if (options.temperature_given && !(options.temperature_c >= 0 && options.temperature_c <= 40)) {
    return BadRequest("--temperature " + Number("%g", options.temperature_c) + " C is not from 0 to 40");
  }
  if (options.for_given && !(options.for_seconds > 0)) {
    return BadRequest("--for " + Number("%g", options.for_seconds) + " seconds is not above 0");
  }
  return Ok();
}

std::string NoteOn(const Undescribed& undescribed, const std::string& file) {
  const bool timer = undescribed.what == Undescribed::What::kTimer;
  std::string codes;
  for (const std::string& code : undescribed.devices) codes += (codes.empty() ? "" : ", ") + code;
  return std::string(timer ? "The timer '" : "The zone '") + undescribed.name + "' of " + codes +
         (timer ? " is not described: planned so that any timer could be keyed so. Describe it: "
                : " is not described: nothing is known of its water. Describe it: ") +
         "lastreach import " + file + (timer ? " timers.csv --as controllers" : " zones.csv --as zones");
}

// Planned settings go into the ledger beside what was found, and the whole plan is kept for the sheets.
Status Keep(Project& project, const SystemPlan& plan, Instant now) {
  return project.InTransaction([&]() -> Status {
    const Status kept = project.PutPlan({PointCode(), plan.season, now, PlanToJson(plan, -1)});
    if (!kept.ok()) return kept;
    for (const DevicePlan& device : plan.devices) {
      if (device.verdict != Verdict::kChange) continue;
      SettingsRecord record;
      record.point = device.point.code;
      record.kind = SettingsKind::kPlanned;
      record.settings = device.settings;
      record.recorded = now;
      record.who = "lastreach plan";
      record.why = "plan for " + plan.season;
      record.revert_by = plan.to;
      const auto added = project.AddSettings(record);
      if (!added.ok()) return added.error();
    }
    return Ok();
  });
}

bool Fails(const DevicePlan& device) {
  return device.verdict == Verdict::kCannotHold || device.verdict == Verdict::kFlushingIsNotTheAnswer ||
         device.verdict == Verdict::kTooLittleKnown;
}

// The plan of all devices on the whole network, where the project has one; of each by itself where not.
Result<SystemPlan> PlanAll(const Options& options, const MapSource& source, const ProjectFacts& facts,
                           const PlanOptions& plan_options, ZonesOfPart water, Surroundings& around) {
  Progress progress(around.err, around.err_is_terminal, "planning", facts.devices.size());
  const auto show = [&](size_t done) { progress.Show(done); };
  const bool on_network = source.network && !options.alone && options.device.empty();
  if (!on_network) return PlanSystem(facts.devices, plan_options, facts.together, show);
  PrepareOptions wanted;
  wanted.from = plan_options.from;
  wanted.now = around.now;
  wanted.zones = std::move(water.zones);
  wanted.use_factor = water.use_factor;
  // A map makes a plan better; one that cannot be run must not keep anybody from planning.
  const auto alone = [&](const Error& why) {
    SystemPlan plan = PlanSystem(facts.devices, plan_options, facts.together, show);
    plan.notes.push_back("Each device is planned by itself, as the network could not be run: " +
                         why.ToString());
    return plan;
  };
  const auto prepared = PreparePlanning(source, facts, wanted);
  if (!prepared.ok()) return alone(prepared.error());
  auto planned = PlanSeasonOnNetwork(facts.devices, prepared->network, facts.together, plan_options,
                                     {.stop = plan_options.stop}, {}, show);
  if (!planned.ok()) return alone(planned.error());
  SystemPlan plan = Assemble(std::move(planned->devices), plan_options, facts.together);
  plan.bound_m3_per_day = planned->bound_m3_per_day.value_or(plan.bound_m3_per_day);
  plan.notes.insert(plan.notes.end(), planned->notes.begin(), planned->notes.end());
  plan.network = SummaryOf(planned->network, prepared->names);
  plan.notes.insert(plan.notes.end(), prepared->notes.begin(), prepared->notes.end());
  return plan;
}

Result<int> Plan(const Options& options, Surroundings& around) {
  if (const Status numbers = CheckNumbers(options); !numbers.ok()) return numbers.error();
  auto source = OpenMapSource(options.file);
  if (!source.ok()) return source.error();
  if (!source->project) return BadRequest(options.file + " is a folder: planning needs a project file");
  Project* const project = &*source->project;
  const auto info = project->Info();
  if (!info.ok()) return info.error();
  auto facts = FactsOf(*project);
  if (!facts.ok()) return facts.error();
  if (!options.device.empty()) {
    std::erase_if(facts->devices,
                  [&](const DeviceFacts& d) { return d.point.code.text() != options.device; });
    if (facts->devices.empty()) return BadRequest("the project has no device '" + options.device + "'");
    for (Undescribed& undescribed : facts->undescribed) {
      std::erase_if(undescribed.devices, [&](const std::string& code) { return code != options.device; });
    }
    std::erase_if(facts->undescribed, [](const Undescribed& u) { return u.devices.empty(); });
  }
  if (facts->devices.empty())
    return BadInput("the project has no device; import a sheet of devices first", {options.file, {}, "", ""});
  const auto season = SeasonAskedFor(options, *info, facts->south, around.now);
  if (!season.ok()) return season.error();

  PlanOptions plan_options;
  plan_options.zone = *Zone::Find(info->zone);
  plan_options.from = season->days.from;
  plan_options.to = season->days.to;
  plan_options.season = season->name;
  plan_options.sureness = options.sureness;
  if (options.least_water) plan_options.simpler_within = 0;
  if (options.target_given) plan_options.target_mg_per_l = options.target_mg_per_l;
  if (options.temperature_given) plan_options.temperature_c = options.temperature_c;
  const StopWhenAsked stop(options.for_given ? std::optional(options.for_seconds) : std::nullopt);
  plan_options.stop = [&stop] { return stop.IsAsked(); };
  const auto water = project->MonthWaters();
  if (!water.ok()) return water.error();
  const auto zones = project->SupplyZones();
  if (!zones.ok()) return zones.error();
  std::vector<std::vector<std::string>> not_known;
  const YearPart part = PartOf(plan_options);
  TakeWaterOf(part, *water, plan_options, *facts, not_known);
  auto made =
      PlanAll(options, *source, *facts, plan_options, ZonesIn(part, *zones, plan_options, *water), around);
  if (!made.ok()) return made.error();
  SystemPlan& plan = *made;
  for (size_t d = 0; d < plan.devices.size(); ++d) {
    std::vector<std::string>& assumed = plan.devices[d].assumed;
    assumed.insert(assumed.end(), not_known[d].begin(), not_known[d].end());
  }
  for (const Undescribed& undescribed : facts->undescribed) {
    plan.notes.push_back(NoteOn(undescribed, options.file));
  }
  for (const OnMap& on_map : facts->on_map) {
    const bool is_planned = std::any_of(facts->devices.begin(), facts->devices.end(),
                                        [&](const DeviceFacts& d) { return d.point.code == on_map.point; });
    if (on_map.used && is_planned) {
      plan.notes.push_back("The reach of " + on_map.point.text() + " is the map's, to " + on_map.place +
                           ", " + Number("%.0f", on_map.distance_m) + " m from where it stands.");
    }
  }
  if (options.device.empty()) {
    if (const Status kept = Keep(*project, plan, around.now); !kept.ok()) return kept.error();
  }
  if (options.json) {
    around.out << PlanToJson(plan) << "\n";
  } else {
    PrintPlan(plan, around.out);
  }
  return std::all_of(plan.devices.begin(), plan.devices.end(), Fails) ? 1 : 0;
}

}  // namespace

void AddPlanCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command =
      app.add_subcommand("plan", "Settings for every device: hold the residual with the least water");
  command->footer(
      "\nFor each device: over what its timer accepts and its limits allow, the settings that hold the "
      "target at every\n"
      "service of its reach at the end of the longest gap in the worst week, with the clock right or an hour "
      "out. What\n"
      "is not known is taken with an honest spread; --sureness says in how many of 100 cases it must hold.\n"
      "The plan is kept in the project for the sheets; with --device only that one is planned and nothing is "
      "kept.\n"
      "  lastreach plan town.gpkg --target 0.4\n"
      "  lastreach plan town.gpkg --season summer-2027 --sureness 0.95 --json\n"
      "  lastreach plan town.gpkg --device D07\n"
      "Exit code 1: no device at all (or not the one asked for) can be held by flushing.");
  const auto options = std::make_shared<Options>();
  command->add_option("FILE.gpkg", options->file, "the project")->required();
  auto* target =
      command->add_option("--target", options->target_mg_per_l, "least residual, mg/L; else each zone's own");
  command
      ->add_option("--season", options->season,
                   "spring, summer, autumn, winter or year, with a year if you like")
      ->capture_default_str();
  command->add_option("--from", options->from, "first day, in place of a season");
  command->add_option("--to", options->to, "the day after the last");
  command->add_option("--sureness", options->sureness, "share of cases in which it must hold")
      ->capture_default_str();
  auto* temperature = command->add_option("--temperature", options->temperature_c,
                                          "water in the worst week, C; else each zone's own");
  command->add_flag(
      "--least-water", options->least_water,
      "the least water however many runs a day; else up to a tenth more is spent for fewer runs");
  command->add_flag("--alone", options->alone, "each device by itself, without the network");
  command->add_option("--device", options->device, "only this one, by itself");
  auto* for_seconds = command->add_option("--for", options->for_seconds,
                                          "stop after so many seconds with the best so far, as Ctrl-C does");
  command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->callback([options, target, temperature, for_seconds, &around, &action] {
    options->for_given = for_seconds->count() > 0;
    options->target_given = target->count() > 0;
    options->temperature_given = temperature->count() > 0;
    action = [options, &around] { return Plan(*options, around); };
  });
}

}  // namespace lastreach
