#include "plan/sureness.h"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <numeric>
#include <random>

namespace lastreach {
namespace {

double NormalQuantile(double share) { return boost::math::quantile(boost::math::normal(), share); }

// A number in (0, 1); the standard fixes the engine's output but not that of its distributions.
double Unit(std::mt19937_64& engine) { return (static_cast<double>(engine() >> 11) + 0.5) * 0x1p-53; }

}  // namespace

std::vector<Deviates> StratifiedDraws(size_t count, uint64_t seed) {
  std::mt19937_64 engine(seed);
  std::vector<Deviates> draws(count);
  std::vector<size_t> slice(count);
  for (size_t d = 0; d < kUncertainCount; ++d) {
    std::iota(slice.begin(), slice.end(), size_t{0});
    for (size_t i = count; i > 1; --i) std::swap(slice[i - 1], slice[engine() % i]);
    for (size_t i = 0; i < count; ++i) {
      draws[i][d] =
          NormalQuantile((static_cast<double>(slice[i]) + Unit(engine)) / static_cast<double>(count));
    }
  }
  return draws;
}

std::vector<Deviates> PlainDraws(size_t count, uint64_t seed) {
  std::mt19937_64 engine(seed);
  std::vector<Deviates> draws(count);
  for (Deviates& draw : draws) {
    for (double& deviate : draw) deviate = NormalQuantile(Unit(engine));
  }
  return draws;
}

Deviates CornerOf(const Deviates& slopes, double sureness) {
  double square = 0;
  for (const double slope : slopes) square += std::max(0.0, slope) * std::max(0.0, slope);
  Deviates corner{};
  if (square <= 0) return corner;
  const double reach = std::max(0.0, NormalQuantile(sureness)) / std::sqrt(square);
  for (size_t i = 0; i < kUncertainCount; ++i) corner[i] = std::max(0.0, slopes[i]) * reach;
  return corner;
}

Deviates GuessSlopes(const PlanningNumbers& numbers) {
  const double loss = std::max(0.05, std::log(numbers.upstream_mg_per_l / numbers.target_mg_per_l));
  Deviates slopes{};
  slopes[kBulkLoss] = loss * numbers.log_sd[kBulkLoss];
  slopes[kWallLoss] = loss / 3 * numbers.log_sd[kWallLoss];
  slopes[kReachVolume] = loss * numbers.log_sd[kReachVolume];
  slopes[kDemand] = loss / 2 * numbers.log_sd[kDemand];
  slopes[kDeviceFlow] = loss * numbers.log_sd[kDeviceFlow];
  slopes[kUpstream] = numbers.log_sd[kUpstream];
  return slopes;
}

Deviates MeasureSlopes(Trial& trial, const TimerSettings& settings, DateWindow window, const Deviates& at) {
  constexpr int kRightClock[] = {0};
  constexpr double kStep = 0.5;
  // A place that has lost everything says nothing about slopes.
  constexpr double kNothing_mg_per_l = 1e-6;
  const auto log_low = [&](const Deviates& deviates) {
    const Low low = trial.Lowest(settings, ModelReach(trial.numbers(), deviates), window, kRightClock);
    return std::log(std::max(low.mg_per_l, kNothing_mg_per_l));
  };
  Deviates slopes{};
  const double here = log_low(at);
  for (size_t i = 0; i < kUncertainCount; ++i) {
    Deviates moved = at;
    moved[i] += kStep;
    slopes[i] = (here - log_low(moved)) / kStep;
  }
  return slopes;
}

SurenessJudge::SurenessJudge(Trial& trial, std::vector<Deviates> draws, const Deviates& slopes, int most_taps)
    : trial_(trial) {
  const auto hardness = [&slopes](const Deviates& draw) {
    return std::inner_product(draw.begin(), draw.end(), slopes.begin(), 0.0);
  };
  std::stable_sort(draws.begin(), draws.end(),
                   [&](const Deviates& a, const Deviates& b) { return hardness(a) > hardness(b); });
  for (const Deviates& draw : draws) reaches_.emplace_back(ModelReach(trial.numbers(), draw, most_taps));
}

bool SurenessJudge::Holds(const TimerSettings& settings, const std::vector<DateWindow>& windows,
                          double sureness, const std::vector<int>& phases) {
  LaidOut laid = trial_.Lay(settings, windows, kClockErrors_min, phases);
  size_t failed = 0;
  for (ReadyReach& reach : reaches_) {
    if (!trial_.Holds(laid, reach) && ++failed > MayFail(sureness)) return false;
  }
  return true;
}

std::vector<double> SurenessJudge::Lows(const TimerSettings& settings, DateWindow window,
                                        std::span<const int> clock_errors_min, const std::vector<int>& phases,
                                        double at_least_sure) {
  LaidOut laid = trial_.Lay(settings, {&window, 1}, clock_errors_min, phases);
  std::vector<double> lows;
  size_t failed = 0;
  for (ReadyReach& reach : reaches_) {
    const Low low = trial_.Lowest(laid, reach);
    lows.push_back(low.mg_per_l);
    failed += low.mg_per_l < trial_.numbers().target_mg_per_l ? 1 : 0;
    if (failed > MayFail(at_least_sure)) break;
  }
  lows.resize(reaches_.size(), 0);
  std::sort(lows.begin(), lows.end());
  return lows;
}

size_t SurenessJudge::MayFail(double sureness) const {
  return static_cast<size_t>(std::floor((1 - sureness) * static_cast<double>(reaches_.size()) + 1e-9));
}

}  // namespace lastreach
