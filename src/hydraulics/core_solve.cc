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

}  // namespace

class CoreSolver::Impl {
 public:
  Impl(Core& core, const CoreOptions& options)
      : core_(core), options_(options), newton_(core, options_, outcome_) {}

  void Run();
  bool Follow(CoreChange change);
  void Forget();
  CoreOutcome& outcome() { return outcome_; }
  double symbolic_s = 0;

 private:
  bool SettleFlows();
  bool MovePushesOnce();
  void NameWorst();
  bool AnyHolds() const {
    return std::any_of(core_.valves.begin(), core_.valves.end(),
                       [](const CoreValve& valve) { return valve.state == ValveState::kHolding; });
  }

  Core& core_;
  CoreOptions options_;
  CoreOutcome outcome_;
  CoreNewton newton_;
};

bool CoreSolver::Impl::SettleFlows() {
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

bool CoreSolver::Impl::MovePushesOnce() {
  double worst = 0;
  outcome_.unsettled.clear();
  for (size_t i = core_.Chains(); i < core_.links.size(); ++i) {
    if (newton_.Holds(i)) continue;
    const double outside = MovePushes(core_.LawOf(i), core_.flow_m3_per_s[i]);
    if (outside > kPushTolerance_m3_per_s) outcome_.unsettled.push_back(static_cast<uint32_t>(i));
    worst = std::max(worst, outside);
  }
  return worst <= kPushTolerance_m3_per_s;
}

void CoreSolver::Impl::NameWorst() {
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
void CoreSolver::Impl::Run() {
  outcome_ = {};
  newton_.ReadDemands();
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

// A bound that is met or left, a valve that would be in another state: the first settle after a push or two,
// the second is no near answer.
bool CoreSolver::Impl::Follow(CoreChange change) {
  constexpr int kMostPushes = 4;
  outcome_ = {};
  if (!newton_.CanFollow()) return false;
  for (int i = 0; i < kMostPushes; ++i) {
    if (!newton_.Follow(change)) return false;
    if (MovePushesOnce()) {
      outcome_.converged = std::all_of(core_.valves.begin(), core_.valves.end(), [&](const CoreValve& valve) {
        return WantedState(core_, valve) == valve.state;
      });
      return outcome_.converged;
    }
    change = {{}, outcome_.unsettled};
  }
  return false;
}

void CoreSolver::Impl::Forget() {
  for (CoreValve& valve : core_.valves) SetState(core_, valve, ValveState::kOpen);
  newton_.BeginAnew();
}

CoreSolver::CoreSolver(Core& core, const CoreOptions& options) {
  const auto start = std::chrono::steady_clock::now();
  impl_ = std::make_unique<Impl>(core, options);
  impl_->symbolic_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

CoreSolver::~CoreSolver() = default;
CoreSolver::CoreSolver(CoreSolver&&) noexcept = default;
CoreSolver& CoreSolver::operator=(CoreSolver&&) noexcept = default;

CoreOutcome CoreSolver::Solve() {
  impl_->Run();
  return impl_->outcome();
}

std::optional<CoreOutcome> CoreSolver::Follow(const CoreChange& change) {
  if (!impl_->Follow(change)) return {};
  return impl_->outcome();
}

void CoreSolver::Forget() { impl_->Forget(); }

double CoreSolver::symbolic_s() const { return impl_->symbolic_s; }

}  // namespace lastreach
