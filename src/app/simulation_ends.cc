#include <cmath>
#include <limits>

#include "app/device_runs.h"
#include "app/simulation_report.h"

namespace lastreach {
namespace {

Instant After(Instant begins, double hours) {
  return begins + std::chrono::seconds(static_cast<int64_t>(hours * kSecondsPerHour));
}

std::vector<Gap> GapsOf(const ProjectSimulation& project, const EndNode& end, double hours) {
  if (!end.device) return {};
  return LongestGapsEndingIn(project.devices[*end.device].runs, project.begins, After(project.begins, hours));
}

double HourOf(const ProjectSimulation& project, Instant at) {
  return std::chrono::duration<double, std::ratio<3600>>(at - project.begins).count();
}

}  // namespace

std::vector<MomentWanted> MomentsFor(const ProjectSimulation& project, double hours) {
  std::vector<MomentWanted> moments;
  for (const EndNode& end : project.ends) {
    for (const Gap& gap : GapsOf(project, end, hours)) {
      const double at_s = HourOf(project, gap.to) * kSecondsPerHour;
      moments.push_back({Quantity::kAge, end.node, at_s});
      moments.push_back({Quantity::kChlorine, end.node, at_s});
    }
  }
  return moments;
}

std::vector<EndOutcome> EndOutcomes(const SimulationTold& told) {
  std::vector<EndOutcome> outcomes;
  const ProjectSimulation& project = *told.project;
  const Simulated& answer = told.answer;
  size_t moment = 0;
  for (const EndNode& end : project.ends) {
    EndOutcome outcome;
    for (const Gap& gap : GapsOf(project, end, told.ask.hours)) {
      const double age_h = answer.moments[moment++] / kSecondsPerHour;
      const double chlorine_mg_per_l = answer.moments[moment++];
      if (outcome.at_gap_end && !(chlorine_mg_per_l < outcome.chlorine_mg_per_l)) continue;
      outcome = {true, end.node, gap.hours(), HourOf(project, gap.to), age_h, chlorine_mg_per_l};
    }
    if (!outcome.at_gap_end) {
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
