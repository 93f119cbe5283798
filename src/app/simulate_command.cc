#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <memory>
#include <numeric>
#include <ostream>

#include "app/keep_results.h"
#include "app/map_source.h"
#include "app/simulation_pictures.h"
#include "app/simulation_report.h"
#include "app/subcommands.h"

namespace lastreach {
namespace {

struct Options {
  std::string file;
  double hours = 24;
  double step_minutes = 60;
  std::string track = "age";
  std::vector<std::string> at;
  std::string source;
  std::string from_date;
  std::string pictures;
  bool keep = false;
  bool json = false;
};

std::string Number(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%g", value);
  return text;
}

Status CheckNumbers(const Options& options) {
  constexpr double kMostHours = 10 * 366 * 24;
  if (!(options.hours > 0 && options.hours <= kMostHours)) {
    return BadRequest("--hours " + Number(options.hours) + " is not above 0 and up to ten years");
  }
  if (!(options.step_minutes > 0)) {
    return BadRequest("--step-minutes " + Number(options.step_minutes) + " is not above 0");
  }
  const double steps = options.hours * 60 / options.step_minutes;
  constexpr double kWhole = 1e-9;
  if (steps < 1 - kWhole || std::abs(steps - std::round(steps)) > kWhole * steps) {
    return BadRequest("--hours " + Number(options.hours) + " is no whole number of steps of " +
                      Number(options.step_minutes) + " minutes");
  }
  return Ok();
}

Result<Quantity> TrackOf(const std::string& word) {
  for (const Quantity quantity :
       {Quantity::kAge, Quantity::kChlorine, Quantity::kSourceShare, Quantity::kThm}) {
    if (word == WordOf(quantity)) return quantity;
  }
  return BadRequest("--track " + word + ": age, chlorine, source or thm");
}

struct SourceChosen {
  NodeIndex node{};
  std::string note;
};

Result<SourceChosen> SourceOf(const Network& network, const std::string& name) {
  std::vector<NodeIndex> sources;
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    const Node& node = network.nodes[i];
    if (node.kind == NodeKind::kJunction) {
      if (!name.empty() && node.id == name) return BadRequest("--from " + name + " is a junction, no source");
      continue;
    }
    if (!name.empty() && node.id == name) return SourceChosen{NodeIndex(i), "asked for"};
    if (node.kind == NodeKind::kSource) sources.push_back(NodeIndex(i));
  }
  if (!name.empty()) return BadRequest("--from " + name + ": the network has no such source");
  if (sources.empty()) return BadRequest("--track source: the network has no source");
  if (sources.size() == 1) return SourceChosen{sources.front(), "the only source"};
  return SourceChosen{sources.front(),
                      "the first of " + std::to_string(sources.size()) + " sources, as --from names none"};
}

// Nodes by their ids, and ends of a project by theirs.
Result<std::vector<NodeIndex>> NodesAt(const Network& network, const ProjectSimulation* project,
                                       const std::vector<std::string>& names) {
  std::map<std::string, NodeIndex> nodes;
  for (size_t i = 0; i < network.nodes.size(); ++i) nodes.try_emplace(network.nodes[i].id, NodeIndex(i));
  if (project != nullptr) {
    for (const EndNode& end : project->ends) nodes.try_emplace(end.place.id, end.node);
  }
  std::vector<NodeIndex> at;
  for (const std::string& name : names) {
    const auto found = nodes.find(name);
    if (found == nodes.end()) {
      return BadRequest("--at " + name + ": the network has no such node" +
                        (project != nullptr ? " or end" : ""));
    }
    at.push_back(found->second);
  }
  return at;
}

// What is asked of the simulation, and the names of the nodes whose series are told.
Status Ask(const Options& options, const Network& network, const ProjectSimulation* project, Quantity track,
           SimulationAsk& ask, std::vector<std::string>& names) {
  if (track == Quantity::kThm && !network.options.two_reactants) {
    return BadRequest("--track thm: THM is told where options.toml has [chlorine.two_reactants]");
  }
  ask.hours = options.hours;
  ask.step_s = options.step_minutes * 60;
  ask.age = project != nullptr || track == Quantity::kAge;
  ask.chlorine = project != nullptr || track == Quantity::kChlorine || track == Quantity::kThm;
  ask.thm = track == Quantity::kThm;
  names = options.at;
  const auto at = NodesAt(network, project, names);
  if (!at.ok()) return at.error();
  SeriesWanted wanted{track, *at};
  if (names.empty() && options.json) {
    for (size_t i = 0; i < network.nodes.size(); ++i) {
      names.push_back(network.nodes[i].id);
      wanted.nodes.push_back(NodeIndex(i));
    }
  }
  ask.series.push_back(std::move(wanted));
  if (project == nullptr) return Ok();
  ask.moments = MomentsFor(*project, options.hours);
  ask.warm_week = &project->warm_week;
  if (options.keep) {
    ask.kept_nodes = project->map_nodes;
    ask.kept_links = project->map_links;
  }
  if (!options.pictures.empty()) ask.series.push_back(SeriesOfEnds(*project));
  return Ok();
}

Status CheckFolderOptions(const Options& options, const MapSource& source) {
  if (source.project) return Ok();
  if (!options.from_date.empty()) return BadRequest("--from-date is for a project: a folder has no dates");
  if (options.keep) return BadRequest("--keep is for a project: a folder of tables keeps no results");
  return Ok();
}

Result<int> RunSimulate(const Options& options, Surroundings& around) {
  if (Status numbers = CheckNumbers(options); !numbers.ok()) return numbers.error();
  const auto track = TrackOf(options.track);
  if (!track.ok()) return track.error();
  std::optional<Date> from;
  if (!options.from_date.empty()) {
    const auto date = ParseDate(options.from_date);
    if (!date.ok()) return BadRequest("--from-date: " + date.error().ToString());
    from = *date;
  }
  auto source = OpenMapSource(options.file);
  if (!source.ok()) return source.error();
  if (Status folder = CheckFolderOptions(options, *source); !folder.ok()) return folder.error();
  std::optional<ProjectSimulation> project;
  if (source->project) {
    PrepareOptions wanted;
    wanted.from = from;
    wanted.hours = options.hours;
    wanted.now = around.now;
    auto prepared = PrepareProject(*source, wanted);
    if (!prepared.ok()) return prepared.error();
    project = *std::move(prepared);
  }
  const ProjectSimulation* prepared = project ? &*project : nullptr;
  const Network& network = project ? project->network : *source->network;

  SimulationAsk ask;
  std::vector<std::string> names;
  std::string source_note;
  if (*track == Quantity::kSourceShare || !options.source.empty()) {
    if (*track != Quantity::kSourceShare) return BadRequest("--from goes with --track source");
    const auto chosen = SourceOf(network, options.source);
    if (!chosen.ok()) return chosen.error();
    ask.source = chosen->node;
    source_note = chosen->note;
  }
  if (Status asked = Ask(options, network, prepared, *track, ask, names); !asked.ok()) return asked.error();
  const auto answer = Simulate(network, ask);
  if (!answer.ok()) return answer.error();
  const SimulationTold told{network, ask, *answer, prepared, *track, names, source_note};
  if (options.keep) {
    const Status kept = KeepResults(*source->project, *project, ask, *answer, source_note, around.now);
    if (!kept.ok()) return kept.error();
  }
  if (!options.pictures.empty()) {
    const Status drawn = DrawPictures(told, options.pictures, around.now);
    if (!drawn.ok()) return drawn.error();
  }
  if (options.json) {
    around.out << SimulationToJson(told) << "\n";
  } else {
    PrintSimulation(told, around.out);
  }
  return answer->flows.IsUsable() && answer->flows.not_fed.empty() ? 0 : 1;
}

}  // namespace

void AddSimulateCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command = app.add_subcommand("simulate", "Flows, age, residual and origin of the water through time");
  command->footer(
      "\n"
      "A folder of plain tables begins at hour 0 with water of age 0 that carries nothing; its runs.csv and\n"
      "patterns.csv say what happens. Of a project the network of the map is cut wherever customers draw,\n"
      "households draw by the hour, devices run by their latest settings, the water is as warm as in the\n"
      "worst week, and it is warmed up through the week before until the start no longer matters. What\n"
      "nobody measured is listed with its origin.\n"
      "Ends are told at the end of the longest stretch without a run, where a device runs; else at their "
      "last\n"
      "customer in the worst hour.\n"
      "Exit code 1 if flows do not converge or part of the network is not fed.\n"
      "  lastreach simulate town-network --hours 72 --track chlorine --at A,End\n"
      "  lastreach simulate town.gpkg --hours 336 --from-date 2027-07-05 --pictures maps --keep");
  const auto options = std::make_shared<Options>();
  command->add_option("FILE", options->file, "a folder of plain tables, or a project")->required();
  command->add_option("--hours", options->hours, "how long, from hour 0")->capture_default_str();
  command->add_option("--step-minutes", options->step_minutes, "between the times told")
      ->capture_default_str();
  command
      ->add_option(
          "--track", options->track,
          "age (h), chlorine (mg/L), source (% of one source's water), or thm (ug/L, beside two reactants)")
      ->capture_default_str();
  command->add_option("--at", options->at, "only these nodes (or ends of a project), with commas between")
      ->delimiter(',');
  command->add_option("--from", options->source,
                      "the source whose water --track source tells; else the first");
  command->add_option("--from-date", options->from_date, "first day, of a project; today unless said");
  command->add_option("--pictures", options->pictures,
                      "writes maps, and a chart of six ends, into this folder");
  command->add_flag("--keep", options->keep,
                    "keeps every step in the project, in place of those kept before");
  command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->callback(
      [options, &around, &action] { action = [options, &around] { return RunSimulate(*options, around); }; });
}

}  // namespace lastreach
