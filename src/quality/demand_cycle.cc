#include "quality/demand_cycle.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "quality/packing_programme.h"

namespace lastreach {
namespace {

// INT f from the start of the first cycle, at any time: the cycle goes on for ever both ways.
class DemandIntegral {
 public:
  DemandIntegral(std::span<const double> time_s, std::span<const double> factor)
      : time_s_(time_s), factor_(factor) {
    sum_.assign(time_s.size(), 0);
    for (std::size_t i = 0; i < factor.size(); ++i)
      sum_[i + 1] = sum_[i] + factor[i] * (time_s[i + 1] - time_s[i]);
  }
  double cycle_s() const { return time_s_.back() - time_s_.front(); }

  double At(double since_start) const {
    const double cycles = std::floor(since_start / cycle_s());
    const double time = time_s_.front() + (since_start - cycles * cycle_s());
    const auto above = std::upper_bound(time_s_.begin() + 1, time_s_.end() - 1, time);
    const auto i = static_cast<std::size_t>(above - time_s_.begin()) - 1;
    return cycles * sum_.back() + sum_[i] + factor_[i] * (time - time_s_[i]);
  }

 private:
  std::span<const double> time_s_, factor_;
  std::vector<double> sum_;
};

// Times closer than this share of a cycle are the same. It moves the floor by no more than that.
constexpr double kSame = 1e-10;

// How many entry times to spread over a cycle: such that the budget is just short of a whole number of
// spacings, since a moment feels as many entries as begin within the budget before it.
std::size_t EntryCount(double budgets_per_cycle) {
  const double fewest = std::clamp(std::ceil(40 / budgets_per_cycle), 96.0, 256.0);
  double best = fewest;
  double least_waste = 2;
  for (double count = fewest; count < 1.5 * fewest; ++count) {
    const double within = count * budgets_per_cycle;
    const double waste = std::ceil(within - kSame * count) / within;
    if (waste >= least_waste - 1e-12) continue;
    least_waste = waste;
    best = count;
  }
  return static_cast<std::size_t>(best);
}

// The demands for entry times u_k, evenly over one cycle, against the flow of every moment: a packing
// problem, maximise SUM w_k gain_k with SUM_k w_k pull(k, s) <= 1 at all s. Between entries every pull grows
// with s, so that only the moments just before a demand is met, s = u_m + T, can be the greatest.
class EntryDemands {
 public:
  EntryDemands(double a, double b, double volume_m3, double budget_s, const DemandIntegral& draw,
               std::size_t count)
      : count_(count), gain_(count), pull_(count * count, 0) {
    const double spacing = draw.cycle_s() / static_cast<double>(count);
    std::vector<double> entry(count), drawn_at_entry(count);
    for (std::size_t k = 0; k < count; ++k) {
      entry[k] = static_cast<double>(k) * spacing;
      drawn_at_entry[k] = draw.At(entry[k]);
      const double drawn = draw.At(entry[k] + budget_s) - drawn_at_entry[k];
      gain_[k] = volume_m3 - a * (b > 0 ? std::expm1(b * drawn) / b : drawn);
    }
    const double drawn_in_cycle = draw.At(draw.cycle_s());
    for (std::size_t m = 0; m < count; ++m) {
      const double drawn_by = draw.At(entry[m] + budget_s);
      for (std::size_t k = 0; k < count; ++k) {
        // Entries u_k + c cycles in [u_m, u_m + T); one at u_m + T itself comes after the moment meant.
        const double first = std::ceil((entry[m] - entry[k]) / draw.cycle_s() - kSame);
        const double last = std::ceil((entry[m] + budget_s - entry[k]) / draw.cycle_s() - kSame) - 1;
        for (double c = first; c <= last; ++c) {
          pull_[m * count + k] +=
              std::exp(b * std::max(0.0, drawn_by - drawn_at_entry[k] - c * drawn_in_cycle));
        }
      }
    }
  }

  // The best floor these demands give for the flow over a cycle [m3]; with equal weights should the solver
  // fail.
  double Floor() const {
    std::vector<double> weight = PackingWeights(gain_, pull_);
    if (weight.empty()) weight.assign(count_, 1);
    return GainPerLoad(gain_, pull_, weight);
  }

 private:
  std::size_t count_;
  std::vector<double> gain_;
  std::vector<double> pull_;  // row m: moment u_m + T; column k: entry u_k
};

}  // namespace

std::vector<DemandCorner> ConcaveMajorant(std::span<const DemandCorner> corners) {
  std::vector<DemandCorner> hull;
  for (const DemandCorner& corner : corners) {
    while (hull.size() >= 2) {
      const DemandCorner& a = hull[hull.size() - 2];
      const DemandCorner& b = hull.back();
      const double turn = (b.volume_m3 - a.volume_m3) * (corner.demand_m3_per_s - a.demand_m3_per_s) -
                          (corner.volume_m3 - a.volume_m3) * (b.demand_m3_per_s - a.demand_m3_per_s);
      if (turn < 0) break;
      hull.pop_back();
    }
    hull.push_back(corner);
  }
  return hull;
}

double FloorForCycle(std::span<const DemandCorner> above, double budget_s, std::span<const double> time_s,
                     std::span<const double> demand_factor) {
  const DemandIntegral draw(time_s, demand_factor);
  const std::size_t count = EntryCount(budget_s / draw.cycle_s());
  double best = 0;
  // Each edge of the concave line, carried on both ways, lies above all of it.
  for (std::size_t c = 1; c < above.size(); ++c) {
    const double width = above[c].volume_m3 - above[c - 1].volume_m3;
    if (width <= 0) continue;
    const double b = (above[c].demand_m3_per_s - above[c - 1].demand_m3_per_s) / width;
    const double a = above[c - 1].demand_m3_per_s - b * above[c - 1].volume_m3;
    best = std::max(best, EntryDemands(a, b, above.back().volume_m3, budget_s, draw, count).Floor());
  }
  return best / draw.cycle_s();
}

}  // namespace lastreach
