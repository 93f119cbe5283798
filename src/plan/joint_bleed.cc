#include "plan/joint_bleed.h"

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <algorithm>
#include <cmath>
#include <limits>

namespace lastreach {
namespace {

using Eigen::MatrixXd;
using Eigen::VectorXd;

// The constraints and their slopes, in flows measured by a scale of the problem's own.
class BleedProblem {
 public:
  BleedProblem(const TreeShape& shape, double scale) : ends_(static_cast<Eigen::Index>(shape.ends.size())) {
    const std::vector<double> beyond = shape.DemandBeyond();
    for (size_t s = 0; s < shape.stretches.size(); ++s) {
      Passed passed;
      for (size_t e = 0; e < shape.ends.size(); ++e) {
        const std::vector<size_t> way = shape.WayTo(shape.ends[e]);
        if (std::find(way.begin(), way.end(), s) != way.end()) passed.by.push_back(static_cast<int>(e));
      }
      passed.loss = shape.stretches[s].loss_per_s * shape.stretches[s].volume_m3 / scale;
      passed.demand = beyond[s] / scale;
      if (!passed.by.empty() && passed.loss > 0) passed_.push_back(std::move(passed));
    }
    for (const TreeShape::End& end : shape.ends) budget_.push_back(end.log_budget);
  }

  Eigen::Index ends() const { return ends_; }
  double Budget(Eigen::Index e) const { return budget_[static_cast<size_t>(e)]; }

  // What is lost on the way to each end.
  VectorXd Lost(const VectorXd& flow) const {
    VectorXd lost = VectorXd::Zero(ends_);
    for (const Passed& passed : passed_) {
      const double through = passed.Through(flow);
      for (const int e : passed.by) lost[e] += passed.loss / through;
    }
    return lost;
  }
  // Row e: the slope of what is lost on the way to e.
  MatrixXd Slopes(const VectorXd& flow) const {
    MatrixXd slopes = MatrixXd::Zero(ends_, ends_);
    for (const Passed& passed : passed_) {
      const double through = passed.Through(flow);
      for (const int e : passed.by) {
        for (const int f : passed.by) slopes(e, f) -= passed.loss / (through * through);
      }
    }
    return slopes;
  }
  // SUM over ends of weight x the second slopes.
  MatrixXd Curvature(const VectorXd& flow, const VectorXd& weight) const {
    MatrixXd curvature = MatrixXd::Zero(ends_, ends_);
    for (const Passed& passed : passed_) {
      const double through = passed.Through(flow);
      double weights = 0;
      for (const int e : passed.by) weights += weight[e];
      for (const int e : passed.by) {
        for (const int f : passed.by)
          curvature(e, f) += 2 * weights * passed.loss / (through * through * through);
      }
    }
    return curvature;
  }

 private:
  struct Passed {
    std::vector<int> by;  // ends whose water passes
    double loss = 0;      // k V
    double demand = 0;
    double Through(const VectorXd& flow) const {
      double through = demand;
      for (const int e : by) through += flow[e];
      return through;
    }
  };

  Eigen::Index ends_;
  std::vector<Passed> passed_;
  std::vector<double> budget_;
};

// For multipliers >= 0 and any F >= 0 that holds everywhere, convexity gives
//   SUM F >= SUM_e m_e (lost_e(G) - budget_e - slope_e(G) G) + SUM_i (1 + SUM_e m_e slope_ei(G)) F_i,
// and the last sum is 0 or more once the multipliers are small enough.
double WeakDual(const BleedProblem& problem, const VectorXd& at, VectorXd multiplier) {
  const MatrixXd slopes = problem.Slopes(at);
  const VectorXd pull = -(slopes.transpose() * multiplier);
  const double most = pull.maxCoeff();
  if (most > 1) multiplier /= most;
  const VectorXd lost = problem.Lost(at);
  double value = 0;
  for (Eigen::Index e = 0; e < problem.ends(); ++e) {
    value += multiplier[e] * (lost[e] - problem.Budget(e) - slopes.row(e).dot(at));
  }
  return std::max(0.0, value);
}

// Minus infinity outside.
double BarrierValue(const BleedProblem& problem, const VectorXd& flow, double sharpness) {
  if (flow.minCoeff() <= 0) return std::numeric_limits<double>::infinity();
  const VectorXd lost = problem.Lost(flow);
  double value = sharpness * flow.sum() - flow.array().log().sum();
  for (Eigen::Index e = 0; e < problem.ends(); ++e) {
    if (!(lost[e] < problem.Budget(e))) return std::numeric_limits<double>::infinity();
    value -= std::log(problem.Budget(e) - lost[e]);
  }
  return value;
}

// Newton to the middle of the barrier of one sharpness.
void Centre(const BleedProblem& problem, double sharpness, VectorXd& flow) {
  for (int step = 0; step < 50; ++step) {
    const VectorXd lost = problem.Lost(flow);
    const MatrixXd slopes = problem.Slopes(flow);
    VectorXd pressure(problem.ends());
    for (Eigen::Index e = 0; e < problem.ends(); ++e) pressure[e] = 1 / (problem.Budget(e) - lost[e]);
    VectorXd gradient = slopes.transpose() * pressure - flow.cwiseInverse();
    gradient.array() += sharpness;
    MatrixXd hessian = problem.Curvature(flow, pressure);
    hessian += slopes.transpose() * pressure.cwiseAbs2().asDiagonal() * slopes;
    hessian.diagonal() += flow.cwiseAbs2().cwiseInverse();
    const VectorXd move = -hessian.ldlt().solve(gradient);
    const double promised = -gradient.dot(move);
    if (!(promised > 1e-12)) return;
    const double here = BarrierValue(problem, flow, sharpness);
    double length = 1;
    while (length > 1e-12 &&
           !(BarrierValue(problem, flow + length * move, sharpness) <= here - 0.1 * length * promised)) {
      length /= 2;
    }
    if (length <= 1e-12) return;
    flow += length * move;
  }
}

// What each end would need alone, seen from below: enough if every end has it.
std::vector<double> AloneFlows(const TreeShape& shape) {
  const std::vector<double> beyond = shape.DemandBeyond();
  std::vector<double> alone;
  for (const TreeShape::End& end : shape.ends) {
    const std::vector<size_t> way = shape.WayTo(end);
    const auto lost = [&](double flow) {
      double sum = 0;
      for (const size_t s : way) {
        const double loss = shape.stretches[s].loss_per_s * shape.stretches[s].volume_m3;
        if (loss > 0) sum += loss / (flow + beyond[s]);
      }
      return sum;
    };
    double high = 1e-9;
    while (lost(high) > end.log_budget) high *= 2;
    double low = 0;
    while (high - low > 1e-12 * high) {
      const double middle = (low + high) / 2;
      if (middle <= low || middle >= high) break;
      (lost(middle) > end.log_budget ? low : high) = middle;
    }
    alone.push_back(lost(0) <= end.log_budget ? 0 : high);
  }
  return alone;
}

}  // namespace

std::optional<JointBleed> SolveJointBleed(const TreeShape& shape) {
  for (const TreeShape::End& end : shape.ends) {
    if (!(end.log_budget > 0)) return std::nullopt;
  }
  JointBleed bleed;
  const std::vector<double> alone = AloneFlows(shape);
  const double scale = *std::max_element(alone.begin(), alone.end());
  bleed.flow_m3_per_s.assign(alone.size(), 0);
  if (scale == 0) return bleed;

  const BleedProblem problem(shape, scale);
  VectorXd flow(problem.ends());
  for (Eigen::Index e = 0; e < problem.ends(); ++e)
    flow[e] = 1.1 * alone[static_cast<size_t>(e)] / scale + 0.01;
  const double sides = 2 * static_cast<double>(problem.ends());
  for (double sharpness = 1;; sharpness *= 8) {
    Centre(problem, sharpness, flow);
    VectorXd multiplier(problem.ends());
    const VectorXd lost = problem.Lost(flow);
    for (Eigen::Index e = 0; e < problem.ends(); ++e)
      multiplier[e] = 1 / (sharpness * (problem.Budget(e) - lost[e]));
    bleed.certified_m3_per_s =
        std::max(bleed.certified_m3_per_s, WeakDual(problem, flow, multiplier) * scale);
    if (sides / sharpness < 1e-9) break;
  }
  for (Eigen::Index e = 0; e < problem.ends(); ++e) {
    bleed.flow_m3_per_s[static_cast<size_t>(e)] = flow[e] * scale;
    bleed.total_m3_per_s += flow[e] * scale;
  }
  return bleed;
}

}  // namespace lastreach
