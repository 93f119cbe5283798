#include <cmath>
#include <limits>

#include "app/device_runs.h"
#include "app/simulation_report.h"

namespace lastreach {
namespace {

Instant After(Instant begins, double hours) {
  return begins + std::chrono::seconds(static_cast<int64_t>(hours * kSecondsPerHour));
}

std::optional<Gap> GapOf(const ProjectSimulation& project, const EndNode& end, double hours) {
  if (!end.device) return {};
  return LongestGapEndingIn(project.devices[*end.device].runs, project.begins, After(project.begins, hours));
}

double HourOf(const ProjectSimulation& project, Instant at) {
  return std::chrono::duration<double, std::ratio<3600>>(at - project.begins).count();
}

}  // namespace

std::vector<MomentWanted> MomentsFor(const ProjectSimulation& project, double hours) {
  std::vector<MomentWanted> moments;
  for (const EndNode& end : project.ends) {
    const std::optional<Gap> gap = GapOf(project, end, hours);
    const double at_s = gap ? HourOf(project, gap->to) * kSecondsPerHour : -1;
    moments.push_back({Quantity::kAge, end.node, at_s});
    moments.push_back({Quantity::kChlorine, end.node, at_s});
  }
  return moments;
}

std::vector<EndOutcome> EndOutcomes(const SimulationTold& told) {
  std::vector<EndOutcome> outcomes;
  const ProjectSimulation& project = *told.project;
  const Simulated& answer = told.answer;
  for (size_t i = 0; i < project.ends.size(); ++i) {
    EndOutcome outcome;
    const EndNode& end = project.ends[i];
    if (const std::optional<Gap> gap = GapOf(project, end, told.ask.hours)) {
      outcome.at_gap_end = true;
      outcome.node = end.node;
      outcome.gap_h = gap->hours();
      outcome.hour = HourOf(project, gap->to);
      outcome.age_h = answer.moments[2 * i] / kSecondsPerHour;
      outcome.chlorine_mg_per_l = answer.moments[2 * i + 1];
    } else {
      const size_t node = At(end.last_customer);
      outcome.node = end.last_customer;
      outcome.age_h = answer.age_s.worst[node] / kSecondsPerHour;
      outcome.chlorine_mg_per_l = answer.chlorine_mg_per_l.worst[node];
      outcome.hour = answer.chlorine_mg_per_l.worst_hour[node];
    }
    outcomes.push_back(outcome);
  }
  return outcomes;
}

}  // namespace lastreach
