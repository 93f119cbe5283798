#pragma once

#include <array>
#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "core/result.h"
#include "plan/facts.h"

namespace lastreach {

// The numbers a plan stands on that nobody knows exactly. Each is taken as log-normal, middle x exp(sd z).
enum Uncertain { kBulkLoss, kWallLoss, kReachVolume, kDemand, kDeviceFlow, kUpstream, kUncertainCount };

// Standard normal deviates, one for each uncertain number, signed so that positive is always the bad side:
// more loss, more volume, less demand, less flow, less residual upstream.
using Deviates = std::array<double, kUncertainCount>;

struct PipeNumbers {
  double length_m = 0;
  double diameter_m = 0;
  int services = 0;
  double demand_m3_per_s = 0;  // all its services together, average
  double wall_m_per_s = 0;
};

// Another device's draw from the reach, made ready so that no more is counted on than is sure.
struct BesideNumbers {
  size_t pipe = 0;
  ControllerForm form;
  TimerSettings settings;
  double flow_m3_per_s = 0;
  double flow_log_sd = 0;
  double open_share = 0;  // of the season's time
};

// One device's numbers, middle values and spreads, with what had to be assumed in words.
struct PlanningNumbers {
  std::vector<PipeNumbers> pipes;  // from the well-fed main to the end
  double flow_m3_per_s = 0;
  double upstream_mg_per_l = 0;                            // the lowest of the day
  std::optional<std::array<double, 24>> upstream_by_hour;  // where it differs by the local hour
  double target_mg_per_l = 0;
  double temperature_c = 0;
  double bulk_per_s = 0;  // at temperature_c
  std::array<double, kUncertainCount> log_sd{};
  std::vector<std::string> assumed;
  std::shared_ptr<const std::vector<BesideNumbers>> beside;  // none: nobody else draws

  double volume_m3() const;
  double demand_m3_per_s() const;
  int services() const;
};

// Fills in what is missing with defaults that lean to the safe side, and says so in `assumed`.
//
// Spreads (log sd): by origin for geometry, demand and flow (measured, typed, estimated, assumed); by whether
// the decay is the user's or a default for the losses. The defaults and their sources stand in
// docs/theory/planning.md.
//
// ERROR: kBadInput, one sentence, where a number without which nothing can be said is missing: a pipe's
// length, the device's flow, a target, the residual upstream; or where what draws beside leaves at no pipe of
// the reach.
Result<PlanningNumbers> GatherNumbers(const DeviceFacts& facts, const PlanOptions& options);

// One standard deviation of the logarithm of a loss, by how it is known: what a fit stated, else by its
// origin; the default's where nobody gave it. Without what the temperature adds.
double LossLogSd(const std::optional<Sourced<double>>& loss);

// Middle value of one uncertain factor under a deviate: exp(+sd z) or exp(-sd z), whichever is the bad side
// for z > 0.
double Factor(const PlanningNumbers& numbers, Uncertain which, const Deviates& deviates);

}  // namespace lastreach
