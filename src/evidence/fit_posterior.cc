#include "evidence/fit_posterior.h"

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <set>

#include "evidence/likelihood.h"

namespace lastreach {
namespace {

using RowMatrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

// Fitted along, of no use to anybody afterwards.
bool IsOfOneDay(FittedKind kind) {
  return kind == FittedKind::kMainThatDay || kind == FittedKind::kFlushFlow;
}

std::string Joined(const std::vector<std::string>& names, const char* last) {
  std::string text;
  for (std::size_t i = 0; i < names.size(); ++i)
    text += (i == 0 ? "" : i + 1 == names.size() ? last : ", ") + names[i];
  return text;
}

}  // namespace

double FitPosterior::Sd(std::size_t unknown) const { return std::sqrt(At(unknown, unknown)); }

void FitPosterior::Widen(std::size_t unknown, double factor) {
  for (std::size_t other = 0; other < unknowns; ++other) {
    covariance[unknown * unknowns + other] *= factor;
    covariance[other * unknowns + unknown] *= factor;
  }
}

double FitPosterior::Covariance(const Slopes& a, const Slopes& b) const {
  double sum = 0;
  for (const auto& [i, by_i] : a) {
    for (const auto& [j, by_j] : b)
      sum += by_i * by_j * At(static_cast<std::size_t>(i), static_cast<std::size_t>(j));
  }
  return sum;
}

FitPosterior PosteriorOf(const FitModel& model, std::span<const double> z, double nu) {
  FitPosterior posterior;
  const std::size_t n = model.unknowns().size();
  posterior.unknowns = n;
  posterior.information.assign(n * n, 0);
  for (const FitOccasion& occasion : model.occasions()) {
    const std::vector<FitModel::Predicted> predicted = model.Predict(occasion, z, true);
    for (std::size_t r = 0; r < predicted.size(); ++r) {
      const OccasionReading& reading = occasion.readings[r];
      const double told =
          reading.below_detection
              ? CensoredResidual(reading.mg_per_l, predicted[r].mg_per_l, reading.sd_mg_per_l, nu).information
              : StudentResidual(reading.mg_per_l, predicted[r].mg_per_l, reading.sd_mg_per_l, nu).information;
      for (const auto& [i, by_i] : predicted[r].slopes) {
        for (const auto& [j, by_j] : predicted[r].slopes)
          posterior.information[static_cast<std::size_t>(i) * n + static_cast<std::size_t>(j)] +=
              told * by_i * by_j;
      }
    }
  }
  const auto size = static_cast<Eigen::Index>(n);
  const RowMatrix precision =
      Eigen::Map<const RowMatrix>(posterior.information.data(), size, size) + RowMatrix::Identity(size, size);
  posterior.covariance.resize(n * n);
  Eigen::Map<RowMatrix>(posterior.covariance.data(), size, size) =
      precision.llt().solve(RowMatrix::Identity(size, size));
  return posterior;
}

std::string NameOf(const FittedNumber& number) {
  const std::string of = number.point.empty() ? "" : " of " + number.point.text();
  switch (number.kind) {
    case FittedKind::kBulk:
      return "loss in the bulk";
    case FittedKind::kWall:
      return "loss at the wall" + (number.material.empty() ? "" : " (" + number.material + ")");
    case FittedKind::kVolume:
      return "volume of the reach" + of;
    case FittedKind::kDemand:
      return "use" + of;
    case FittedKind::kFlow:
      return "flow" + of;
    case FittedKind::kUpstream:
      return "residual in the main" + of;
    case FittedKind::kFlushFlow:
      return "flow of a test flush" + of;
    case FittedKind::kMainThatDay:
      return "residual in the main that day" + of;
  }
  return "";
}

std::vector<std::string> CannotTell(const FitPosterior& posterior, const FitModel& model) {
  constexpr double kFelt = 2;  // variances of the prior that a number would shrink by on its own
  constexpr double kUnfelt = 0.2;
  constexpr double kPlaysAPart = 0.35;
  const auto n = static_cast<Eigen::Index>(posterior.unknowns);
  const Eigen::Map<const RowMatrix> information(posterior.information.data(), n, n);
  const Eigen::SelfAdjointEigenSolver<RowMatrix> eigen(information);
  std::vector<std::string> told;
  std::set<std::vector<std::string>> said;
  for (Eigen::Index e = 0; e < n && eigen.eigenvalues()[e] < 1; ++e) {
    std::vector<std::string> names;
    for (Eigen::Index i = 0; i < n; ++i) {
      const FittedNumber& number = model.unknowns()[static_cast<std::size_t>(i)].number;
      if (std::abs(eigen.eigenvectors()(i, e)) >= kPlaysAPart && information(i, i) > kFelt &&
          !IsOfOneDay(number.kind))
        names.push_back(NameOf(number));
    }
    if (names.size() < 2 || !said.insert(names).second) continue;
    told.push_back("These readings cannot tell the " + Joined(names, " from the ") +
                   ": more of one goes with another of the other and reads the same.");
  }
  std::vector<std::string> unfelt;
  for (Eigen::Index i = 0; i < n; ++i) {
    const FittedNumber& number = model.unknowns()[static_cast<std::size_t>(i)].number;
    if (information(i, i) < kUnfelt && !IsOfOneDay(number.kind)) unfelt.push_back(NameOf(number));
  }
  if (!unfelt.empty())
    told.push_back("These readings say next to nothing of the " + Joined(unfelt, " and the ") + ".");
  return told;
}

}  // namespace lastreach
