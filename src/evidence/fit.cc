#include "evidence/fit.h"

#include <algorithm>
#include <cmath>

#include "core/stated_spread.h"
#include "evidence/fit_model.h"
#include "evidence/fit_posterior.h"
#include "evidence/likelihood.h"
#include "evidence/worth_sample.h"

namespace lastreach {
namespace {

template <typename T>
void Forget(std::optional<Sourced<T>>& number) {
  if (number && StatedLogSd(number->origin)) number->origin = {OriginKind::kAssumed, "", {}, ""};
}

FitFacts WithoutEarlierFits(const FitFacts& facts) {
  FitFacts out = facts;
  for (FitPoint& point : out.points) {
    Forget(point.facts.supply.bulk_per_day_at_20c);
    Forget(point.facts.supply.wall_m_per_day);
    Forget(point.facts.supply.upstream_residual);
    Forget(point.facts.reach.upstream_residual);
    for (ReachPipe& pipe : point.facts.reach.pipes) Forget(pipe.demand);
  }
  return out;
}

bool WasReadWhileOpen(const FitModel& model, std::size_t point) {
  return std::any_of(
      model.occasions().begin(), model.occasions().end(), [point](const FitOccasion& occasion) {
        return occasion.point == point &&
               std::any_of(occasion.readings.begin(), occasion.readings.end(),
                           [](const OccasionReading& reading) { return reading.hours_since_run == 0; });
      });
}

// A front far from where the map has it, or a loss far from what was thought, is felt by no reading until it
// is about right: look along each by itself.
std::vector<double> Start(const FitModel& model) {
  constexpr double kFarthest = 4;
  constexpr double kStride = 1;          // of a loss: half as much again
  constexpr double kVolumeStride = 0.5;  // of a volume: no wider than a front
  const std::size_t points = model.occasions().back().point + 1;
  std::vector<double> start(model.unknowns().size(), 0);
  const auto misfit_of = [&](const FitModel::Unknown& unknown) {
    if (unknown.number.kind == FittedKind::kVolume) return model.MisfitOf(unknown.point, start);
    double sum = 0;
    for (std::size_t point = 0; point < points; ++point) sum += model.MisfitOf(point, start);
    return sum;
  };
  for (std::size_t u = 0; u < start.size(); ++u) {
    const FitModel::Unknown& unknown = model.unknowns()[u];
    if (unknown.number.kind != FittedKind::kVolume && unknown.number.kind != FittedKind::kBulk) continue;
    const bool is_volume = unknown.number.kind == FittedKind::kVolume;
    if (is_volume && !WasReadWhileOpen(model, unknown.point)) continue;
    double best_z = 0;
    double least = misfit_of(unknown);
    for (double z = -kFarthest; z <= kFarthest; z += is_volume ? kVolumeStride : kStride) {
      start[u] = z;
      const double misfit = misfit_of(unknown);
      if (misfit >= least) continue;
      least = misfit;
      best_z = z;
    }
    start[u] = best_z;
  }
  return start;
}

// Between two readings of a flush a front may stand anywhere: the posterior of a volume is a table with steep
// sides, of which the curvature at one place says little. What it is along the volume itself tells how much
// wider it is than a normal one of that curvature.
double WidthOfVolume(const FitModel& model, std::size_t volume, std::span<const double> z,
                     const FitPosterior& posterior) {
  constexpr double kFarthest = 4;
  constexpr double kStride = 0.1;
  const std::size_t point = model.unknowns()[volume].point;
  std::vector<double> moved(z.begin(), z.end());
  const double least = model.MisfitOf(point, moved);
  double weight = 0;
  double square = 0;
  for (double off = -kFarthest; off <= kFarthest; off += kStride) {
    moved[volume] = z[volume] + off;
    const double density = std::exp((least - model.MisfitOf(point, moved)) / 2);
    weight += density;
    square += density * off * off;
  }
  const double by_curvature = 1 / (1 + posterior.information[volume * posterior.unknowns + volume]);
  return std::sqrt(std::max(1.0, square / weight / by_curvature));
}

void ListReadings(const FitModel& model, const FitFacts& facts, const FitOptions& options,
                  std::span<const double> z, ZoneFit& fit) {
  double sum = 0;
  for (const FitOccasion& occasion : model.occasions()) {
    const std::vector<FitModel::Predicted> predicted = model.Predict(occasion, z, false);
    for (std::size_t r = 0; r < predicted.size(); ++r) {
      const OccasionReading& reading = occasion.readings[r];
      const double model_mg_per_l = predicted[r].mg_per_l;
      const PseudoResidual residual =
          reading.below_detection
              ? CensoredResidual(reading.mg_per_l, model_mg_per_l, reading.sd_mg_per_l, options.nu)
              : StudentResidual(reading.mg_per_l, model_mg_per_l, reading.sd_mg_per_l, options.nu);
      sum += residual.value * residual.value;
      fit.readings.push_back({facts.points[occasion.point].facts.point.code, reading.when, reading.in_main,
                              reading.hours_since_run, reading.mg_per_l, reading.below_detection,
                              model_mg_per_l, residual.weight});
    }
  }
  fit.misfit = sum / static_cast<double>(fit.readings.size());
}

}  // namespace

ZoneFit FitZone(const FitFacts& asked, const FitOptions& options) {
  const FitFacts facts = WithoutEarlierFits(asked);
  const FitModel model(facts, options);
  ZoneFit fit;
  if (!facts.points.empty()) fit.zone = facts.points.front().facts.supply.name;
  fit.left_out = model.left_out();
  fit.assumed = model.assumed();
  if (model.readings() == 0) return fit;

  const LeastSquaresProblem problem = model.Problem();
  const LeastSquaresAnswer answer = SolveLeastSquares(problem, Start(model));
  fit.evaluations = answer.evaluations;
  fit.converged = answer.converged;
  FitPosterior posterior = PosteriorOf(model, answer.x, options.nu);
  for (std::size_t u = 0; u < answer.x.size(); ++u) {
    const FitModel::Unknown& unknown = model.unknowns()[u];
    if (unknown.number.kind != FittedKind::kVolume || !WasReadWhileOpen(model, unknown.point)) continue;
    posterior.Widen(u, WidthOfVolume(model, u, answer.x, posterior));
  }
  for (std::size_t u = 0; u < answer.x.size(); ++u) {
    FittedNumber number = model.unknowns()[u].number;
    number.value = number.before * std::exp(number.before_log_sd * answer.x[u]);
    number.log_sd = number.before_log_sd * posterior.Sd(u);
    fit.numbers.push_back(number);
  }
  ListReadings(model, facts, options, answer.x, fit);
  fit.cannot_tell = CannotTell(posterior, model);
  Outlook outlook = OutlookOf(model, facts, options, answer.x, posterior);
  fit.ends = std::move(outlook.ends);
  fit.worth = outlook.worth;
  return fit;
}

}  // namespace lastreach
