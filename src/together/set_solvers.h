#pragma once

#include <functional>
#include <vector>

#include "core/result.h"
#include "hydraulics/steady_solver.h"
#include "together/pressure_judge.h"

namespace lastreach {

// States of a network with sets of devices open, on several threads. Work is dealt by number, so each answer
// comes from the same solver every time.
class SetSolvers {
 public:
  // REQUIRES: `moments` and `devices` outlive this and do not change.
  static Result<SetSolvers> Make(const PressureMoments& moments, const std::vector<DrawingPoint>& devices,
                                 int solvers);

  // `take` gets the number of the question and its state, null where it did not settle; the state holds until
  // it returns. Called from several threads at once, never twice with one number.
  void Solve(const std::vector<PressureJudge::Question>& questions,
             const std::function<void(size_t, const SteadyState*)>& take);

 private:
  // A solver, and a supply of its own to open devices in.
  struct Bench {
    SteadySolver solver;
    Supply supply;
    size_t state = SIZE_MAX;
  };
  const SteadyState* SolveOne(Bench& bench, const PressureJudge::Question& question) const;

  const PressureMoments* moments_ = nullptr;
  const std::vector<DrawingPoint>* devices_ = nullptr;
  std::vector<Bench> benches_;
};

}  // namespace lastreach
