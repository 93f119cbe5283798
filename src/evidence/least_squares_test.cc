#include "evidence/least_squares.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_multifit_nlinear.h>
#include <gtest/gtest.h>

#include <cmath>

#include "evidence/test_fits.h"

namespace lastreach {
namespace {

// The slow oracle: the same problem by another library, dense, from the same start.
double LeastByGsl(const LeastSquaresProblem& problem, const std::vector<double>& start) {
  struct Call {
    static int Residuals(const gsl_vector* x, void* problem, gsl_vector* r) {
      const auto& p = *static_cast<const LeastSquaresProblem*>(problem);
      // Neither need lie in one piece.
      std::vector<double> at(x->size);
      for (std::size_t i = 0; i < at.size(); ++i) at[i] = gsl_vector_get(x, i);
      std::vector<double> residuals(r->size);
      p.residuals_at(at, residuals);
      for (std::size_t i = 0; i < residuals.size(); ++i) gsl_vector_set(r, i, residuals[i]);
      return GSL_SUCCESS;
    }
  };
  gsl_multifit_nlinear_parameters parameters = gsl_multifit_nlinear_default_parameters();
  parameters.fdtype = GSL_MULTIFIT_NLINEAR_CTRDIFF;
  parameters.h_df = 0.005;
  gsl_multifit_nlinear_fdf fdf{};
  fdf.f = &Call::Residuals;
  fdf.n = problem.residuals;
  fdf.p = problem.unknowns;
  fdf.params = const_cast<LeastSquaresProblem*>(&problem);  // NOLINT: a C interface
  gsl_multifit_nlinear_workspace* work =
      gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &parameters, fdf.n, fdf.p);
  gsl_vector* x = gsl_vector_alloc(start.size());
  for (std::size_t i = 0; i < start.size(); ++i) gsl_vector_set(x, i, start[i]);
  gsl_multifit_nlinear_init(x, &fdf, work);
  int info = 0;
  gsl_multifit_nlinear_driver(200, 1e-10, 1e-10, 1e-10, nullptr, nullptr, &info, work);
  const gsl_vector* residuals = gsl_multifit_nlinear_residual(work);
  double sum = 0;
  gsl_blas_ddot(residuals, residuals, &sum);
  gsl_vector_free(x);
  gsl_multifit_nlinear_free(work);
  return sum;
}

TEST(SolveLeastSquares, FindsTheBottomOfACurvedValley) {
  LeastSquaresProblem problem;
  problem.unknowns = 2;
  problem.residuals = 2;
  problem.residuals_at = [](std::span<const double> x, std::span<double> r) {
    r[0] = 10 * (x[1] - x[0] * x[0]);
    r[1] = 1 - x[0];
  };
  problem.jacobian_at = [](std::span<const double> x) {
    return std::vector<JacobianEntry>{{0, 0, -20 * x[0]}, {0, 1, 10}, {1, 0, -1}};
  };
  const LeastSquaresAnswer answer = SolveLeastSquares(problem, {-1.2, 1});
  EXPECT_TRUE(answer.converged);
  EXPECT_NEAR(answer.x[0], 1, 1e-6);
  EXPECT_NEAR(answer.x[1], 1, 1e-6);
}

TEST(SolveLeastSquares, SaysSoWhereItRanOutOfSteps) {
  LeastSquaresProblem problem;
  problem.unknowns = 1;
  problem.residuals = 1;
  problem.residuals_at = [](std::span<const double> x, std::span<double> r) { r[0] = std::exp(-x[0]); };
  problem.jacobian_at = [](std::span<const double> x) {
    return std::vector<JacobianEntry>{{0, 0, -std::exp(-x[0])}};
  };
  EXPECT_FALSE(SolveLeastSquares(problem, {0}, 3).converged);
}

TEST(SolveLeastSquares, AgreesWithAnotherLibraryOnFits) {
  for (uint64_t seed = 1; seed <= 3; ++seed) {
    FitFacts facts;
    facts.points = {MadeUpPoint("A"), MadeUpPoint("B")};
    for (FitPoint& point : facts.points) {
      AddGrab(point, 0, 13 * 60, 0.5);
      AddGrab(point, 2, 10 * 60, 0.5);
      AddFlush(point, 5, {1, 5, 10, 15, 20, 25});
    }
    FitOptions options;
    options.today = FitDay(10);
    const std::size_t unknowns = FitModel(facts, options).unknowns().size();
    Plant(facts, options, Normals(unknowns, seed), Normals(18, 100 + seed));
    const FitModel model(facts, options);
    const LeastSquaresProblem problem = model.Problem();
    const std::vector<double> start(unknowns, 0);
    const LeastSquaresAnswer answer = SolveLeastSquares(problem, start);
    const double oracle = LeastByGsl(problem, start);
    // Slopes here are differences of finite steps, so both stop a little beside the bottom.
    EXPECT_LT(answer.sum_of_squares, oracle * 1.001 + 1e-3) << "seed " << seed;
  }
}

}  // namespace
}  // namespace lastreach
