#include "hydraulics/core_solve.h"

#include <Eigen/Dense>
#include <algorithm>
#include <chrono>
#include <cmath>

#include "hydraulics/core_matrix.h"
#include "hydraulics/valve_states.h"

namespace lastreach {
namespace {

constexpr int kMaxPushes = 60;
// While valves hold heads, a state that wants the impossible shows itself soon.
constexpr int kMaxPushesHolding = 12;
constexpr int kMostChords = 7;
constexpr int kMaxStepsOfOneState = 60;
constexpr double kPushTolerance_m3_per_s = 1e-12;
// A link that holds a head has this slope in the matrix, so that its two ends stay joined there; the border
// takes it out again.
constexpr double kHoldingSlope_s_per_m2 = 1;
// Heads of 1,000 m have a last digit of 1e-13 m; nothing finer can be asked of their differences.
constexpr double kRounding_m = 1e-12;
constexpr size_t kMostNamed = 5;

class Stopwatch {
 public:
  explicit Stopwatch(double& sum_s) : sum_s_(sum_s), start_(std::chrono::steady_clock::now()) {}
  ~Stopwatch() { sum_s_ += std::chrono::duration<double>(std::chrono::steady_clock::now() - start_).count(); }
  Stopwatch(const Stopwatch&) = delete;
  Stopwatch& operator=(const Stopwatch&) = delete;

 private:
  double& sum_s_;
  std::chrono::steady_clock::time_point start_;
};

std::vector<std::pair<uint32_t, uint32_t>> EndsOf(const Core& core) {
  std::vector<std::pair<uint32_t, uint32_t>> ends;
  for (const CoreLink& link : core.links) ends.emplace_back(link.from, link.to);
  return ends;
}

class CoreSolver {
 public:
  CoreSolver(Core& core, const CoreOptions& options, CoreOutcome& outcome)
      : core_(core),
        options_(options),
        outcome_(outcome),
        matrix_(core.unknowns, EndsOf(core)),
        guess_m3_per_s_(core.flow_m3_per_s),
        loss_m_(core.links.size()),
        slope_(core.links.size()),
        conductance_(core.links.size()),
        step_(core.links.size()),
        head_step_(core.head_m.size()) {}

  void Run();

 private:
  bool SettleFlows();
  bool Newton();
  bool IsSolved() const;
  void EvaluateLaws(double share);
  double SlopeOfContent() const;
  double ShareOfStep(double slope_at_start);
  void NetInflow(std::vector<double>& inflow) const;
  bool ComputeStep();
  double SlopeForStep(size_t i) const;
  void SolveLinear();
  void AddBorder();
  void ForgetRounding(const Eigen::MatrixXd& answer, Eigen::MatrixXd& border) const;
  void BalanceMass();
  bool MovePushesOnce();
  void NameWorst();
  void BeginAnew();
  double Residual(size_t i) const {
    if (holds_[i]) return 0;
    return core_.head_m[core_.links[i].from] - core_.head_m[core_.links[i].to] - loss_m_[i];
  }

  Core& core_;
  const CoreOptions& options_;
  CoreOutcome& outcome_;
  CoreMatrix matrix_;
  std::vector<double> guess_m3_per_s_;  // the flows at first
  std::vector<double> loss_m_;
  std::vector<double> slope_;
  std::vector<double> conductance_;
  std::vector<double> step_;       // of flows
  std::vector<double> head_step_;  // size all nodes; 0 where fixed
  std::vector<double> right_;      // size unknowns
  std::vector<char> holds_;        // size links
  std::vector<const CoreValve*> holding_;
  bool balanced_ = false;
  bool uses_chords_ = false;
};

void CoreSolver::EvaluateLaws(double share) {
  const Stopwatch watch(outcome_.laws_s);
  for (size_t i = 0; i < core_.links.size(); ++i) {
    if (holds_[i]) continue;
    const LossAndSlope loss = LossOf(core_.links[i].law, core_.flow_m3_per_s[i] + share * step_[i]);
    loss_m_[i] = loss.head_m;
    slope_[i] = loss.slope_s_per_m2;
  }
}

// Along the step, with the heads it leads to: their part is the same for any heads, as the step keeps mass.
double CoreSolver::SlopeOfContent() const {
  double slope = 0;
  for (size_t i = 0; i < step_.size(); ++i) slope -= step_[i] * Residual(i);
  return slope;
}

void CoreSolver::NetInflow(std::vector<double>& inflow) const {
  inflow.assign(core_.unknowns, 0);
  for (size_t i = 0; i < core_.unknowns; ++i) inflow[i] = -core_.demand_m3_per_s[i];
  for (size_t i = 0; i < core_.links.size(); ++i) {
    const CoreLink& link = core_.links[i];
    const double flow = core_.flow_m3_per_s[i];
    if (link.from < core_.unknowns) inflow[link.from] -= flow;
    if (link.to < core_.unknowns) inflow[link.to] += flow;
  }
}

// Newton's slope brings a flow that goes to nothing only halfway there at each step. Once heads mean
// something, the chord to the flow that they would drive by themselves brings it all the way.
double CoreSolver::SlopeForStep(size_t i) const {
  if (holds_[i]) return kHoldingSlope_s_per_m2;
  if (!uses_chords_) return slope_[i];
  const CoreLink& link = core_.links[i];
  const double drive_m = core_.head_m[link.from] - core_.head_m[link.to];
  return ChordOf(link.law, core_.flow_m3_per_s[i], {loss_m_[i], slope_[i]}, drive_m);
}

bool CoreSolver::ComputeStep() {
  NetInflow(right_);
  for (size_t i = 0; i < core_.links.size(); ++i) {
    const CoreLink& link = core_.links[i];
    conductance_[i] = 1 / SlopeForStep(i);
    const double flow = conductance_[i] * Residual(i);
    step_[i] = flow;
    if (link.from < core_.unknowns) right_[link.from] -= flow;
    if (link.to < core_.unknowns) right_[link.to] += flow;
  }
  {
    const Stopwatch watch(outcome_.factor_s);
    if (!matrix_.Factor(conductance_)) return false;
  }
  SolveLinear();
  return true;
}

// Adds to step_ what the heads that answer right_ drive, those of holding valves with it.
void CoreSolver::SolveLinear() {
  const Stopwatch watch(outcome_.backsolve_s);
  matrix_.Solve(right_);
  std::copy(right_.begin(), right_.end(), head_step_.begin());
  if (!holding_.empty()) AddBorder();
  for (size_t i = 0; i < core_.links.size(); ++i) {
    const CoreLink& link = core_.links[i];
    step_[i] += conductance_[i] * (head_step_[link.from] - head_step_[link.to]);
  }
}

// A valve whose stream returns to it by other ways cannot move the head it should hold; what rounding leaves
// there of its effect, beside the head it takes to drive the stream, must not be divided by.
void CoreSolver::ForgetRounding(const Eigen::MatrixXd& answer, Eigen::MatrixXd& border) const {
  constexpr double kShare = 1e-9;
  for (Eigen::Index k = 0; k < border.cols(); ++k) {
    const CoreLink& link = core_.links[holding_[static_cast<size_t>(k)]->link];
    const double from_m = link.from < core_.unknowns ? answer(link.from, k) : 0;
    const double to_m = link.to < core_.unknowns ? answer(link.to, k) : 0;
    const double least = kShare * std::abs(to_m - from_m);
    border.col(k) = border.col(k).unaryExpr([&](double x) { return std::abs(x) < least ? 0.0 : x; });
  }
}

// Each holding valve passes y more than its slope says. Heads are linear in all the y; find those that put
// the held nodes at their settings. Two valves on one node have no one answer: the least flows are taken.
void CoreSolver::AddBorder() {
  const auto count = static_cast<Eigen::Index>(holding_.size());
  const auto unknowns = static_cast<Eigen::Index>(core_.unknowns);
  Eigen::MatrixXd answer = Eigen::MatrixXd::Zero(unknowns, count);
  for (Eigen::Index k = 0; k < count; ++k) {
    const CoreLink& link = core_.links[holding_[static_cast<size_t>(k)]->link];
    if (link.from < core_.unknowns) answer(link.from, k) -= 1;
    if (link.to < core_.unknowns) answer(link.to, k) += 1;
    matrix_.Solve({answer.col(k).data(), core_.unknowns});
  }
  Eigen::MatrixXd border(count, count);
  Eigen::VectorXd missing(count);
  for (Eigen::Index k = 0; k < count; ++k) {
    const CoreValve& valve = *holding_[static_cast<size_t>(k)];
    border.row(k) = answer.row(valve.node);
    missing(k) = valve.set_head_m - core_.head_m[valve.node] - head_step_[valve.node];
  }
  ForgetRounding(answer, border);
  const Eigen::VectorXd extra = border.completeOrthogonalDecomposition().solve(missing);
  const Eigen::VectorXd more = answer * extra;
  for (Eigen::Index i = 0; i < unknowns; ++i) head_step_[static_cast<size_t>(i)] += more(i);
  for (Eigen::Index k = 0; k < count; ++k) step_[holding_[static_cast<size_t>(k)]->link] += extra(k);
}

bool CoreSolver::IsSolved() const {
  for (size_t i = 0; i < core_.links.size(); ++i) {
    const double residual_m = std::abs(Residual(i));
    if (!(residual_m <= options_.head_tolerance_m)) return false;
    if (residual_m > std::max(kRounding_m, options_.flow_tolerance_m3_per_s * slope_[i])) return false;
  }
  return true;
}

// How much of the step to take; leaves the laws evaluated there.
double CoreSolver::ShareOfStep(double slope_at_start) {
  constexpr double kEnough = 0.5;
  constexpr int kMostTrials = 40;
  EvaluateLaws(1);
  double high_slope = SlopeOfContent();
  if (!balanced_ || high_slope <= kEnough * std::abs(slope_at_start) || IsSolved()) return 1;
  double low = 0, high = 1;
  double low_slope = slope_at_start;
  double share = 1;
  for (int i = 0; i < kMostTrials; ++i) {
    const double chord = low - low_slope * (high - low) / (high_slope - low_slope);
    const double width = high - low;
    share = i % 2 == 0 ? std::clamp(chord, low + 0.01 * width, high - 0.01 * width) : low + width / 2;
    EvaluateLaws(share);
    const double slope = SlopeOfContent();
    if (std::abs(slope) <= kEnough * std::abs(slope_at_start)) break;
    (slope < 0 ? low : high) = share;
    (slope < 0 ? low_slope : high_slope) = slope;
  }
  return share;
}

bool CoreSolver::Newton() {
  std::fill(step_.begin(), step_.end(), 0);
  EvaluateLaws(0);
  uses_chords_ = false;
  const int last = std::min(options_.max_iterations, outcome_.iterations + kMaxStepsOfOneState);
  for (int step = 0; outcome_.iterations < last; ++step) {
    ++outcome_.iterations;
    if (!ComputeStep()) return false;
    double slope_at_start = 0;
    for (size_t i = 0; i < core_.head_m.size(); ++i) core_.head_m[i] += head_step_[i];
    for (size_t i = 0; i < step_.size(); ++i) slope_at_start -= step_[i] * Residual(i);
    const double share = ShareOfStep(slope_at_start);
    for (size_t i = 0; i < step_.size(); ++i) core_.flow_m3_per_s[i] += share * step_[i];
    balanced_ = balanced_ || share == 1;
    // Near the answer, or where a step was too long, Newton's own slope is the better one.
    uses_chords_ = share == 1 && step < kMostChords;
    if (share == 1 && IsSolved()) {
      BalanceMass();
      return true;
    }
  }
  return false;
}

// What rounding has left at the nodes is small, and one more answer of the last factor takes it away.
void CoreSolver::BalanceMass() {
  NetInflow(right_);
  std::fill(step_.begin(), step_.end(), 0);
  SolveLinear();
  for (size_t i = 0; i < core_.head_m.size(); ++i) core_.head_m[i] += head_step_[i];
  for (size_t i = 0; i < step_.size(); ++i) core_.flow_m3_per_s[i] += step_[i];
}

bool CoreSolver::MovePushesOnce() {
  double worst = 0;
  outcome_.unsettled.clear();
  for (size_t i = 0; i < core_.links.size(); ++i) {
    if (holds_[i]) continue;
    const double outside = MovePushes(core_.links[i].law, core_.flow_m3_per_s[i]);
    if (outside > kPushTolerance_m3_per_s) outcome_.unsettled.push_back(static_cast<uint32_t>(i));
    worst = std::max(worst, outside);
  }
  return worst <= kPushTolerance_m3_per_s;
}

bool CoreSolver::SettleFlows() {
  holds_.assign(core_.links.size(), 0);
  holding_.clear();
  for (const CoreValve& valve : core_.valves) {
    if (valve.state != ValveState::kHolding) continue;
    holds_[valve.link] = 1;
    holding_.push_back(&valve);
  }
  const int most = holding_.empty() ? kMaxPushes : kMaxPushesHolding;
  for (int i = 0; i < most; ++i) {
    if (!Newton()) {
      NameWorst();
      return false;
    }
    if (MovePushesOnce()) return true;
  }
  return false;
}

void CoreSolver::NameWorst() {
  std::vector<uint32_t>& named = outcome_.unsettled;
  named.resize(core_.links.size());
  for (uint32_t i = 0; i < named.size(); ++i) named[i] = i;
  const size_t count = std::min(kMostNamed, named.size());
  std::partial_sort(named.begin(), named.begin() + static_cast<std::ptrdiff_t>(count), named.end(),
                    [&](uint32_t a, uint32_t b) { return std::abs(Residual(a)) > std::abs(Residual(b)); });
  named.resize(count);
}

// Where a state wanted the impossible, heads and pushes have run away; nothing of them is worth keeping.
void CoreSolver::BeginAnew() {
  core_.flow_m3_per_s = guess_m3_per_s_;
  balanced_ = false;
  std::fill(core_.head_m.begin(), core_.head_m.begin() + core_.unknowns, 0);
  for (CoreLink& link : core_.links) link.law.push_up_m = link.law.push_down_m = 0;
}

// Valves look at the flows even where these did not settle: a valve that holds its node by a stream the
// wrong way is seen to be wrong long before that stream has found its bound.
void CoreSolver::Run() {
  ValveSearch search;
  for (;;) {
    const bool settled = SettleFlows();
    const ValveSearch::Step step = search.Next(core_);
    if (step == ValveSearch::Step::kChanged && outcome_.iterations < options_.max_iterations) {
      if (!settled) BeginAnew();
      continue;
    }
    outcome_.converged = settled && step == ValveSearch::Step::kAllAgree;
    outcome_.unsettled.insert(outcome_.unsettled.end(), search.unsettled().begin(), search.unsettled().end());
    return;
  }
}

}  // namespace

CoreOutcome SolveCore(Core& core, const CoreOptions& options) {
  CoreOutcome outcome;
  const auto start = std::chrono::steady_clock::now();
  CoreSolver solver(core, options, outcome);
  outcome.symbolic_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  solver.Run();
  return outcome;
}

}  // namespace lastreach
