#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>

#include "ends/fault_finder.h"

namespace lastreach {

// What is fed through the place of the repair, as the network stands.
double FaultFinder::WeightBeyond(const Repair& repair) const {
  constexpr double kSamePlace_m = 0.5;
  double weight = 1;
  for (const Position& place : {repair.at, repair.other}) {
    for (const NearMain& hit : near_.MainsWithin(near_.plane().To(place), kSamePlace_m)) {
      const Link& link = network_[hit.link];
      const NodeIndex node = hit.along_m < link.length_m.value / 2 ? link.from : link.to;
      weight = std::max(weight, Weight(feed_.services[At(node)], 0));
    }
  }
  return weight;
}

void FaultFinder::AddRepair(const Repair& repair) {
  const bool crosses = repair.kind == RepairKind::kCrossing;
  char how[64];
  std::snprintf(how, sizeof how, "%.0f %% sure", 100 * repair.confidence);
  std::string joint = std::string(ToText(repair.kind)) + (crosses ? "" : ", " + Metres(repair.gap_m));
  joint += std::string(" (") + how + (repair.why.empty() ? "" : "; " + repair.why) + ")";
  const double weight = WeightBeyond(repair);
  Fault& fault =
      repair.made
          ? Add(FaultKind::kUnsureRepair, weight, 1 - repair.confidence, "joined on weak evidence, " + joint,
                "look at the place; accept or refuse the repair " + repair.id)
          : Add(FaultKind::kOfferedRepair, weight, repair.confidence,
                "may be joined in the ground, " + joint +
                    (crosses ? ": water may go another way" : ": an end told here may be none"),
                "look at the place; accept or refuse the repair " + repair.id);
  fault.at = repair.at;
  fault.where = repair.id;
  fault.features = {repair.first, repair.second};
}

// Weighs as much as the worst of them: nobody supposes that all were joints.
void FaultFinder::AddBridges(const std::vector<const Repair*>& bridges) {
  const auto share = [this](const Repair* r) { return WeightBeyond(*r) * r->confidence; };
  const Repair* worst = *std::max_element(bridges.begin(), bridges.end(),
                                          [&](const auto* a, const auto* b) { return share(a) < share(b); });
  char least[32];
  std::snprintf(least, sizeof least, "%.0f %%", 100 * options_.bridge_below);
  const bool is_one = bridges.size() == 1;
  Fault& fault = Add(FaultKind::kBridges, WeightBeyond(*worst), worst->confidence,
                     Counted(static_cast<int>(bridges.size()), "plain crossing") + (is_one ? " is" : " are") +
                         " taken for bridges, none with a chance of " + least +
                         " to be a joint: if one is, water goes another way there",
                     "look at those you know, " + worst->id +
                         " first; lastreach map --all lists them and --accept joins one");
  fault.at = worst->at;
  fault.where = worst->id;
  for (const Repair* bridge : bridges) {
    fault.features.push_back(bridge->first);
    fault.features.push_back(bridge->second);
  }
}

void FaultFinder::FindDoubtfulRepairs() {
  std::vector<const Repair*> bridges;
  for (size_t i = 0; i < records_.repairs.size(); ++i) {
    const Repair& repair = records_.repairs[i];
    if (repair.decision || is_told_[i] != 0) continue;
    if (!repair.made && repair.kind == RepairKind::kCrossing && repair.confidence < options_.bridge_below) {
      bridges.push_back(&repair);
    } else if (!repair.made || repair.confidence < options_.unsure_below) {
      AddRepair(repair);
    }
  }
  if (!bridges.empty()) AddBridges(bridges);
}

void FaultFinder::FindSetAside() {
  std::map<std::string, std::vector<const SetAside*>> by_reason;
  for (const SetAside& line : records_.set_aside) by_reason[line.reason].push_back(&line);
  for (auto& [reason, lines] : by_reason) {
    double length_m = 0;
    for (const SetAside* line : lines) length_m += line->length_m;
    const auto longest =
        std::max_element(lines.begin(), lines.end(),
                         [](const SetAside* a, const SetAside* b) { return a->length_m < b->length_m; });
    // Of a line drawn twice the water has one already.
    const bool twice =
        reason.find("drawn twice") != std::string::npos || reason.find("drawn back") != std::string::npos;
    Fault& fault = Add(FaultKind::kSetAside, Weight(0, length_m), twice ? 0.02 : 0.5,
                       Counted(static_cast<int>(lines.size()), "line") + ", " + Metres(length_m) +
                           ", take no part: " + reason,
                       "if they carry this system's water, mend them in the layer and import it again");
    fault.at = (*longest)->at;
    fault.where = (*longest)->key.layer + " " + (*longest)->key.key;
    for (const SetAside* line : lines) fault.features.push_back(line->key);
  }
}

}  // namespace lastreach
