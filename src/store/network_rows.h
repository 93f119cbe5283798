#pragma once

#include <string>

#include "core/result.h"
#include "network/network.h"
#include "store/columns.h"
#include "store/database.h"
#include "store/index_of_id.h"

namespace lastreach {

// Nodes and links of a network as rows of the layers network_nodes and network_links, and back. Numbers stand
// there in SI, as the network holds them, so that they read back to the last bit. Links name their nodes.
Columns NodeColumns(const Node& node);
Result<Node> ReadNode(const Row& row);  // without its things, which are rows of node_things

// ERROR: kBadInput for a line of one point.
Result<Columns> LinkColumns(const Link& link, const std::string& from, const std::string& to);
Result<Link> ReadLink(const Row& row, const IndexOfId<NodeIndex>& nodes);

// REQUIRES: the link and, if any, the tank of the rule are in the network.
Columns RuleColumns(const LinkRule& rule, const Network& network);
Result<LinkRule> ReadRule(const Row& row, const IndexOfId<NodeIndex>& nodes,
                          const IndexOfId<LinkIndex>& links);

Columns OptionColumns(const NetworkOptions& options);
Result<NetworkOptions> ReadOptions(const Row& row);

}  // namespace lastreach
