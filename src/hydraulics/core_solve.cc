#include "hydraulics/core_solve.h"

#include <algorithm>
#include <cmath>

#include "hydraulics/core_newton.h"
#include "hydraulics/valve_states.h"

namespace lastreach {
namespace {

constexpr int kMaxPushes = 60;
// While valves hold heads, a state that wants the impossible shows itself soon.
constexpr int kMaxPushesHolding = 12;
constexpr double kPushTolerance_m3_per_s = 1e-12;
constexpr size_t kMostNamed = 5;

class CoreSolver {
 public:
  CoreSolver(Core& core, const CoreOptions& options, CoreOutcome& outcome)
      : core_(core), options_(options), outcome_(outcome), newton_(core, options, outcome) {}

  void Run();

 private:
  bool SettleFlows();
  bool MovePushesOnce();
  void NameWorst();
  bool AnyHolds() const {
    return std::any_of(core_.valves.begin(), core_.valves.end(),
                       [](const CoreValve& valve) { return valve.state == ValveState::kHolding; });
  }

  Core& core_;
  const CoreOptions& options_;
  CoreOutcome& outcome_;
  CoreNewton newton_;
};

bool CoreSolver::SettleFlows() {
  newton_.ReadValves();
  const int most = AnyHolds() ? kMaxPushesHolding : kMaxPushes;
  for (int i = 0; i < most; ++i) {
    if (!newton_.Settle()) {
      NameWorst();
      return false;
    }
    if (MovePushesOnce()) return true;
  }
  return false;
}

bool CoreSolver::MovePushesOnce() {
  double worst = 0;
  outcome_.unsettled.clear();
  for (size_t i = 0; i < core_.links.size(); ++i) {
    if (newton_.Holds(i)) continue;
    const double outside = MovePushes(core_.links[i].law, core_.flow_m3_per_s[i]);
    if (outside > kPushTolerance_m3_per_s) outcome_.unsettled.push_back(static_cast<uint32_t>(i));
    worst = std::max(worst, outside);
  }
  return worst <= kPushTolerance_m3_per_s;
}

void CoreSolver::NameWorst() {
  std::vector<uint32_t>& named = outcome_.unsettled;
  named.resize(core_.links.size());
  for (uint32_t i = 0; i < named.size(); ++i) named[i] = i;
  const size_t count = std::min(kMostNamed, named.size());
  std::partial_sort(named.begin(), named.begin() + static_cast<std::ptrdiff_t>(count), named.end(),
                    [&](uint32_t a, uint32_t b) {
                      return std::abs(newton_.Residual_m(a)) > std::abs(newton_.Residual_m(b));
                    });
  named.resize(count);
}

// Valves look at the flows even where these did not settle: a valve that holds its node by a stream the
// wrong way is seen to be wrong long before that stream has found its bound.
void CoreSolver::Run() {
  ValveSearch search;
  for (;;) {
    const bool settled = SettleFlows();
    const ValveSearch::Step step = search.Next(core_);
    if (step == ValveSearch::Step::kChanged && outcome_.iterations < options_.max_iterations) {
      if (!settled) newton_.BeginAnew();
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
