#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <unordered_map>
#include <vector>

#include "network/network.h"
#include "quality/kinetics.h"
#include "quality/still_water.h"

namespace lastreach {

// Which losses are meant: the bulk is left out where its reactions are told otherwise.
enum class LossesOf { kBulkAndWall, kWall };

// How fast each link of a network takes the disinfectant, bulk and wall (kinetics.h), or while it stands, the
// wall by the time it has stood (still_water.h). Rates are those given, at the network's temperature.
class LinkLosses {
 public:
  // Link i of this object is `links[i]` of the network.
  LinkLosses(const Network& network, std::span<const uint32_t> links,
             LossesOf losses = LossesOf::kBulkAndWall);

  // The loss per second of link `link` over the next period of `seconds`, the mean if it stands (flow 0).
  // Every period must be told, in order. COST: two powers where there is a wall and the flow has changed.
  double Next_per_s(uint32_t link, double flow_m3_per_s, double seconds);

  // The share of that loss a link that stands has after `since_begin_s` of the period last told.
  double StillLossAt(uint32_t link, double since_begin_s) const;

 private:
  struct Wall {
    double length_m = 0, diameter_m = 0, wall_m_per_s = 0;
    double flow_m3_per_s = -1, rate_per_s = 0;       // worked out last
    double rested_s = 0, lost = 0, lost_before = 0;  // while it stands
    double rested_before_s = 0;
    const StillWater* still = nullptr;
  };

  const StillWater* Still(const Wall& wall);

  Kinetics kinetics_;
  std::vector<double> bulk_per_s_;
  std::vector<int32_t> wall_of_;  // -1 for none
  std::vector<Wall> walls_;
  std::unordered_map<double, std::unique_ptr<StillWater>> tables_;  // by Biot number
};

}  // namespace lastreach
