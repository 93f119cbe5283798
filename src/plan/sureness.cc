#include "plan/sureness.h"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <functional>
#include <numeric>
#include <random>

namespace lastreach {
namespace {

double NormalQuantile(double share) { return boost::math::quantile(boost::math::normal(), share); }

// A number in (0, 1); the standard fixes the engine's output but not that of its distributions.
double Unit(std::mt19937_64& engine) { return (static_cast<double>(engine() >> 11) + 0.5) * 0x1p-53; }

// For each draw those before it that are no better in any number, nearest in the order first.
std::vector<std::vector<uint32_t>> HarderOnes(const std::vector<Deviates>& draws) {
  constexpr size_t kKept = 24;
  std::vector<std::vector<uint32_t>> harder(draws.size());
  for (size_t i = 0; i < draws.size(); ++i) {
    for (size_t j = i; j-- > 0 && harder[i].size() < kKept;) {
      if (std::equal(draws[i].begin(), draws[i].end(), draws[j].begin(), std::less_equal<>()))
        harder[i].push_back(static_cast<uint32_t>(j));
    }
  }
  return harder;
}

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

void FamilyRecord::TurnTo(const TimerSettings& settings) {
  std::vector<int> minutes;
  for (const Programme& programme : settings.programmes) minutes.push_back(programme.minutes);
  const auto each_at_most = [](const std::vector<int>& a, const std::vector<int>& b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(), std::less_equal<>());
  };
  no_longer_ = no_shorter_ = now_ = 0;
  for (size_t i = 0; i < tried_.size(); ++i) {
    if (each_at_most(tried_[i], minutes)) no_longer_ |= uint64_t{1} << i;
    if (each_at_most(minutes, tried_[i])) no_shorter_ |= uint64_t{1} << i;
  }
  if (tried_.size() == 64) return;
  now_ = uint64_t{1} << tried_.size();
  tried_.push_back(std::move(minutes));
}

SurenessJudge::SurenessJudge(Trial& trial, std::vector<Deviates> draws, const Deviates& slopes, int most_taps)
    : trial_(trial), order_(draws.size()), failed_now_(draws.size(), 0), held_now_(draws.size(), 0) {
  const auto hardness = [&slopes](const Deviates& draw) {
    return std::inner_product(draw.begin(), draw.end(), slopes.begin(), 0.0);
  };
  std::stable_sort(draws.begin(), draws.end(),
                   [&](const Deviates& a, const Deviates& b) { return hardness(a) > hardness(b); });
  reaches_.reserve(draws.size());
  for (const Deviates& draw : draws) reaches_.emplace_back(ModelReach(trial.numbers(), draw, most_taps));
  std::iota(order_.begin(), order_.end(), size_t{0});
  // A number that is known or plays no part here makes no draw harder than another.
  for (Deviates& draw : draws) {
    for (size_t d = 0; d < kUncertainCount; ++d) draw[d] = slopes[d] != 0 ? draw[d] : 0;
  }
  harder_ = HarderOnes(draws);
}

bool SurenessJudge::Holds(const TimerSettings& settings, const std::vector<DateWindow>& windows,
                          double sureness, const std::vector<int>& phases) {
  FamilyRecord nothing_known(reaches_.size());
  return Holds(settings, windows, sureness, nothing_known, phases);
}

bool SurenessJudge::Holds(const TimerSettings& settings, const std::vector<DateWindow>& windows,
                          double sureness, FamilyRecord& family, const std::vector<int>& phases) {
  family.TurnTo(settings);
  LaidOut laid = trial_.Lay(settings, windows, kClockErrors_min, phases);
  const size_t may_fail = MayFail(sureness);
  size_t failed = 0;
  for (size_t draw = 0; draw < reaches_.size(); ++draw) failed += family.IsKnownToFail(draw) ? 1 : 0;
  if (failed > may_fail) return false;
  std::fill(failed_now_.begin(), failed_now_.end(), 0);
  std::fill(held_now_.begin(), held_now_.end(), 0);
  for (const size_t draw : order_) {
    if (family.IsKnownToFail(draw)) continue;
    const bool holds = family.IsKnownToHold(draw) ||
                       std::any_of(harder_[draw].begin(), harder_[draw].end(),
                                   [this](uint32_t other) { return held_now_[other] != 0; }) ||
                       trial_.Holds(laid, reaches_[draw]);
    family.Note(draw, holds);
    held_now_[draw] = holds ? 1 : 0;
    if (holds) continue;
    failed_now_[draw] = 1;
    if (++failed > may_fail) break;
  }
  std::stable_partition(order_.begin(), order_.end(), [this](size_t draw) { return failed_now_[draw] != 0; });
  return failed <= may_fail;
}

std::vector<double> SurenessJudge::Lows(const TimerSettings& settings, DateWindow window,
                                        std::span<const int> clock_errors_min, const std::vector<int>& phases,
                                        double at_least_sure) {
  LaidOut laid = trial_.Lay(settings, {&window, 1}, clock_errors_min, phases);
  return Lows(laid, at_least_sure);
}

std::vector<double> SurenessJudge::Lows(LaidOut& laid, double at_least_sure) {
  const size_t may_fail = MayFail(at_least_sure);
  std::vector<double> lows;
  size_t failed = 0;
  std::fill(failed_now_.begin(), failed_now_.end(), 0);
  for (const size_t draw : order_) {
    lows.push_back(trial_.Lowest(laid, reaches_[draw]).mg_per_l);
    if (lows.back() >= trial_.numbers().target_mg_per_l) continue;
    failed_now_[draw] = 1;
    if (++failed > may_fail) break;
  }
  std::stable_partition(order_.begin(), order_.end(), [this](size_t draw) { return failed_now_[draw] != 0; });
  lows.resize(reaches_.size(), 0);
  std::sort(lows.begin(), lows.end());
  return lows;
}

size_t SurenessJudge::MayFail(double sureness) const {
  return static_cast<size_t>(std::floor((1 - sureness) * static_cast<double>(reaches_.size()) + 1e-9));
}

}  // namespace lastreach
