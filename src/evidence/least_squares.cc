#include "evidence/least_squares.h"

#include <Eigen/Sparse>
#include <unsupported/Eigen/LevenbergMarquardt>

namespace lastreach {
namespace {

struct Functor : Eigen::SparseFunctor<double, int> {
  explicit Functor(const LeastSquaresProblem& problem)
      : SparseFunctor(static_cast<int>(problem.unknowns), static_cast<int>(problem.residuals)),
        problem_(problem) {}

  int operator()(const Eigen::VectorXd& x, Eigen::VectorXd& r) const {
    problem_.residuals_at({x.data(), static_cast<std::size_t>(x.size())},
                          {r.data(), static_cast<std::size_t>(r.size())});
    return 0;
  }
  int df(const Eigen::VectorXd& x, JacobianType& jacobian) const {
    std::vector<Eigen::Triplet<double, int>> entries;
    for (const JacobianEntry& e : problem_.jacobian_at({x.data(), static_cast<std::size_t>(x.size())}))
      entries.emplace_back(e.row, e.column, e.value);
    jacobian.resize(values(), inputs());
    jacobian.setFromTriplets(entries.begin(), entries.end());
    jacobian.makeCompressed();
    return 0;
  }

 private:
  const LeastSquaresProblem& problem_;
};

}  // namespace

LeastSquaresAnswer SolveLeastSquares(const LeastSquaresProblem& problem, std::vector<double> start,
                                     int most_evaluations) {
  constexpr double kRelative = 1e-8;
  LeastSquaresAnswer answer;
  Functor functor(problem);
  Eigen::VectorXd x = Eigen::Map<Eigen::VectorXd>(start.data(), static_cast<Eigen::Index>(start.size()));
  Eigen::LevenbergMarquardt<Functor> solver(functor);
  solver.setMaxfev(most_evaluations);
  solver.setFtol(kRelative);
  solver.setXtol(kRelative);
  const auto status = solver.minimize(x);
  answer.x.assign(x.data(), x.data() + x.size());
  answer.sum_of_squares = solver.fnorm() * solver.fnorm();
  answer.evaluations = static_cast<int>(solver.nfev());
  answer.converged = status != Eigen::LevenbergMarquardtSpace::TooManyFunctionEvaluation &&
                     status != Eigen::LevenbergMarquardtSpace::ImproperInputParameters;
  return answer;
}

}  // namespace lastreach
