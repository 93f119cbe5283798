#include <algorithm>
#include <cmath>

#include "ends/fault_finder.h"

namespace lastreach {
namespace {

// Nearer than this the two lines pass over each other.
constexpr double kCrosses_m = 0.1;

}  // namespace

void FaultFinder::FindPartsWithoutSource() {
  std::vector<std::vector<LinkIndex>> links(parts_.count);
  std::vector<double> length_m(parts_.count, 0);
  for (size_t i = 0; i < network_.links.size(); ++i) {
    const Link& link = network_.links[i];
    if (IsShut(link)) continue;
    links[parts_.of_node[At(link.from)]].push_back(LinkIndex(i));
    length_m[parts_.of_node[At(link.from)]] += link.length_m.value;
  }
  std::vector<char> is_fed(parts_.count, 0);
  for (size_t i = 0; i < network_.nodes.size(); ++i) {
    if (IsFeeder(network_.nodes[i])) is_fed[parts_.of_node[i]] = 1;
  }
  if (std::find(is_fed.begin(), is_fed.end(), 1) == is_fed.end() && !length_m.empty()) {
    Add(FaultKind::kNoSource, all_, 0.5,
        "no source and no tank is on the map: which way water comes, and how old it is, is a guess",
        "import the sources and tanks, or draw one where water comes in");
    is_fed[static_cast<size_t>(std::max_element(length_m.begin(), length_m.end()) - length_m.begin())] = 1;
  }
  for (uint32_t part = 0; part < parts_.count; ++part) {
    if (is_fed[part] == 0 && !links[part].empty()) AddIsland(part, links[part], is_fed);
  }
}

void FaultFinder::AddIsland(uint32_t part, const std::vector<LinkIndex>& links,
                            const std::vector<char>& is_fed) {
  int services = 0;
  double length_m = 0;
  for (const LinkIndex link : links) {
    services += services_[At(link)];
    length_m += network_[link].length_m.value;
  }
  const std::string what =
      (services > 0 ? Counted(services, "service") + ", " : "") + Metres(length_m) + " of main";
  const auto part_of = [&](NodeIndex node) { return parts_.of_node[At(node)]; };
  const auto shut = std::find_if(network_.links.begin(), network_.links.end(), [&](const Link& link) {
    if (!IsShut(link)) return false;
    return (part_of(link.from) == part && is_fed[part_of(link.to)] != 0) ||
           (part_of(link.to) == part && is_fed[part_of(link.from)] != 0);
  });
  if (shut != network_.links.end()) {
    Fault& fault = Add(FaultKind::kShutIn, Weight(services, length_m), 1,
                       what + " lie behind the shut valve " + shut->id + " and nothing else feeds them",
                       "see whether the valve is open in the ground; then mark it open on the map");
    PutAt(fault, LinkIndex(static_cast<size_t>(shut - network_.links.begin())));
    return;
  }
  const auto gap =
      near_.NearestMainTo(links, [&](LinkIndex link) { return is_fed[part_of(network_[link].from)] != 0; });
  Fault& fault = Add(FaultKind::kIsland, Weight(services, length_m), 1, what + " have no way to a source",
                     "join them to the mains on the map, or take them off it if they are not in use");
  if (gap) {
    fault.effect =
        what + (gap->distance_m < kCrosses_m ? " lie behind a crossing that is not joined"
                                             : " lie behind a " + Metres(gap->distance_m) + " gap");
    fault.at = near_.plane().From(gap->from_at);
    for (size_t i = 0; i < records_.repairs.size(); ++i) {
      const Repair& repair = records_.repairs[i];
      const auto is_here = [&](PlanePoint place) {
        return Distance_m(near_.plane().To(repair.at), place) < 1 ||
               Distance_m(near_.plane().To(repair.other), place) < 1;
      };
      if (repair.made || repair.decision || !(is_here(gap->at) || is_here(gap->from_at))) continue;
      is_told_[i] = 1;
      fault.mend = "accept the repair " + repair.id + " if they are joined in the ground; else refuse it";
    }
    PutAt(fault, gap->link);
    fault.where.clear();
  }
  PutAt(fault, links.front());
}

}  // namespace lastreach
