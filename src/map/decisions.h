#pragma once

#include <optional>
#include <vector>

#include "map/plane.h"
#include "network/repair.h"

namespace lastreach {

// What a person said of a place, found again in a drawing that may have changed a little since: of the same
// sort (a gap or a crossing), between the same two features within 2 m, or between any two within 0.25 m
// (a layer exported anew may number its features anew). An island may be joined anywhere along the line it
// lies beside, so there 30 m count. Of several the latest counts.
class Decisions {
 public:
  Decisions(const std::vector<RepairDecision>& decisions, const Plane& plane);

  std::optional<Decision> Find(RepairKind kind, PlanePoint at, const FeatureKey& first,
                               const FeatureKey& second) const;

 private:
  struct Placed {
    RepairDecision said;
    PlanePoint at;
  };
  std::vector<Placed> placed_;  // latest first; people decide dozens, not thousands
};

}  // namespace lastreach
