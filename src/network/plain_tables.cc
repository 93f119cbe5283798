#include "network/plain_tables.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <set>

#include "network/plain_parts.h"

namespace lastreach {
namespace {

namespace fs = std::filesystem;

std::string In(const std::string& folder, const char* name) { return (fs::path(folder) / name).string(); }
bool IsThere(const std::string& path) { return fs::exists(path); }

// Why ReadNetworkFolder would refuse what is about to be written.
std::optional<Error> FaultOf(const Network& network, const std::vector<double>& demand_m3_per_s) {
  const auto refuse = [](const char* table, const std::string& id, const plain::CellFault& fault) {
    return BadInput(fault.message, {table, {}, fault.column, id});
  };
  if (network.nodes.empty()) return BadInput("the network has no node");
  if (const auto fault = plain::FaultOf(network.options)) return refuse("options.toml", "", *fault);
  std::set<std::string> patterns;
  for (const Pattern& pattern : network.patterns) {
    if (pattern.id.empty() || pattern.factors.empty() || !patterns.insert(pattern.id).second) {
      return refuse("patterns.csv", pattern.id,
                    {"pattern", "a pattern needs a name of its own and a factor"});
    }
    for (const double factor : pattern.factors) {
      if (!std::isfinite(factor) || factor < 0) {
        return refuse("patterns.csv", pattern.id, {"factor", "a factor cannot be negative"});
      }
    }
  }
  std::set<std::string> ids;
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    Node node = network.nodes[i];
    node.demand_m3_per_s = demand_m3_per_s[i];
    if (const auto fault = plain::FaultOf(node)) return refuse("nodes.csv", node.id, *fault);
    if (!ids.insert(node.id).second) return refuse("nodes.csv", node.id, {"id", "another node has this id"});
    if (!node.pattern.empty() && !patterns.contains(node.pattern)) {
      return refuse("nodes.csv", node.id, {"pattern", "there is no such pattern"});
    }
  }
  ids.clear();
  for (const Link& link : network.links) {
    if (const auto fault = plain::FaultOf(link, network.options.head_loss)) {
      return refuse("links.csv", link.id, *fault);
    }
    if (!ids.insert(link.id).second) return refuse("links.csv", link.id, {"id", "another link has this id"});
  }
  for (const NodeRun& run : network.runs) {
    if (const auto fault = plain::FaultOf(run)) return refuse("runs.csv", network[run.node].id, *fault);
  }
  for (const LinkRule& rule : network.rules) {
    if (const auto fault = plain::FaultOf(rule, network)) {
      return refuse("rules.csv", network[rule.link].id, *fault);
    }
  }
  return {};
}

// Whole or not at all, so that a full disk leaves the old file.
Status Write(const std::string& path, const std::string& text) {
  const std::string part = path + ".part";
  std::ofstream file(part, std::ios::binary | std::ios::trunc);
  file << text;
  file.close();
  std::error_code error;
  if (file) fs::rename(part, path, error);
  if (!file || error) return Conflict("the file cannot be written", {path, {}, "", ""});
  return Ok();
}

}  // namespace

Result<Network> ReadNetworkFolder(const std::string& folder, std::vector<std::string>* notes) {
  if (!fs::is_directory(folder)) return NotFound("there is no such folder", {folder, {}, "", ""});
  std::vector<std::string> told;
  Network network;
  if (const std::string path = In(folder, "options.toml"); IsThere(path)) {
    auto options = plain::ReadOptions(path, told);
    if (!options.ok()) return options.error();
    network.options = *options;
  }
  if (const std::string path = In(folder, "patterns.csv"); IsThere(path)) {
    auto patterns = plain::ReadPatterns(path, told);
    if (!patterns.ok()) return patterns.error();
    network.patterns = std::move(*patterns);
  }
  auto nodes = plain::ReadNodes(In(folder, "nodes.csv"), network.patterns, told);
  if (!nodes.ok()) return nodes.error();
  network.nodes = std::move(*nodes);
  plain::NodeByName by_name;
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    by_name.emplace(network.nodes[i].id, static_cast<NodeIndex>(i));
  }
  auto links = plain::ReadLinks(In(folder, "links.csv"), by_name, network.options.head_loss, told);
  if (!links.ok()) return links.error();
  network.links = std::move(*links);
  if (const std::string path = In(folder, "runs.csv"); IsThere(path)) {
    auto runs = plain::ReadRuns(path, by_name, told);
    if (!runs.ok()) return runs.error();
    network.runs = std::move(*runs);
  }
  if (const std::string path = In(folder, "rules.csv"); IsThere(path)) {
    auto rules = plain::ReadRules(path, by_name, network, told);
    if (!rules.ok()) return rules.error();
    network.rules = std::move(*rules);
  }
  if (notes != nullptr) notes->insert(notes->end(), told.begin(), told.end());
  return network;
}

std::vector<double> DemandAtNodes(const Network& network) {
  std::vector<double> demand_m3_per_s;
  for (const Node& node : network.nodes) demand_m3_per_s.push_back(node.demand_m3_per_s);
  for (const Connection& connection : network.connections) {
    const Link& link = network[connection.link];
    const double length_m = link.length_m.value;
    const double share = length_m > 0 ? std::clamp(connection.along_m / length_m, 0.0, 1.0) : 0.5;
    const double demand = connection.demand_m3_per_s.value;
    demand_m3_per_s[At(link.from)] += (1 - share) * demand;
    demand_m3_per_s[At(link.to)] += share * demand;
  }
  return demand_m3_per_s;
}

Status WriteNetworkFolder(const Network& network, const std::string& folder) {
  const std::vector<double> demand_m3_per_s = DemandAtNodes(network);
  if (const auto fault = FaultOf(network, demand_m3_per_s)) return *fault;
  std::error_code error;
  fs::create_directories(folder, error);
  if (error) return Conflict("the folder cannot be made", {folder, {}, "", ""});
  struct File {
    const char* name;
    bool needed;
    std::string text;
  };
  const File files[] = {
      {"nodes.csv", true, plain::NodesText(network, demand_m3_per_s)},
      {"links.csv", true, plain::LinksText(network)},
      {"options.toml", true, plain::OptionsText(network.options)},
      {"patterns.csv", !network.patterns.empty(), plain::PatternsText(network)},
      {"runs.csv", !network.runs.empty(), plain::RunsText(network)},
      {"rules.csv", !network.rules.empty(), plain::RulesText(network)},
  };
  for (const File& file : files) {
    const std::string path = In(folder, file.name);
    // One of an earlier network must not speak for this one.
    if (!file.needed && !IsThere(path)) continue;
    Status written = Write(path, file.text);
    if (!written.ok()) return written;
  }
  return Ok();
}

}  // namespace lastreach
