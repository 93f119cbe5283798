#include "together/speed_cautions.h"

#include "together/closing_surge.h"
#include "together/planned_together.h"
#include "together/pressure_moments.h"

namespace lastreach {

Result<std::vector<std::string>> AddSpeedCautions(const PlanningNetwork& network,
                                                  const std::vector<DeviceFacts>& facts,
                                                  std::vector<DevicePlan>& plans) {
  std::vector<DrawingPoint> points;
  std::vector<std::optional<NodeIndex>> roots;
  std::vector<TogetherDevice> devices;
  std::vector<OpenTimes> open;
  for (const PlacedDevice& placed : network.placed) {
    devices.push_back(AsPlanned(facts[placed.device], plans[placed.device]));
    points.push_back({placed.node, devices.back().flow_m3_per_s});
    roots.emplace_back(placed.root);
    open.push_back(devices.back().ways.front().week);
  }
  const auto moments = MomentsOf(network.network);
  if (!moments.ok()) return moments.error();
  const auto speeds = SpeedsOf(*moments, points, roots, open);
  if (!speeds.ok()) return speeds.error();
  for (size_t i = 0; i < devices.size(); ++i) {
    if (open[i].empty()) continue;
    for (const std::string& words : VelocityCautions(network.network, (*speeds)[i])) {
      plans[network.placed[i].device].cautions.push_back(words + ".");
    }
  }
  std::vector<std::string> closings;
  const std::vector<int> as_they_are(devices.size(), 0);
  for (const ClosingTogether& closing : ClosingsTogether(open, *speeds, as_they_are)) {
    closings.push_back(closing.Words(network.network, devices) + ".");
  }
  return closings;
}

}  // namespace lastreach
