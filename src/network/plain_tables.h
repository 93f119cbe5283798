#pragma once

#include <string>
#include <vector>

#include "core/result.h"
#include "network/network.h"

namespace lastreach {

// A network as a folder of plain tables, for people and tests without a map: nodes.csv, links.csv and, where
// needed, patterns.csv, options.toml, runs.csv and rules.csv, as docs/formats/network-tables.md has them.
//
// What was read has the origin "typed". A column or option that is none of the format's, and a value its row
// has no use for, are not read; `notes`, where given, gets a sentence for each. ERROR: kNotFound if there is
// no folder or one of the two needed tables is missing; else kBadInput with file, line, column and value: the
// first fault met. Nothing is guessed and no row is passed over. COST: one pass; 100,000 links in about a
// second.
Result<Network> ReadNetworkFolder(const std::string& folder, std::vector<std::string>* notes = nullptr);

// Writes such a folder, made if it is not there. Rows keep the network's order; columns that no row uses are
// left out, but for the ones every table has. Numbers have the fewest digits that read back equal. What the
// tables have no column for is not written: drawn lines, materials, streets, zones, things on the map,
// origins. Customers along a link draw at its two ends: of a demand at share s of the way, 1 - s at `from`
// and s at `to`.
//
// Promise: for a network without those, ReadNetworkFolder gives back what was written, number for number.
// ERROR: kBadInput if the network holds what ReadNetworkFolder would refuse; then nothing is written.
// kConflict if a file cannot be written.
Status WriteNetworkFolder(const Network& network, const std::string& folder);

// As WriteNetworkFolder spreads it: the demand of each node with its share of the customers along its links
// [m3/s]; size nodes.size().
std::vector<double> DemandAtNodes(const Network& network);

}  // namespace lastreach
