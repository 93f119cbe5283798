#include "store/network_reader.h"

#include "store/index_of_id.h"
#include "store/network_rows.h"

namespace lastreach {
namespace {

// Takes the rows table by table; what is named must have come before.
class NetworkReader {
 public:
  explicit NetworkReader(const NetworkOptions& options) { network_.options = options; }

  Status AddNode(const Row& row) {
    auto node = ReadNode(row);
    if (!node.ok()) return node.error();
    nodes_.Add(node->id);
    network_.nodes.push_back(std::move(*node));
    return Ok();
  }

  Status AddThing(const Row& row) {
    const auto node = nodes_.Find(row.Text("node"));
    if (!node.ok()) return node.error();
    network_[*node].things.push_back({row.Text("layer"), row.Text("feature")});
    return Ok();
  }

  Status AddLink(const Row& row) {
    auto link = ReadLink(row, nodes_);
    if (!link.ok()) return link.error();
    links_.Add(link->id);
    network_.links.push_back(std::move(*link));
    return Ok();
  }

  Status AddConnection(const Row& row) {
    const auto link = links_.Find(row.Text("link"));
    if (!link.ok()) return link.error();
    auto demand = ReadSourced(row, "demand_m3_per_s", kPlain);
    if (!demand.ok()) return demand.error();
    if (!*demand) return BadInput("a connection has no demand", {"", {}, "link", row.Text("link")});
    network_.connections.push_back({*link, row.Number("along_m"), static_cast<int>(row.Int("connections")),
                                    std::move(**demand), FeatureKey{row.Text("layer"), row.Text("feature")}});
    return Ok();
  }

  Status AddFactor(const Row& row) {
    const std::string id = row.Text("pattern");
    auto& patterns = network_.patterns;
    if (patterns.empty() || patterns.back().id != id) patterns.push_back({id, {}});
    patterns.back().factors.push_back(row.Number("factor"));
    return Ok();
  }

  Status AddRun(const Row& row) {
    const auto node = nodes_.Find(row.Text("node"));
    if (!node.ok()) return node.error();
    network_.runs.push_back({*node, row.Number("start_h"), row.Number("minutes"),
                             ReadReal(row, "flow_m3_per_s"), ReadReal(row, "orifice_m"),
                             ReadReal(row, "coefficient")});
    return Ok();
  }

  Status AddRule(const Row& row) {
    const auto rule = ReadRule(row, nodes_, links_);
    if (!rule.ok()) return rule.error();
    network_.rules.push_back(*rule);
    return Ok();
  }

  Network Take() { return std::move(network_); }

 private:
  Network network_;
  IndexOfId<NodeIndex> nodes_{"node"};
  IndexOfId<LinkIndex> links_{"link"};
};

struct Table {
  const char* sql;
  Status (NetworkReader::*add)(const Row&);
};
constexpr Table kTables[] = {
    {"SELECT * FROM network_nodes ORDER BY fid", &NetworkReader::AddNode},
    {"SELECT * FROM node_things ORDER BY id", &NetworkReader::AddThing},
    {"SELECT * FROM network_links ORDER BY fid", &NetworkReader::AddLink},
    {"SELECT * FROM connections ORDER BY id", &NetworkReader::AddConnection},
    {"SELECT * FROM network_patterns ORDER BY id", &NetworkReader::AddFactor},
    {"SELECT * FROM network_runs ORDER BY id", &NetworkReader::AddRun},
    {"SELECT * FROM network_rules ORDER BY id", &NetworkReader::AddRule},
};

}  // namespace

Result<std::optional<Network>> ReadNetwork(Database& database) {
  std::optional<NetworkOptions> options;
  Status found =
      database.Query("SELECT * FROM network_options ORDER BY id LIMIT 1", {}, [&](const Row& row) -> Status {
        const auto read = ReadOptions(row);
        if (!read.ok()) return read.error();
        options = *read;
        return Ok();
      });
  if (!found.ok()) return found.error();
  if (!options) return std::optional<Network>();
  NetworkReader reader(*options);
  for (const Table& table : kTables) {
    Status read = database.Query(table.sql, {}, [&](const Row& row) { return (reader.*table.add)(row); });
    if (!read.ok()) return read.error();
  }
  return std::optional<Network>(reader.Take());
}

}  // namespace lastreach
