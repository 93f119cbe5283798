#pragma once

#include <string>
#include <vector>

#include "ends/faults.h"
#include "ends/shortest_feed.h"
#include "map/map_index.h"
#include "network/structure.h"

namespace lastreach {

// What the searches for faults share. For faults.cc only.
class FaultFinder {
 public:
  FaultFinder(const Network& network, const MapRecords& records, const FaultOptions& options);

  void FindPartsWithoutSource();  // fault_parts.cc
  void FindDoubtfulRepairs();     // fault_repairs.cc
  void FindSetAside();
  void FindUnknownWidths();  // fault_values.cc
  void FindOddWidths();
  void FindOddLengths();
  void FindOddElevations();
  void FindServicesWithoutMain();  // fault_things.cc
  void FindThingsOffMains();
  void FindDoubledMains();
  void FindMaybeGaps();
  void FindLinesThatMayBeNoMain();  // fault_lines.cc

  std::vector<Fault> Ranked();  // and gives them up

 private:
  // Services and metres of main as one number: a service stands for 25 m.
  static double Weight(double services, double length_m);
  // Adds a fault that would make the answer for this much of the system wrong by `how_wrong`, 0 to 1.
  Fault& Add(FaultKind kind, double weight, double how_wrong, std::string effect, std::string mend);
  void PutAt(Fault& fault, LinkIndex link) const;  // place, street and feature of a link
  void AddIsland(uint32_t part, const std::vector<LinkIndex>& links, const std::vector<char>& is_fed);
  void AddRepair(const Repair& repair);
  void AddBridges(const std::vector<const Repair*>& bridges);
  void AddServiceGroup(const std::vector<size_t>& services);
  double WeightBeyond(const Repair& repair) const;
  bool RunsBeside(LinkIndex link, LinkIndex other) const;

  const Network& network_;
  const MapRecords& records_;
  const FaultOptions& options_;
  Adjacency adjacency_;
  ShortestFeed feed_;
  Parts parts_;
  MapIndex near_;
  std::vector<int> services_;  // size links
  std::vector<char> is_told_;  // size repairs: an island's fault tells it
  double all_ = 0;             // Weight of the whole system
  std::vector<Fault> faults_;
};

std::string Metres(double length_m);                       // "3.1 m", "1.2 km"
std::string Counted(int count, const std::string& thing);  // "1 service", "20 services"

}  // namespace lastreach
