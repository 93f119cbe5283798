#include <memory>
#include <ostream>

#include "app/flow_text.h"
#include "app/map_report.h"
#include "app/project_map.h"
#include "app/subcommands.h"

namespace lastreach {
namespace {

struct Options {
  std::string file;
  double tolerance_m = 0;
  double island_reach_m = 0;
  double losses_percent = 0;
  std::string inflow;
  Verdicts verdicts;
  bool tolerance_given = false;
  bool island_reach_given = false;
  bool losses_given = false;
  bool all = false;
  bool json = false;
};

Result<MapOptions> MapOptionsOf(const Options& options, Instant now) {
  MapOptions map;
  map.fill.reference_year = static_cast<int>(DateOf(now).year());
  if (options.tolerance_given) {
    if (!(options.tolerance_m >= 0 && options.tolerance_m <= 100)) {
      return BadRequest("--tolerance is metres, from 0 to 100");
    }
    map.join.tolerance_m = options.tolerance_m;
  }
  if (options.island_reach_given) {
    if (!(options.island_reach_m >= 0 && options.island_reach_m <= 1000)) {
      return BadRequest("--island-reach is metres, from 0 to 1000");
    }
    map.join.island_reach_m = options.island_reach_m;
  }
  if (!options.inflow.empty()) {
    const auto inflow = ParseFlow(options.inflow);
    if (!inflow.ok()) return BadRequest("--inflow: " + inflow.error().message);
    map.serve.system_inflow_m3_per_s = inflow->cubic_metres_per_second();
  }
  if (options.losses_given) {
    if (options.inflow.empty()) return BadRequest("--losses is a share of --inflow, which is not given");
    if (!(options.losses_percent >= 0 && options.losses_percent < 100)) {
      return BadRequest("--losses is percent of the inflow, from 0 to below 100");
    }
    map.serve.losses_share = options.losses_percent / 100;
  }
  return map;
}

bool Any(const Verdicts& verdicts) {
  return !verdicts.accepted.empty() || !verdicts.refused.empty() || !verdicts.locked.empty();
}

Result<int> Make(Options options, Surroundings& around) {
  const auto map = MapOptionsOf(options, around.now);
  if (!map.ok()) return map.error();
  auto project = Project::Open(options.file);
  if (!project.ok()) return project.error();
  std::optional<MapMade> made;
  // A verdict that comes with a making that fails is not kept either.
  const Status done = project->InTransaction([&]() -> Status {
    if (Any(options.verdicts)) {
      options.verdicts.when = around.now;
      if (Status recorded = RecordVerdicts(*project, options.verdicts); !recorded.ok()) return recorded;
    }
    auto making = MakeNetwork(*project, *map);
    if (!making.ok()) return making.error();
    made = std::move(*making);
    return Ok();
  });
  if (!done.ok()) return done.error();
  if (options.json) {
    around.out << MapJson(*made, options.file) << "\n";
  } else {
    around.out << MapText(*made, options.file, options.all);
  }
  return 0;
}

}  // namespace

void AddMapCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command = app.add_subcommand("map", "Makes one connected network of the layers of the project");
  command->footer(
      "\nEnds that fall short are joined by a tolerance chosen from the drawing itself and shown; the "
      "drawing "
      "is never\n"
      "changed. Each repair is listed with its place and reason. What is said of one is kept, with who and "
      "why, and\n"
      "holds at the next making and after the next import of the layers:\n"
      "  lastreach map town.gpkg\n"
      "  lastreach map town.gpkg --refuse R12 --refuse R31 --who \"J. Doe\" --because \"two pressure "
      "zones\"\n"
      "  lastreach map town.gpkg --inflow \"2.1 MGD\" --losses 12\n"
      "--accept: right as proposed, for as long as it is proposed. --refuse: never join these. --lock: join "
      "these\n"
      "whatever the tolerance.");
  const auto options = std::make_shared<Options>();
  command->add_option("FILE.gpkg", options->file, "the project")->required();
  auto* tolerance = command->add_option("--tolerance", options->tolerance_m,
                                        "metres: ends farther apart are not joined; else by the drawing");
  auto* reach = command->add_option("--island-reach", options->island_reach_m,
                                    "metres: how far off lines that nothing feeds are brought in");
  command->add_option("--inflow", options->inflow, "average put into the system, with its unit: \"2.1 MGD\"");
  auto* losses =
      command->add_option("--losses", options->losses_percent, "percent of the inflow lost from mains");
  command->add_option("--accept", options->verdicts.accepted, "a repair of the latest making, like R12");
  command->add_option("--refuse", options->verdicts.refused, "one that must not be");
  command->add_option("--lock", options->verdicts.locked, "one to make at any tolerance");
  command->add_option("--because", options->verdicts.why, "why, kept with what is said");
  command->add_option("--who", options->verdicts.who, "who says so");
  command->add_flag("--all", options->all, "list everything, however long");
  command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->callback([options, tolerance, reach, losses, &around, &action] {
    options->tolerance_given = tolerance->count() > 0;
    options->island_reach_given = reach->count() > 0;
    options->losses_given = losses->count() > 0;
    action = [options, &around] { return Make(*options, around); };
  });
}

}  // namespace lastreach
