#include "app/map_source.h"

#include <algorithm>
#include <filesystem>

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

bool HasPlaces(const Network& network) {
  return std::any_of(network.nodes.begin(), network.nodes.end(),
                     [](const Node& node) { return node.at.has_value(); });
}

}  // namespace lastreach
