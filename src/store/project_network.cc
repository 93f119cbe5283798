// The network: nodes and links as layers, and what goes with them as tables.
#include "store/contents.h"
#include "store/network_reader.h"
#include "store/network_rows.h"
#include "store/project_impl.h"

namespace lastreach {
namespace {

constexpr const char* kLayers[] = {"network_nodes", "network_links", "quiet_places", "quiet_reaches"};
// A table that names rows of another comes before it.
constexpr const char* kTables[] = {"node_things",      "connections",          "network_options",
                                   "network_patterns", "network_runs",         "network_rules",
                                   "quiet_pieces",     "network_result_steps", "network_results"};

Status Clear(Database& database) {
  for (const char* table : kLayers) {
    if (Status cleared = database.Run(std::string("DELETE FROM ") + table); !cleared.ok()) return cleared;
  }
  for (const char* table : kTables) {
    if (Status cleared = database.Run(std::string("DELETE FROM ") + table); !cleared.ok()) return cleared;
  }
  return Ok();
}

Status NoteAll(Database& database) {
  for (const char* layer : kLayers) {
    if (Status noted = NoteLayerChange(database, layer); !noted.ok()) return noted;
  }
  for (const char* table : kTables) {
    if (Status noted = NoteChange(database, table); !noted.ok()) return noted;
  }
  return Ok();
}

Status InsertRow(Database& database, const std::string& table, const Columns& columns) {
  const auto added = database.Insert(table, columns);
  return added.ok() ? Ok() : Status(added.error());
}

Status RequireNode(const Network& network, NodeIndex node, const std::string& of, const std::string& id) {
  if (At(node) < network.nodes.size()) return Ok();
  return BadInput("it ends at a node that is not in the network", {"", {}, of, id});
}

Status PutNodes(Database& database, const Network& network) {
  for (const Node& node : network.nodes) {
    if (Status put = InsertRow(database, "network_nodes", NodeColumns(node)); !put.ok()) return put;
    for (const FeatureKey& thing : node.things) {
      Status put = InsertRow(database, "node_things",
                             {{"node", node.id}, {"layer", thing.layer}, {"feature", thing.key}});
      if (!put.ok()) return put;
    }
  }
  return Ok();
}

Status PutLinks(Database& database, const Network& network) {
  for (const Link& link : network.links) {
    for (const NodeIndex node : {link.from, link.to}) {
      if (Status known = RequireNode(network, node, "link", link.id); !known.ok()) return known;
    }
    const auto columns = LinkColumns(link, network[link.from].id, network[link.to].id);
    if (!columns.ok()) return columns.error();
    if (Status put = InsertRow(database, "network_links", *columns); !put.ok()) return put;
  }
  return Ok();
}

Status PutConnections(Database& database, const Network& network) {
  for (const Connection& connection : network.connections) {
    if (At(connection.link) >= network.links.size()) {
      return BadInput("a connection draws from a link that is not in the network",
                      {connection.service.layer, {}, "feature", connection.service.key});
    }
    Columns columns = {
        {"link", network[connection.link].id},      {"along_m", connection.along_m},
        {"connections", int64_t{connection.count}}, {"layer", connection.service.layer},
        {"feature", connection.service.key},        {"demand_m3_per_s", connection.demand_m3_per_s.value}};
    AddOrigin(columns, "demand_m3_per_s", &connection.demand_m3_per_s.origin);
    if (Status put = InsertRow(database, "connections", columns); !put.ok()) return put;
  }
  return Ok();
}

Status PutPatterns(Database& database, const Network& network) {
  for (const Pattern& pattern : network.patterns) {
    if (pattern.factors.empty()) {
      return BadInput("a pattern needs a factor", {"", {}, "pattern", pattern.id});
    }
    for (size_t hour = 0; hour < pattern.factors.size(); ++hour) {
      Status put = InsertRow(
          database, "network_patterns",
          {{"pattern", pattern.id}, {"hour", static_cast<int64_t>(hour)}, {"factor", pattern.factors[hour]}});
      if (!put.ok()) return put;
    }
  }
  return Ok();
}

Status PutRuns(Database& database, const Network& network) {
  for (const NodeRun& run : network.runs) {
    Status known = RequireNode(network, run.node, "run from hour", std::to_string(run.start_hour));
    if (!known.ok()) return known;
    Status put = InsertRow(database, "network_runs",
                           {{"node", network[run.node].id},
                            {"start_h", run.start_hour},
                            {"minutes", run.minutes},
                            {"flow_m3_per_s", RealValue(run.flow_m3_per_s)},
                            {"orifice_m", RealValue(run.orifice_m)},
                            {"coefficient", RealValue(run.coefficient)}});
    if (!put.ok()) return put;
  }
  return Ok();
}

Status PutRules(Database& database, const Network& network) {
  for (size_t i = 0; i < network.rules.size(); ++i) {
    const LinkRule& rule = network.rules[i];
    if (At(rule.link) >= network.links.size() || (rule.tank && At(*rule.tank) >= network.nodes.size())) {
      return BadInput("a rule has a link or a tank that is not in the network",
                      {"", {}, "rule", std::to_string(i + 1)});
    }
    Status put = InsertRow(database, "network_rules", RuleColumns(rule, network));
    if (!put.ok()) return put;
  }
  return Ok();
}

Status PutOptions(Database& database, const NetworkOptions& options, const std::string& made_from) {
  Columns columns = OptionColumns(options);
  columns.emplace_back("made_from", made_from);
  return InsertRow(database, "network_options", columns);
}

}  // namespace

Status Project::PutNetwork(const Network& network, const std::string& made_from) {
  return InTransaction([&]() -> Status {
    Database& database = *impl_->database;
    if (Status cleared = Clear(database); !cleared.ok()) return cleared;
    if (Status put = PutOptions(database, network.options, made_from); !put.ok()) return put;
    for (const auto part : {PutNodes, PutLinks, PutConnections, PutPatterns, PutRuns, PutRules}) {
      if (Status put = part(database, network); !put.ok()) return put;
    }
    return NoteAll(database);
  });
}

Result<std::optional<Network>> Project::LoadNetwork() const {
  auto network = ReadNetwork(*impl_->database);
  if (network.ok() || !network.error().place.file.empty()) return network;
  Error error = network.error();
  error.place.file = path();
  return error;
}

Result<std::string> Project::NetworkMadeFrom() const {
  const auto found =
      impl_->List<std::string>("SELECT made_from FROM network_options ORDER BY id LIMIT 1", {},
                               [](const Row& row) -> Result<std::string> { return row.Text("made_from"); });
  if (!found.ok()) return found.error();
  return found->empty() ? std::string() : found->front();
}

}  // namespace lastreach
