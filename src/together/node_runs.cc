#include "together/node_runs.h"

#include <algorithm>

namespace lastreach {

double HoursBetween(Instant from, Instant to) {
  return std::chrono::duration<double, std::ratio<3600>>(to - from).count();
}

void AddRuns(const std::vector<Run>& runs, NodeIndex node, double flow_m3_per_s, Instant begins, double hours,
             Network& network) {
  constexpr double kMinutesPerHour = 60;
  for (const Run& run : runs) {
    const double start_h = std::max(0.0, HoursBetween(begins, run.start));
    const double end_h = std::min(hours, HoursBetween(begins, run.end()));
    if (!(end_h > start_h)) continue;
    NodeRun drawn;
    drawn.node = node;
    drawn.start_hour = start_h;
    drawn.minutes = (end_h - start_h) * kMinutesPerHour;
    drawn.flow_m3_per_s = flow_m3_per_s;
    network.runs.push_back(drawn);
  }
}

}  // namespace lastreach
