#include "map/zones.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

namespace lastreach {
namespace {

struct Box {
  double west = std::numeric_limits<double>::infinity();
  double south = west;
  double east = -west;
  double north = -west;

  bool Holds(Position at) const {
    return at.longitude_deg >= west && at.longitude_deg <= east && at.latitude_deg >= south &&
           at.latitude_deg <= north;
  }
};

Box BoxOf(const DrawnArea& area) {
  Box box;
  for (const auto& polygon : area.polygons) {
    for (const auto& ring : polygon) {
      for (const Position at : ring) {
        box.west = std::min(box.west, at.longitude_deg);
        box.east = std::max(box.east, at.longitude_deg);
        box.south = std::min(box.south, at.latitude_deg);
        box.north = std::max(box.north, at.latitude_deg);
      }
    }
  }
  return box;
}

// Whether a ray east from the place crosses the ring an odd number of times.
bool CrossesOddly(const std::vector<Position>& ring, Position at) {
  bool odd = false;
  for (size_t i = 0, last = ring.size() - 1; i < ring.size(); last = i++) {
    const Position a = ring[i];
    const Position b = ring[last];
    if ((a.latitude_deg > at.latitude_deg) == (b.latitude_deg > at.latitude_deg)) continue;
    const double share = (at.latitude_deg - a.latitude_deg) / (b.latitude_deg - a.latitude_deg);
    if (at.longitude_deg < a.longitude_deg + share * (b.longitude_deg - a.longitude_deg)) odd = !odd;
  }
  return odd;
}

// In degrees of latitude: only ratios along one line are used.
double RoughDistance(Position a, Position b) {
  const double shrink = std::cos(a.latitude_deg * std::acos(-1.0) / 180);
  return std::hypot((a.longitude_deg - b.longitude_deg) * shrink, a.latitude_deg - b.latitude_deg);
}

Position MiddleOf(const std::vector<Position>& line) {
  double whole = 0;
  for (size_t i = 1; i < line.size(); ++i) whole += RoughDistance(line[i - 1], line[i]);
  double left = whole / 2;
  for (size_t i = 1; i < line.size(); ++i) {
    const double step = RoughDistance(line[i - 1], line[i]);
    if (step >= left && step > 0) {
      const double share = left / step;
      return {line[i - 1].longitude_deg + share * (line[i].longitude_deg - line[i - 1].longitude_deg),
              line[i - 1].latitude_deg + share * (line[i].latitude_deg - line[i - 1].latitude_deg)};
    }
    left -= step;
  }
  return line.back();
}

}  // namespace

bool IsIn(const DrawnArea& area, Position at) {
  for (const auto& polygon : area.polygons) {
    bool in = false;
    // Holes are rings too: a place in one is crossed once more.
    for (const auto& ring : polygon) {
      if (!ring.empty() && CrossesOddly(ring, at)) in = !in;
    }
    if (in) return true;
  }
  return false;
}

ZoneSummary GiveZones(Network& network, const std::vector<DrawnArea>& areas) {
  std::vector<Box> boxes;
  for (const DrawnArea& area : areas) boxes.push_back(BoxOf(area));
  const auto zone_at = [&](Position at) -> std::string {
    for (size_t i = 0; i < areas.size(); ++i) {
      if (boxes[i].Holds(at) && IsIn(areas[i], at)) return areas[i].name;
    }
    return {};
  };
  ZoneSummary summary;
  for (Link& link : network.links) {
    if (!link.zone.empty()) continue;
    if (!link.line.empty()) {
      link.zone = zone_at(MiddleOf(link.line));
    } else if (network[link.from].at) {
      link.zone = zone_at(*network[link.from].at);
    }
    ++(link.zone.empty() ? summary.links_without : summary.links_given);
  }
  // Of each node, the zone all its links have; "" for none yet, nothing where they differ.
  std::vector<std::optional<std::string>> agreed(network.nodes.size(), std::string());
  for (const Link& link : network.links) {
    if (link.zone.empty()) continue;
    for (const NodeIndex node : {link.from, link.to}) {
      auto& zone = agreed[At(node)];
      if (!zone) continue;
      if (zone->empty()) {
        zone = link.zone;
      } else if (*zone != link.zone) {
        zone.reset();
      }
    }
  }
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    Node& node = network.nodes[i];
    if (!node.zone.empty()) continue;
    if (node.at) node.zone = zone_at(*node.at);
    if (node.zone.empty() && agreed[i]) node.zone = *agreed[i];
    ++(node.zone.empty() ? summary.nodes_without : summary.nodes_given);
  }
  return summary;
}

}  // namespace lastreach
