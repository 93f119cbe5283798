#include "map/decisions.h"

#include <algorithm>

namespace lastreach {
namespace {

constexpr double kSameFeatures_m = 2;
constexpr double kAnyFeatures_m = 0.25;
constexpr double kIsland_m = 30;

bool OneSort(RepairKind a, RepairKind b) {
  return (a == RepairKind::kCrossing) == (b == RepairKind::kCrossing);
}

bool SamePair(const RepairDecision& said, const FeatureKey& first, const FeatureKey& second) {
  return (said.first == first && said.second == second) || (said.first == second && said.second == first);
}

}  // namespace

Decisions::Decisions(const std::vector<RepairDecision>& decisions, const Plane& plane) {
  for (auto said = decisions.rbegin(); said != decisions.rend(); ++said) {
    placed_.push_back({*said, plane.To(said->at)});
  }
  std::stable_sort(placed_.begin(), placed_.end(),
                   [](const Placed& a, const Placed& b) { return a.said.when > b.said.when; });
}

std::optional<Decision> Decisions::Find(RepairKind kind, PlanePoint at, const FeatureKey& first,
                                        const FeatureKey& second) const {
  for (const Placed& placed : placed_) {
    if (!OneSort(placed.said.kind, kind)) continue;
    const bool island = kind == RepairKind::kIsland || placed.said.kind == RepairKind::kIsland;
    const double within_m = !SamePair(placed.said, first, second) ? kAnyFeatures_m
                            : island                              ? kIsland_m
                                                                  : kSameFeatures_m;
    if (Distance_m(placed.at, at) <= within_m) return placed.said.decision;
  }
  return std::nullopt;
}

}  // namespace lastreach
