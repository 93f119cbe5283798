#include <memory>
#include <nlohmann/json.hpp>
#include <ostream>

#include "app/subcommands.h"
#include "map/plane.h"
#include "network/plain_tables.h"
#include "store/project.h"

namespace lastreach {
namespace {

struct Options {
  std::string file;
  std::string out;
  bool json = false;
};

// The tables have metres, not degrees.
void LayFlat(Network& network) {
  std::vector<Position> positions;
  for (const Node& node : network.nodes) {
    if (node.at) positions.push_back(*node.at);
  }
  if (positions.empty()) return;
  const Plane plane = Plane::Around(positions);
  for (Node& node : network.nodes) {
    if (!node.at) continue;
    const PlanePoint point = plane.To(*node.at);
    node.xy_m = {point.x_m, point.y_m};
  }
}

Result<int> WriteOut(const Options& options, Surroundings& around) {
  const auto project = Project::Open(options.file);
  if (!project.ok()) return project.error();
  auto loaded = project->LoadNetwork();
  if (!loaded.ok()) return loaded.error();
  if (!*loaded) {
    return BadInput("there is no network yet: lastreach map " + options.file, {options.file, {}, "", ""});
  }
  Network& network = **loaded;
  LayFlat(network);
  if (Status written = WriteNetworkFolder(network, options.out); !written.ok()) return written.error();
  if (options.json) {
    const nlohmann::ordered_json json = {
        {"folder", options.out}, {"nodes", network.nodes.size()}, {"links", network.links.size()}};
    around.out << json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) << "\n";
  } else {
    around.out << "Wrote " << network.nodes.size() << " nodes and " << network.links.size() << " links into "
               << options.out << "\n";
  }
  return 0;
}

}  // namespace

void AddNetworkCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command = app.add_subcommand("network", "Writes the project's network as a folder of plain tables");
  command->footer(
      "\nnodes.csv, links.csv, patterns.csv, options.toml and runs.csv, for a look or for work without a "
      "map. "
      "Customers\n"
      "along a pipe draw at its two ends there.\n"
      "  lastreach network town.gpkg --out town-network\n"
      "  lastreach import  town.gpkg town-network --as network");
  const auto options = std::make_shared<Options>();
  command->add_option("FILE.gpkg", options->file, "the project")->required();
  command->add_option("--out", options->out, "the folder to write into")->required();
  command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->callback(
      [options, &around, &action] { action = [options, &around] { return WriteOut(*options, around); }; });
}

}  // namespace lastreach
