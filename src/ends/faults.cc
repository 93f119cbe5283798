#include "ends/faults.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <utility>

#include "ends/fault_finder.h"

namespace lastreach {

std::string Metres(double length_m) {
  char text[32];
  if (length_m >= 1000) {
    std::snprintf(text, sizeof text, "%.1f km", length_m / 1000);
  } else {
    std::snprintf(text, sizeof text, length_m < 10 ? "%.1f m" : "%.0f m", length_m);
  }
  return text;
}

std::string Counted(int count, const std::string& thing) {
  return std::to_string(count) + " " + thing + (count == 1 ? "" : "s");
}

double FaultFinder::Weight(double services, double length_m) {
  constexpr double kMetresAService = 25;
  return services + length_m / kMetresAService;
}

FaultFinder::FaultFinder(const Network& network, const MapRecords& records, const FaultOptions& options)
    : network_(network),
      records_(records),
      options_(options),
      adjacency_(network),
      feed_(EstimateFeed(network, adjacency_)),
      parts_(ConnectedParts(adjacency_)),
      near_(network),
      services_(network.links.size(), 0),
      is_told_(records.repairs.size(), 0) {
  for (const Connection& connection : network.connections) {
    services_[At(connection.link)] += connection.count;
    all_ += connection.count;
  }
  for (const Link& link : network.links) all_ += Weight(0, link.length_m.value);
}

Fault& FaultFinder::Add(FaultKind kind, double weight, double how_wrong, std::string effect,
                        std::string mend) {
  Fault fault;
  fault.kind = kind;
  fault.severity = all_ > 0 ? std::clamp(weight / all_ * how_wrong, 0.0, 1.0) : how_wrong;
  fault.effect = std::move(effect);
  fault.mend = std::move(mend);
  faults_.push_back(std::move(fault));
  return faults_.back();
}

void FaultFinder::PutAt(Fault& fault, LinkIndex index) const {
  const Link& link = network_[index];
  if (!fault.at && !link.line.empty()) fault.at = link.line[link.line.size() / 2];
  if (fault.where.empty()) fault.where = link.street.empty() ? "link " + link.id : link.street;
  fault.features.push_back(link.main.value_or(FeatureKey{"links", link.id}));
}

std::vector<Fault> FaultFinder::Ranked() {
  std::stable_sort(faults_.begin(), faults_.end(), [](const Fault& a, const Fault& b) {
    return std::make_pair(-a.severity, a.kind) < std::make_pair(-b.severity, b.kind);
  });
  return std::move(faults_);
}

std::vector<Fault> FindFaults(const Network& network, const MapRecords& records,
                              const FaultOptions& options) {
  FaultFinder finder(network, records, options);
  finder.FindPartsWithoutSource();
  finder.FindDoubtfulRepairs();
  finder.FindSetAside();
  finder.FindUnknownWidths();
  finder.FindOddWidths();
  finder.FindOddLengths();
  finder.FindOddElevations();
  finder.FindServicesWithoutMain();
  finder.FindThingsOffMains();
  finder.FindDoubledMains();
  finder.FindMaybeGaps();
  finder.FindLinesThatMayBeNoMain();
  return finder.Ranked();
}

std::string_view ToText(FaultKind kind) {
  switch (kind) {
    case FaultKind::kNoSource:
      return "no source";
    case FaultKind::kIsland:
      return "island";
    case FaultKind::kShutIn:
      return "shut in";
    case FaultKind::kOfferedRepair:
      return "offered repair";
    case FaultKind::kUnsureRepair:
      return "unsure repair";
    case FaultKind::kSetAside:
      return "set aside";
    case FaultKind::kUnknownWidth:
      return "unknown width";
    case FaultKind::kOddWidth:
      return "odd width";
    case FaultKind::kOddLength:
      return "odd length";
    case FaultKind::kOddElevation:
      return "odd elevation";
    case FaultKind::kNoElevation:
      return "no elevation";
    case FaultKind::kServiceWithoutMain:
      return "service without a main";
    case FaultKind::kThingOffMain:
      return "off the mains";
    case FaultKind::kDoubledMain:
      return "doubled main";
    case FaultKind::kMaybeGap:
      return "maybe a gap";
    case FaultKind::kBridges:
      return "bridges";
    case FaultKind::kMaybeNoMain:
      return "may be no main";
  }
  return "";
}

}  // namespace lastreach
