#include <algorithm>
#include <cstdio>
#include <memory>
#include <ostream>

#include "app/device_facts.h"
#include "app/map_source.h"
#include "app/progress.h"
#include "app/subcommands.h"
#include "app/year_network.h"
#include "app/year_records.h"
#include "app/year_text.h"
#include "ledger/months.h"
#include "year/plan_year.h"
#include "year/year_json.h"

namespace lastreach {
namespace {

constexpr int kMostVisits = 10000;
// Plans of the whole year for what the network turned out to carry.
constexpr int kMostPlans = 3;

struct Options {
  std::string file;
  std::string from;
  std::string parts = "seasons";
  int visits = 0;
  double target_mg_per_l = 0;
  double sureness = 0.9;
  bool visits_given = false;
  bool target_given = false;
  bool on_network = false;
  bool json = false;
};

std::string Number(double value) {
  char text[48];
  std::snprintf(text, sizeof text, "%g", value);
  return text;
}

Status CheckOptions(const Options& options) {
  if (options.parts != "seasons" && options.parts != "months") {
    return BadRequest("--parts " + options.parts + ": seasons or months");
  }
  if (options.visits_given && !(options.visits >= 0 && options.visits <= kMostVisits)) {
    return BadRequest("--visits " + std::to_string(options.visits) + " is not from 0 to " +
                      std::to_string(kMostVisits));
  }
  if (options.target_given && !(options.target_mg_per_l > 0 && options.target_mg_per_l <= 4)) {
    return BadRequest("--target " + Number(options.target_mg_per_l) + " mg/L is not above 0 and up to 4");
  }
  if (!(options.sureness >= 0.5 && options.sureness <= 0.99)) {
    return BadRequest("--sureness " + Number(options.sureness) + " is not from 0.5 to 0.99");
  }
  return Ok();
}

std::string NameOfYear(const std::vector<YearPart>& year) {
  const auto word = [](Date day) {
    return std::string(MonthWord(static_cast<int>(static_cast<unsigned>(day.month())))) + " " +
           std::to_string(static_cast<int>(day.year()));
  };
  return word(year.front().days.from) + " to " + word(AddDays(year.back().days.to, -1));
}

// All that stands in the project, gathered before anything is planned.
struct Gathered {
  ProjectFacts facts;
  std::vector<SupplyZone> zones;
  PlanOptions plan_options;
  std::vector<YearPart> year;
  YearRecords records;
  YearAnswer answer;
};

Result<Gathered> Gather(const Options& options, const Project& project, Instant now) {
  Gathered all;
  const auto info = project.Info();
  if (!info.ok()) return info.error();
  auto facts = FactsOf(project);
  if (!facts.ok()) return facts.error();
  auto zones = project.SupplyZones();
  if (!zones.ok()) return zones.error();
  auto water = project.MonthWaters();
  if (!water.ok()) return water.error();
  const auto trips = project.Trips();
  if (!trips.ok()) return trips.error();
  const auto prices = project.PricesNow();
  if (!prices.ok()) return prices.error();
  const auto zone = Zone::Find(info->zone);
  if (!zone.ok()) return zone.error();
  Date from{std::chrono::floor<std::chrono::days>(zone->ToLocal(now))};
  if (!options.from.empty()) {
    const auto asked = ParseDate(options.from);
    if (!asked.ok()) return BadRequest("--from: " + asked.error().ToString());
    from = *asked;
  }
  all.facts = *std::move(facts);
  all.zones = *std::move(zones);
  if (all.facts.devices.empty() && all.facts.hand_ends.empty()) {
    return BadInput("the project has no flush point; import a sheet of devices first",
                    {options.file, {}, "", ""});
  }
  all.records.water = *std::move(water);
  all.records.frost = FrostOf(all.facts.devices);
  std::set<int> cuts;
  for (const auto& [point, spell] : all.records.frost) cuts.merge(CutsAt(spell.months));
  const YearDivision division = options.parts == "months" ? YearDivision::kMonths : YearDivision::kSeasons;
  all.year = PartsOfYear(from, division, all.facts.south, cuts);
  all.records.trip_months = TripMonthsOf(*trips, all.facts.devices, all.year);
  all.plan_options.zone = *zone;
  all.plan_options.from = all.year.front().days.from;
  all.plan_options.to = all.year.back().days.to;
  all.plan_options.sureness = options.sureness;
  if (options.target_given) all.plan_options.target_mg_per_l = options.target_mg_per_l;
  all.answer.name = NameOfYear(all.year);
  all.answer.zone = info->zone;
  all.answer.sureness = options.sureness;
  all.answer.prices = YearPricesOf(*prices, all.answer.notes);
  all.answer.frost = all.records.frost;
  all.answer.trip_months = all.records.trip_months;
  return all;
}

Status PlanDevicesThroughYear(const Options& options, const MapSource& source, Surroundings& around,
                              Gathered& all) {
  YearOptions year_options;
  year_options.sureness = options.sureness;
  if (options.visits_given) year_options.most_visits = options.visits;
  year_options.prices = all.answer.prices;
  const auto plan_all = [&] {
    Progress progress(around.err, around.err_is_terminal, "planning", all.facts.devices.size());
    const auto devices = DevicesInYear(all.facts.devices, all.plan_options, all.year, all.records);
    all.answer.plan = PlanYear(all.year, devices, year_options, [&](size_t done) { progress.Show(done); });
  };
  if (!source.network || !options.on_network) {
    plan_all();
    return Ok();
  }
  YearOnNetwork network(source, all.facts, all.plan_options, all.year, all.zones, around.now);
  {
    Progress progress(around.err, around.err_is_terminal, "the network", all.year.size());
    const Status counted = network.CountOn(all.records, [&](size_t done) { progress.Show(done); });
    if (!counted.ok()) return counted;
  }
  for (int plans = 0; plans < kMostPlans; ++plans) {
    plan_all();
    auto judged = network.Judge(all.answer.plan, all.records);
    if (!judged.ok()) return judged.error();
    all.answer.on_network = *std::move(judged);
    if (std::all_of(all.answer.on_network.begin(), all.answer.on_network.end(),
                    [](const PartOnNetwork& part) { return part.confirmed; })) {
      break;
    }
  }
  all.answer.notes.insert(all.answer.notes.end(), network.notes().begin(), network.notes().end());
  return Ok();
}

bool CannotBeHeld(const DeviceYear& device) {
  return std::none_of(device.parts.begin(), device.parts.end(),
                      [](const PartOfDevice& part) { return part.state == PartState::kHeld; });
}

Result<int> PlanTheYear(const Options& options, Surroundings& around) {
  if (const Status checked = CheckOptions(options); !checked.ok()) return checked.error();
  auto source = OpenMapSource(options.file);
  if (!source.ok()) return source.error();
  if (!source->project) {
    return BadRequest(options.file + " is a folder: planning a year needs a project file");
  }
  auto gathered = Gather(options, *source->project, around.now);
  if (!gathered.ok()) return gathered.error();
  YearAnswer& answer = gathered->answer;
  const ProjectFacts& facts = gathered->facts;
  if (facts.devices.empty()) {
    answer.plan.parts = gathered->year;
  } else if (const Status planned = PlanDevicesThroughYear(options, *source, around, *gathered);
             !planned.ok()) {
    return planned.error();
  }
  answer.hand_ends = PlanHandEnds(facts.hand_ends, gathered->plan_options, gathered->year, gathered->records);
  if (!facts.devices.empty()) {
    answer.drought =
        PlanDroughts(facts.together, facts.devices, answer.plan, gathered->plan_options, gathered->records);
  }
  const std::string season =
      kYearPlanWords + std::string(" from ") + FormatDate(gathered->year.front().days.from);
  const Status kept = source->project->PutPlan({PointCode(), season, around.now, YearToJson(answer, -1)});
  if (!kept.ok()) return kept.error();
  if (options.json) {
    around.out << YearToJson(answer) << "\n";
  } else {
    PrintYear(answer, around.out);
  }
  const std::vector<DeviceYear>& devices = answer.plan.devices;
  return !devices.empty() && std::all_of(devices.begin(), devices.end(), CannotBeHeld) ? 1 : 0;
}

}  // namespace

void AddYearCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command = app.add_subcommand(
      "year", "Settings for every device through the year, and which changes are worth a visit");
  command->footer(
      "\nA year that comes round: what stands in its last part is followed by what stands in its first. "
      "Each part is\n"
      "planned for the water of its hardest month (lastreach import ... --as temperatures); a month nobody "
      "knows counts\n"
      "as the worst week. Water is held against visits: by the prices where they are given, else a visit "
      "counts as much\n"
      "as 100 m3. Ends flushed by hand get their minutes and days apart, drought stages the devices that "
      "stay "
      "on.\n"
      "The plan is kept in the project for the sheets.\n"
      "  lastreach year town.gpkg\n"
      "  lastreach year town.gpkg --from 2027-04-01 --visits 20\n"
      "  lastreach year town.gpkg --parts months --json\n"
      "Exit code 1: no device can be held by flushing in any part of the year.");
  const auto options = std::make_shared<Options>();
  command->add_option("FILE.gpkg", options->file, "the project")->required();
  command->add_option(
      "--from", options->from,
      "the year begins with the first season or month on or after this day; else after today");
  command->add_option("--parts", options->parts, "seasons or months")->capture_default_str();
  auto* visits =
      command->add_option("--visits", options->visits, "at most so many a year for changing settings");
  auto* target =
      command->add_option("--target", options->target_mg_per_l, "least residual, mg/L; else each zone's own");
  command->add_option("--sureness", options->sureness, "share of cases in which it must hold")
      ->capture_default_str();
  command->add_flag("--on-network", options->on_network,
                    "each part on the whole network, as plan does; takes many minutes in a town");
  command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->callback([options, visits, target, &around, &action] {
    options->visits_given = visits->count() > 0;
    options->target_given = target->count() > 0;
    action = [options, &around] { return PlanTheYear(*options, around); };
  });
}

}  // namespace lastreach
