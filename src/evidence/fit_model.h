#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "evidence/fit_facts.h"
#include "evidence/fit_occasion.h"
#include "evidence/least_squares.h"

namespace lastreach {

// The numbers of a zone that readings can tell of, and what the readings would be under any of them.
//
// Each number is middle x exp(sd z), z standard normal before anything was read: the same middles and spreads
// as planning's. What z moves a reading is the transport of `plan` and `quality`, nothing else.
class FitModel {
 public:
  struct Unknown {
    FittedNumber number;       // its middle and spread before
    std::size_t point = 0;     // of those of a point
    std::size_t occasion = 0;  // of kFlushFlow and kMainThatDay
    double wall_m_per_s = 0;   // of kWall: the middle it stands for
  };
  // What one reading is predicted to be, and how it moves with the unknowns.
  struct Predicted {
    double mg_per_l = 0;
    std::vector<std::pair<int, double>> slopes;  // unknown and d mg_per_l / d z
  };

  FitModel(const FitFacts& facts, const FitOptions& options);

  const std::vector<Unknown>& unknowns() const { return unknowns_; }
  const std::vector<FitOccasion>& occasions() const { return occasions_; }
  const std::vector<std::string>& left_out() const { return left_out_; }
  const std::vector<std::string>& assumed() const { return assumed_; }
  std::size_t readings() const { return readings_; }

  // One for each reading, occasion by occasion.
  std::vector<double> PredictAll(std::span<const double> z) const;
  // Readings of one occasion, which need not be one of this model's. COST: a transport, with slopes two more
  // for each unknown that moves the water: central differences of 0.02.
  std::vector<Predicted> Predict(const FitOccasion& occasion, std::span<const double> z,
                                 bool with_slopes) const;

  // Readings' pseudo-residuals, then z itself: the prior.
  LeastSquaresProblem Problem() const;
  // Twice the negative logarithm of the posterior, of the readings of one point only.
  double MisfitOf(std::size_t point, std::span<const double> z) const;

 private:
  void AddUnknowns();
  void AddWalls();
  void AddPoint(std::size_t point, const PlanningNumbers& numbers, bool opens);
  int Find(FittedKind kind, std::size_t point_or_occasion) const;  // -1 for none
  double FactorOf(int unknown, std::span<const double> z) const;
  std::vector<double> Shares(const FitOccasion& occasion, std::span<const double> z) const;
  std::vector<int> MoversOf(const FitOccasion& occasion) const;

  const FitFacts& facts_;
  const FitOptions& options_;
  std::vector<FitOccasion> occasions_;
  std::vector<Unknown> unknowns_;
  std::vector<std::string> left_out_, assumed_;
  std::size_t readings_ = 0;
};

}  // namespace lastreach
