#include "app/map_source.h"

#include <algorithm>
#include <filesystem>
#include <map>

#include "network/plain_tables.h"

namespace lastreach {

Result<MapSource> OpenMapSource(const std::string& file) {
  MapSource source;
  source.file = file;
  std::error_code none;
  if (std::filesystem::is_directory(file, none)) {
    auto network = ReadNetworkFolder(file);
    if (!network.ok()) return network.error();
    source.network = *std::move(network);
    return source;
  }
  auto project = Project::Open(file);
  if (!project.ok()) return project.error();
  source.project = *std::move(project);
  auto network = source.project->LoadNetwork();
  if (!network.ok()) return network.error();
  source.network = *std::move(network);
  return source;
}

void NameFeeders(const std::vector<DrawnThing>& things, Network& network) {
  std::map<FeatureKey, std::string> names;
  for (const DrawnThing& thing : things) {
    const bool feeds = thing.kind == ThingKind::kSource || thing.kind == ThingKind::kTank;
    if (feeds && !thing.name.empty()) names[thing.key] = thing.name;
  }
  for (Node& node : network.nodes) {
    if (node.kind == NodeKind::kJunction) continue;
    for (const FeatureKey& key : node.things) {
      if (const auto name = names.find(key); name != names.end()) node.id = name->second;
    }
  }
}

bool HasPlaces(const Network& network) {
  return std::any_of(network.nodes.begin(), network.nodes.end(),
                     [](const Node& node) { return node.at.has_value(); });
}

}  // namespace lastreach
