#include "together/set_solvers.h"

#include <algorithm>
#include <thread>

namespace lastreach {

Result<SetSolvers> SetSolvers::Make(const PressureMoments& moments, const std::vector<DrawingPoint>& devices,
                                    int solvers) {
  SetSolvers made;
  made.moments_ = &moments;
  made.devices_ = &devices;
  for (int i = 0; i < std::max(1, solvers); ++i) {
    Result<SteadySolver> solver = SteadySolver::Make(moments.network);
    if (!solver.ok()) return solver.error();
    made.benches_.push_back({*std::move(solver), {}, SIZE_MAX});
  }
  return made;
}

const SteadyState* SetSolvers::SolveOne(Bench& bench, const PressureJudge::Question& question) const {
  const Supply& base = moments_->states[question.state];
  if (bench.state != question.state) {
    bench.supply = base;
    bench.state = question.state;
  }
  for (const uint32_t d : question.open) {
    bench.supply.demand_m3_per_s[At((*devices_)[d].node)] += (*devices_)[d].flow_m3_per_s;
  }
  const Result<const SteadyState*> answer = bench.solver.Solve(bench.supply);
  // Copied back, not taken off: sums would not return to what they were.
  for (const uint32_t d : question.open) {
    const size_t node = At((*devices_)[d].node);
    bench.supply.demand_m3_per_s[node] = base.demand_m3_per_s[node];
  }
  return answer.ok() && (*answer)->summary.IsUsable() ? *answer : nullptr;
}

void SetSolvers::Solve(const std::vector<PressureJudge::Question>& questions,
                       const std::function<void(size_t, const SteadyState*)>& take) {
  const size_t all = benches_.size();
  const auto work = [&](size_t b) {
    for (size_t i = b; i < questions.size(); i += all) take(i, SolveOne(benches_[b], questions[i]));
  };
  std::vector<std::thread> threads;
  for (size_t b = 1; b < std::min(all, questions.size()); ++b) threads.emplace_back(work, b);
  work(0);
  for (std::thread& thread : threads) thread.join();
}

}  // namespace lastreach
