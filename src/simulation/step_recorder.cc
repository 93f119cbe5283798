#include "simulation/step_recorder.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lastreach {
namespace {

constexpr double kHoursPerWeek = 168;
constexpr double kNotKnown = std::numeric_limits<double>::quiet_NaN();

NodeExtremes Unknown(size_t nodes) {
  return {std::vector<double>(nodes, kNotKnown), std::vector<double>(nodes, kNotKnown),
          std::vector<double>(nodes, kNotKnown)};
}

bool IsWorse(double value, double than, bool low_is_worse) {
  if (!std::isfinite(value)) return false;
  if (!std::isfinite(than)) return true;
  return low_is_worse ? value < than : value > than;
}

}  // namespace

StepRecorder::StepRecorder(const Network& network, const SimulationAsk& ask, NetworkTransport& transport,
                           Simulated& out)
    : network_(network), ask_(ask), transport_(transport), out_(out) {
  const size_t nodes = network.nodes.size();
  fed_.assign(nodes, 0);
  scratch_.assign(nodes, 0);
  lowest_pressure_m_.assign(nodes, kNotKnown);
  out_.pressure_m = Unknown(nodes);
  if (Carries(Quantity::kAge)) out_.age_s = Unknown(nodes);
  if (Carries(Quantity::kChlorine)) out_.chlorine_mg_per_l = Unknown(nodes);
  age_week_.sum.assign(nodes, 0);
  chlorine_week_.sum.assign(nodes, 0);
  steps_a_week_ = std::max(1, static_cast<int>(std::lround(kHoursPerWeek * kSecondsPerHour / ask.step_s)));
  out_.moments.assign(ask.moments.size(), kNotKnown);
  for (const SeriesWanted& wanted : ask.series) out_.series.emplace_back(wanted.nodes.size());
}

void StepRecorder::BeginAt0(const FlowPeriod& first) {
  out_.times_h.push_back(0);
  TakeSeries(first);
  if (ask_.kept_nodes > 0) Keep(0, first);
}

void StepRecorder::AfterPeriod(const FlowPeriod& period) {
  moved_ = true;
  for (size_t i = 0; i < fed_.size(); ++i) {
    if (!std::isfinite(period.head_m[i])) continue;
    fed_[i] = 1;
    const double pressure_m = Pressure_m(i, period);
    if (IsWorse(pressure_m, lowest_pressure_m_[i], true)) lowest_pressure_m_[i] = pressure_m;
  }
  constexpr double kSame_s = 1e-6;
  for (size_t m = 0; m < ask_.moments.size(); ++m) {
    const MomentWanted& wanted = ask_.moments[m];
    if (std::abs(period.end_s - wanted.at_s) > kSame_s || !Carries(wanted.quantity)) continue;
    Read(wanted.quantity);
    if (fed_[At(wanted.node)]) out_.moments[m] = scratch_[At(wanted.node)];
  }
}

void StepRecorder::EndStep(double hour, const FlowPeriod& last) {
  out_.times_h.push_back(hour);
  TakeSeries(last);
  if (ask_.kept_nodes > 0) Keep(hour, last);
  for (size_t i = 0; i < fed_.size(); ++i) {
    if (!IsWorse(lowest_pressure_m_[i], out_.pressure_m.worst[i], true)) continue;
    out_.pressure_m.worst[i] = lowest_pressure_m_[i];
    out_.pressure_m.worst_hour[i] = hour;
  }
  if (Carries(Quantity::kAge)) TakeExtremes(Quantity::kAge, hour, out_.age_s, age_week_);
  if (Carries(Quantity::kChlorine)) {
    TakeExtremes(Quantity::kChlorine, hour, out_.chlorine_mg_per_l, chlorine_week_);
  }
  std::fill(fed_.begin(), fed_.end(), 0);
  std::fill(lowest_pressure_m_.begin(), lowest_pressure_m_.end(), kNotKnown);
}

void StepRecorder::Finish() {
  // A part of a week counts where there is no whole one.
  const auto end = [&](NodeExtremes& extremes, Weekly& weekly, bool low_is_worse) {
    const bool none_whole = out_.times_h.size() <= static_cast<size_t>(steps_a_week_);
    if (weekly.steps > 0 && none_whole) EndWeek(extremes, weekly, low_is_worse);
  };
  if (Carries(Quantity::kAge)) end(out_.age_s, age_week_, false);
  if (Carries(Quantity::kChlorine)) end(out_.chlorine_mg_per_l, chlorine_week_, true);
}

void StepRecorder::TakeSeries(const FlowPeriod& period) {
  for (size_t s = 0; s < ask_.series.size(); ++s) {
    const SeriesWanted& wanted = ask_.series[s];
    Read(wanted.quantity);
    for (size_t i = 0; i < wanted.nodes.size(); ++i) {
      const size_t node = At(wanted.nodes[i]);
      out_.series[s][i].push_back(std::isfinite(period.head_m[node]) ? scratch_[node] : kNotKnown);
    }
  }
}

void StepRecorder::TakeExtremes(Quantity quantity, double hour, NodeExtremes& extremes, Weekly& weekly) {
  const bool low_is_worse = quantity == Quantity::kChlorine;
  const SpanStatistics span = transport_.Span(quantity);
  for (size_t i = 0; i < fed_.size(); ++i) {
    const double mean = fed_[i] ? span.mean[i] : kNotKnown;
    weekly.sum[i] += mean;
    if (!IsWorse(mean, extremes.worst[i], low_is_worse)) continue;
    extremes.worst[i] = mean;
    extremes.worst_hour[i] = hour;
  }
  if (++weekly.steps == steps_a_week_) EndWeek(extremes, weekly, low_is_worse);
}

void StepRecorder::EndWeek(NodeExtremes& extremes, Weekly& weekly, bool low_is_worse) {
  for (size_t i = 0; i < weekly.sum.size(); ++i) {
    const double mean = weekly.sum[i] / weekly.steps;
    if (IsWorse(mean, extremes.worst_week[i], low_is_worse)) extremes.worst_week[i] = mean;
  }
  std::fill(weekly.sum.begin(), weekly.sum.end(), 0);
  weekly.steps = 0;
}

void StepRecorder::Read(Quantity quantity) {
  if (moved_ || ask_.warm_week != nullptr) {
    transport_.ReadNodes(quantity, scratch_);
    return;
  }
  // Nothing has moved yet: the water of the start, and that of the sources.
  std::fill(scratch_.begin(), scratch_.end(), 0.0);
  if (quantity == Quantity::kThm) {
    std::fill(scratch_.begin(), scratch_.end(), network_.options.two_reactants->thm_ug_per_l);
  }
  if (quantity == Quantity::kSourceShare && ask_.source) scratch_[At(*ask_.source)] = 1;
  if (quantity != Quantity::kChlorine) return;
  for (size_t i = 0; i < scratch_.size(); ++i) {
    const Node& node = network_.nodes[i];
    if (node.kind != NodeKind::kJunction && !node.tank) scratch_[i] = node.chlorine_mg_per_l.value_or(0);
  }
}

double StepRecorder::Pressure_m(size_t node, const FlowPeriod& period) const {
  const auto& elevation = network_.nodes[node].elevation_m;
  return elevation ? period.head_m[node] - elevation->value : kNotKnown;
}

std::vector<float> StepRecorder::Floats(Quantity quantity, double factor, const FlowPeriod& period) {
  if (!Carries(quantity)) return {};
  Read(quantity);
  std::vector<float> numbers(ask_.kept_nodes);
  for (size_t i = 0; i < numbers.size(); ++i) {
    numbers[i] = static_cast<float>(std::isfinite(period.head_m[i]) ? factor * scratch_[i] : kNotKnown);
  }
  return numbers;
}

void StepRecorder::Keep(double hour, const FlowPeriod& period) {
  KeptStep step;
  step.hour = hour;
  for (size_t i = 0; i < ask_.kept_nodes; ++i) {
    step.pressure_m.push_back(static_cast<float>(Pressure_m(i, period)));
  }
  for (size_t i = 0; i < ask_.kept_links; ++i) {
    step.flow_m3_per_s.push_back(static_cast<float>(period.flow_m3_per_s[i]));
  }
  step.age_h = Floats(Quantity::kAge, 1 / kSecondsPerHour, period);
  step.chlorine_mg_per_l = Floats(Quantity::kChlorine, 1, period);
  step.source_percent = Floats(Quantity::kSourceShare, 100, period);
  out_.kept.push_back(std::move(step));
}

}  // namespace lastreach
