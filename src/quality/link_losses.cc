#include "quality/link_losses.h"

#include <cmath>

namespace lastreach {
namespace {

double Fourier(double diameter_m, double seconds, const Kinetics& kinetics) {
  return kinetics.diffusivity_m2_per_s * seconds / (diameter_m * diameter_m / 4);
}

}  // namespace

LinkLosses::LinkLosses(const Network& network, std::span<const uint32_t> links, LossesOf losses) {
  const NetworkOptions& options = network.options;
  kinetics_.viscosity_m2_per_s = options.viscosity_m2_per_s;
  kinetics_.diffusivity_m2_per_s = options.diffusivity_m2_per_s;
  bulk_per_s_.assign(links.size(), 0);
  wall_of_.assign(links.size(), -1);
  for (std::size_t i = 0; i < links.size(); ++i) {
    const Link& link = network.links[links[i]];
    if (VolumeOf_m3(link) == 0) continue;
    if (losses == LossesOf::kBulkAndWall) {
      bulk_per_s_[i] = link.bulk_per_day.value_or(options.bulk_per_day) / kSecondsPerDay;
    }
    const double wall = link.wall_m_per_day.value_or(options.wall_m_per_day) / kSecondsPerDay;
    if (wall == 0) continue;
    wall_of_[i] = static_cast<int32_t>(walls_.size());
    walls_.push_back(
        {.length_m = link.length_m.value, .diameter_m = link.inner_diameter_m->value, .wall_m_per_s = wall});
  }
}

double LinkLosses::Next_per_s(uint32_t link, double flow_m3_per_s, double seconds) {
  if (wall_of_[link] < 0) return bulk_per_s_[link];
  Wall& wall = walls_[static_cast<std::size_t>(wall_of_[link])];
  if (flow_m3_per_s != 0) {
    wall.rested_s = wall.lost = 0;
    const double flow = std::abs(flow_m3_per_s);
    if (flow != wall.flow_m3_per_s) {
      wall.flow_m3_per_s = flow;
      wall.rate_per_s =
          FlowingWallRate_per_s(wall.length_m, wall.diameter_m, flow, wall.wall_m_per_s, kinetics_);
    }
    return bulk_per_s_[link] + wall.rate_per_s;
  }
  if (wall.still == nullptr) wall.still = Still(wall);
  wall.rested_before_s = wall.rested_s;
  wall.lost_before = wall.lost;
  wall.rested_s += seconds;
  wall.lost = wall.still->LogLoss(Fourier(wall.diameter_m, wall.rested_s, kinetics_));
  return bulk_per_s_[link] + (wall.lost - wall.lost_before) / seconds;
}

double LinkLosses::StillLossAt(uint32_t link, double since_begin_s) const {
  double loss = bulk_per_s_[link] * since_begin_s;
  if (wall_of_[link] < 0) return loss;
  const Wall& wall = walls_[static_cast<std::size_t>(wall_of_[link])];
  const double rested = wall.rested_before_s + since_begin_s;
  loss += wall.still->LogLoss(Fourier(wall.diameter_m, rested, kinetics_)) - wall.lost_before;
  return loss;
}

const StillWater* LinkLosses::Still(const Wall& wall) {
  const double biot = wall.wall_m_per_s * wall.diameter_m / 2 / kinetics_.diffusivity_m2_per_s;
  std::unique_ptr<StillWater>& table = tables_[biot];
  if (!table) table = std::make_unique<StillWater>(biot);
  return table.get();
}

}  // namespace lastreach
