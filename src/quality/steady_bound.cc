#include "quality/steady_bound.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <numeric>
#include <vector>

#include "quality/demand_cycle.h"
#include "quality/still_water.h"

namespace lastreach {
namespace {

// Segments as the sums need them, from the root to the end.
struct Stretch {
  double volume_m3;
  double loss_per_s;
  double demand_m3_per_s;  // at and beyond its downstream end
};

std::vector<Stretch> Stretches(const Branch& branch) {
  std::vector<Stretch> stretches(branch.segments.size());
  double beyond = 0;
  for (std::size_t j = branch.segments.size(); j-- > 0;) {
    beyond += branch.segments[j].tap_demand_m3_per_s;
    stretches[j] = {branch.segments[j].volume_m3(), branch.segments[j].bulk_per_s, beyond};
  }
  return stretches;
}

// The root of SUM k V / (F + D) = budget, 0 if the sum is within the budget without any F. The sum is convex
// and falls, so that from any F below the root Newton climbs to it and never beyond.
double SolveBleed(const std::vector<Stretch>& stretches, double budget) {
  // D_j is at most that of any stretch upstream, which makes each partial sum a lower estimate of F.
  double flow = 0;
  double tail = 0;
  for (std::size_t j = stretches.size(); j-- > 0;) {
    tail += stretches[j].loss_per_s * stretches[j].volume_m3;
    flow = std::max(flow, tail / budget - stretches[j].demand_m3_per_s);
  }
  for (int step = 0; step < 200; ++step) {
    double lost = 0;
    double slope = 0;
    for (const Stretch& s : stretches) {
      if (s.loss_per_s == 0) continue;
      const double transit = s.loss_per_s * s.volume_m3 / (flow + s.demand_m3_per_s);
      lost += transit;
      slope += transit / (flow + s.demand_m3_per_s);
    }
    const double rise = (lost - budget) / slope;
    if (!(rise > 1e-15 * flow)) break;
    flow += rise;
  }
  return flow;
}

double LostAtBleed(const Branch& branch, const std::vector<Stretch>& stretches, double flow,
                   const Kinetics& kinetics) {
  double lost = 0;
  for (std::size_t j = 0; j < stretches.size(); ++j) {
    const BranchSegment& s = branch.segments[j];
    const double through = flow + stretches[j].demand_m3_per_s;
    if (through <= 0) return std::numeric_limits<double>::infinity();
    const double wall = FlowingWallRate_per_s(s.length_m, s.diameter_m, through, s.wall_m_per_s, kinetics);
    lost += (s.bulk_per_s + wall) * stretches[j].volume_m3 / through;
  }
  return lost;
}

// With walls the loss at the end falls with the flow but for a jump up where a segment turns turbulent, so
// each stretch of flow between two such jumps is searched on its own, the least first.
double SolveBleedWithWalls(const Branch& branch, const std::vector<Stretch>& stretches, double budget,
                           const Kinetics& kinetics) {
  std::vector<double> jumps{0};
  for (std::size_t j = 0; j < stretches.size(); ++j) {
    const double turning =
        kLaminarReynolds * std::numbers::pi / 4 * branch.segments[j].diameter_m * kinetics.viscosity_m2_per_s;
    if (turning > stretches[j].demand_m3_per_s) jumps.push_back(turning - stretches[j].demand_m3_per_s);
  }
  std::sort(jumps.begin(), jumps.end());
  const auto lost = [&](double flow) { return LostAtBleed(branch, stretches, flow, kinetics); };
  for (std::size_t k = 0; k < jumps.size(); ++k) {
    double low = jumps[k];
    if (lost(low) <= budget) return low;
    double high = 0;
    if (k + 1 < jumps.size()) {
      high = std::nextafter(jumps[k + 1], 0.0);
      if (lost(high) > budget) continue;
    } else {
      high = std::max(2 * low, 1e-9);
      while (lost(high) > budget) high *= 2;
    }
    while (high - low > 1e-13 * high) {
      const double middle = std::midpoint(low, high);
      if (middle <= low || middle >= high) break;
      (lost(middle) > budget ? low : high) = middle;
    }
    return high;
  }
  return 0;
}

// Root of INT_0^V dy / (F + D(y)) = T for D the broken line through `corners`, by the same Newton.
double SolveBrokenLine(const std::vector<DemandCorner>& corners, double time_s) {
  double flow = 0;
  for (const DemandCorner& corner : corners) {
    flow = std::max(flow, corner.volume_m3 / time_s - corner.demand_m3_per_s);
  }
  for (int step = 0; step < 200; ++step) {
    double transit = 0;
    double slope = 0;
    for (std::size_t c = 1; c < corners.size(); ++c) {
      const double width = corners[c].volume_m3 - corners[c - 1].volume_m3;
      const double near = flow + corners[c - 1].demand_m3_per_s;
      const double far = flow + corners[c].demand_m3_per_s;
      if (width == 0) continue;
      if (near <= 0) return flow;  // cannot be: the estimate above is positive where nobody draws
      const double ratio = (far - near) / near;
      transit += width / near * (ratio > 1e-12 ? std::log1p(ratio) / ratio : 1 - ratio / 2);
      slope += width / (near * far);
    }
    const double rise = (transit - time_s) / slope;
    if (!(rise > 1e-15 * flow)) break;
    flow += rise;
  }
  return flow;
}

}  // namespace

std::optional<double> SteadyBleed_m3_per_s(const Branch& branch, double log_budget,
                                           const Kinetics& kinetics) {
  if (!(log_budget > 0)) return std::nullopt;
  const std::vector<Stretch> stretches = Stretches(branch);
  for (const BranchSegment& segment : branch.segments) {
    if (segment.wall_m_per_s > 0) return SolveBleedWithWalls(branch, stretches, log_budget, kinetics);
  }
  return SolveBleed(stretches, log_budget);
}

double UniformBleed_m3_per_s(double volume_m3, double demand_m3_per_s, double time_budget_s) {
  if (demand_m3_per_s == 0) return volume_m3 / time_budget_s;
  return demand_m3_per_s / std::expm1(demand_m3_per_s * time_budget_s / volume_m3);
}

double UniformSlug_m3(double volume_m3, double demand_m3_per_s, double time_budget_s, double period_s) {
  const double n = std::floor(time_budget_s / period_s * (1 + 1e-12));
  if (demand_m3_per_s == 0) return volume_m3 / n;
  const double x = demand_m3_per_s * period_s / volume_m3;
  const double left_over = demand_m3_per_s * std::max(0.0, time_budget_s - n * period_s) / volume_m3;
  return volume_m3 * std::exp(-left_over) * std::expm1(x) / std::expm1(n * x);
}

double LeastWallRate_per_s(const BranchSegment& segment, const Kinetics& kinetics) {
  if (segment.wall_m_per_s == 0) return 0;
  const double radius_m = segment.diameter_m / 2;
  const double slowest =
      FlowingWallRate_per_s(segment.length_m, segment.diameter_m, std::numeric_limits<double>::min(),
                            segment.wall_m_per_s, kinetics);
  const StillWater still(segment.wall_m_per_s * radius_m / kinetics.diffusivity_m2_per_s);
  const double last_mode =
      (still.LogLoss(3) - still.LogLoss(2)) * kinetics.diffusivity_m2_per_s / (radius_m * radius_m);
  return std::min(slowest, last_mode * (1 - 1e-6));
}

std::optional<EndFlowFloor> FloorOfEndFlow(const Branch& branch, double log_budget,
                                           std::span<const double> time_s,
                                           std::span<const double> demand_factor,
                                           std::span<const double> bulk_factor, const Kinetics& kinetics) {
  if (!(log_budget > 0)) return std::nullopt;
  const double least_bulk =
      bulk_factor.empty() ? 1 : *std::min_element(bulk_factor.begin(), bulk_factor.end());
  const auto [lowest, highest] = std::minmax_element(demand_factor.begin(), demand_factor.end());
  const bool steady = *lowest == *highest;

  std::vector<Stretch> stretches = Stretches(branch);
  double least_loss = std::numeric_limits<double>::infinity();
  double greatest_loss = 0;
  for (std::size_t j = 0; j < stretches.size(); ++j) {
    const double loss =
        branch.segments[j].bulk_per_s * least_bulk + LeastWallRate_per_s(branch.segments[j], kinetics);
    stretches[j].loss_per_s = loss;
    if (steady) stretches[j].demand_m3_per_s *= *lowest;
    least_loss = std::min(least_loss, loss);
    greatest_loss = std::max(greatest_loss, loss);
  }
  EndFlowFloor floor;
  if (steady) floor.verified_m3_per_s = SolveBleed(stretches, log_budget);
  if (least_loss > 0) {
    const double budget_s = log_budget / least_loss;
    std::vector<DemandCorner> profile;
    double volume = 0;
    for (std::size_t j = stretches.size(); j-- > 0;) {
      profile.push_back({volume, stretches[j].demand_m3_per_s});
      volume += stretches[j].volume_m3;
    }
    profile.push_back({volume, stretches.front().demand_m3_per_s});
    const std::vector<DemandCorner> above = ConcaveMajorant(profile);
    floor.proven_m3_per_s =
        steady ? SolveBrokenLine(above, budget_s) : FloorForCycle(above, budget_s, time_s, demand_factor);
  }
  if (floor.verified_m3_per_s) {
    floor.is_exact = *floor.verified_m3_per_s - floor.proven_m3_per_s <= 1e-9 * *floor.verified_m3_per_s;
  }
  return floor;
}

}  // namespace lastreach
