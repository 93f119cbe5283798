#include <memory>
#include <ostream>

#include "app/ends_report.h"
#include "app/map_source.h"
#include "app/project_map.h"
#include "app/subcommands.h"
#include "ends/maybe_gap.h"
#include "ends/quiet_places.h"

namespace lastreach {
namespace {

struct Options {
  std::string file;
  bool json = false;
  bool all = false;
  bool detail = false;
  EndOptions ends;
};

// What a screen or a sheet of paper holds.
constexpr size_t kShown = 30;

// The coming month: the water is taken as warm as in the worst week anyway, and a month holds every pattern
// of days a timer has.
PlanOptions OptionsOf(const Zone& zone, Instant now) {
  PlanOptions options;
  options.zone = zone;
  options.from = Date{std::chrono::floor<std::chrono::days>(zone.ToLocal(now))};
  options.to = AddDays(options.from, 31);
  options.season = "now";
  return options;
}

struct Known {
  OutlookFacts facts;
  PlanOptions options;
};

Result<Known> KnownOf(const MapSource& source, Instant now) {
  if (!source.project) return Known{{}, OptionsOf(Zone::Utc(), now)};
  const auto info = source.project->Info();
  if (!info.ok()) return info.error();
  const auto zone = Zone::Find(info->zone);
  if (!zone.ok()) return zone.error();
  auto facts = FactsOf(*source.project);
  if (!facts.ok()) return facts.error();
  auto zones = source.project->SupplyZones();
  if (!zones.ok()) return zones.error();
  return Known{{std::move(facts->devices), std::move(facts->hand_points), *std::move(zones)},
               OptionsOf(*zone, now)};
}

// A project with layers and no network yet gets one, as lastreach map would make it.
Status MakeIfNeeded(MapSource& source) {
  if (source.network || !source.project) return Ok();
  const auto drawing = source.project->LoadDrawing();
  if (!drawing.ok()) return drawing.error();
  if (drawing->mains.empty()) return Ok();
  auto made = MakeNetwork(*source.project);
  if (!made.ok()) return made.error();
  source.network = std::move(made->network);
  return Ok();
}

Result<EndOptions> EndOptionsFor(const Options& options, const MapSource& source) {
  EndOptions ends = options.ends;
  if (!source.project) return ends;
  const auto repairs = source.project->Repairs();
  if (!repairs.ok()) return repairs.error();
  ends.gap_look_m = GapLook_m(*repairs);
  return ends;
}

Result<int> ListEnds(const Options& options, Surroundings& around) {
  auto source = OpenMapSource(options.file);
  if (!source.ok()) return source.error();
  if (const Status made = MakeIfNeeded(*source); !made.ok()) return made.error();
  if (!source->network) {
    return BadInput(
        "there is no network yet: import its mains and make it with lastreach map " + options.file,
        {options.file, {}, "", ""});
  }
  if (source->project) {
    const auto drawing = source->project->LoadDrawing();
    if (!drawing.ok()) return drawing.error();
    NameFeeders(drawing->things, *source->network);
  }
  const Network& network = *source->network;
  const auto end_options = EndOptionsFor(options, *source);
  if (!end_options.ok()) return end_options.error();
  int meetings = 0;
  std::vector<QuietPlace> places = FindQuietPlaces(network, *end_options, &meetings);
  if (source->project && HasPlaces(network)) {
    if (const Status put = source->project->PutQuietPlaces(places); !put.ok()) return put.error();
  }
  if (!options.all) {
    std::erase_if(places, [](const QuietPlace& p) { return p.kind == QuietKind::kHydrantLead; });
  }
  const auto known = KnownOf(*source, around.now);
  if (!known.ok()) return known.error();
  const size_t told = options.json || options.all ? places.size() : kShown;
  const std::vector<EndOutlook> outlooks = OutlooksOf(network, places, known->facts, known->options, told);
  const EndsFound found{network, places, outlooks, meetings};
  if (options.json) {
    around.out << EndsToJson(found) << "\n";
  } else {
    PrintEnds(found, options.detail, around.out);
  }
  return 0;
}

}  // namespace

void AddEndsCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command = app.add_subcommand("ends", "Every dead end and quiet loop, the oldest water first");
  command->footer(
      "\n"
      "For each place: the main behind it back to the first well-fed tee (m, m3), its customers (serv.: on\n"
      "it + on side branches), the days water takes from that tee to the last of them, what lies past the\n"
      "last (tail m), the device that stands there or what it can be flushed by, the lowest residual it\n"
      "holds as it is run now with its band, and the main that feeds it. The 30 with the oldest water are\n"
      "told; --json tells all.\n"
      "In a loop the place where two waters meet is told only if a customer there gets water more than\n"
      "--quiet-days old, from the source or, where none is known, from the well-fed main; or if more than\n"
      "50 m stand between the last customers of both sides and hold more than these use in a quarter of a\n"
      "day.\n"
      "A project with layers and no network gets one first. The places and their reaches become layers of\n"
      "the project. A folder of plain tables may stand for FILE.\n"
      "  lastreach ends town.gpkg\n"
      "  lastreach ends town.gpkg --detail --quiet-days 3\n"
      "  lastreach ends town-network --all --json");
  const auto options = std::make_shared<Options>();
  command->add_option("FILE", options->file, "the project, or a folder of plain tables")->required();
  command->add_flag("--all", options->all, "list all of them, hydrants' own pipes too");
  command->add_flag("--detail", options->detail, "a paragraph for each in place of a line");
  command
      ->add_option("--quiet-days", options->ends.quiet_days,
                   "age of water at a customer from which a loop is told; 5 unless said")
      ->check(CLI::PositiveNumber);
  command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->callback(
      [options, &around, &action] { action = [options, &around] { return ListEnds(*options, around); }; });
}

}  // namespace lastreach
