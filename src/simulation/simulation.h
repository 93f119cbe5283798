#pragma once

#include <limits>
#include <optional>
#include <span>
#include <vector>

#include "core/result.h"
#include "hydraulics/flow_simulation_summary.h"
#include "network/network.h"
#include "quality/network_transport.h"

namespace lastreach {

// A quantity at some nodes through time.
struct SeriesWanted {
  Quantity quantity = Quantity::kAge;
  std::vector<NodeIndex> nodes;
};

// A quantity at one node at one moment: just before a device opens.
struct MomentWanted {
  Quantity quantity = Quantity::kAge;
  NodeIndex node{};
  double at_s = 0;
};

struct SimulationAsk {
  double hours = 24;
  double step_s = 3600;  // goes into the hours a whole number of times
  bool age = true;
  bool chlorine = false;
  bool thm = false;                 // with chlorine, beside two reactants
  std::optional<NodeIndex> source;  // whose share is told
  std::vector<SeriesWanted> series;
  std::vector<MomentWanted> moments;
  size_t kept_nodes = 0;  // of so many nodes and links, the first ones, all is kept at each step
  size_t kept_links = 0;
  // Before hour 0 this week, over and over, until the start no longer matters: the same network with the
  // devices' runs of the week before. Null: all begins at hour 0 with water of age 0 without chlorine.
  const Network* warm_week = nullptr;
  int most_warm_weeks = 8;
  // Of the transport (NetworkQualityOptions). A main cut at every service is many links, and what may go
  // wrong in each adds up in the bound: a twentieth of what the engine takes by itself costs a fifth more
  // time and keeps the bound near what a kit can tell.
  double tolerance = 0.0005;
};

// The worst that is met at each node; NaN where it never had water fed. Of age and residual the mean over a
// step counts, an hour unless asked otherwise: a glass is not filled in a moment, and where two waters meet a
// sliver of either may pass.
struct NodeExtremes {
  std::vector<double> worst;       // step: the oldest, the lowest residual; of pressure any moment
  std::vector<double> worst_hour;  // its end
  std::vector<double>
      worst_week;  // the mean over the worst of the weeks, or of all if there is no whole week
};

// All that is kept at one time; single precision, as the project file has it.
struct KeptStep {
  double hour = 0;
  std::vector<float> pressure_m;
  std::vector<float> flow_m3_per_s;
  std::vector<float> age_h, chlorine_mg_per_l, source_percent;  // empty where not asked for
};

struct WarmUp {
  int weeks = 0;
  bool settled = true;
  // Where more than a two-hundredth of the water was still that of the start.
  std::vector<NodeIndex> from_start;
};

struct Simulated {
  std::vector<double> times_h;
  // By the series asked for, then its nodes, then the times, in seconds, mg/L or shares; NaN where not known.
  std::vector<std::vector<std::vector<double>>> series;
  std::vector<double> moments;
  NodeExtremes age_s, chlorine_mg_per_l, pressure_m;
  std::vector<KeptStep> kept;
  WarmUp warm_up;
  FlowSimulationSummary flows;
  double age_error_s = 0;
  double thm_error = 0;       // ug/L
  double chlorine_error = 0;  // share of the concentration; mg/L beside reactants
  bool reacting = false;      // the network has reactants beside chlorine
  double share_error = 0;
  // Since the very start, warm-up and all; none beside reactants, which use it up as they go.
  std::optional<NetworkMassAccount> disinfectant;
  NetworkTransportCounts counts;
  double hydraulics_s = 0;  // of two threads at work side by side
  double quality_s = 0;
  double total_s = 0;
};

// Flows and what they carry, from hour 0. The hydraulics run ahead in a thread of their own.
//
// Warm-up: every week is carried twice, once from water of age 0 and once from water a month old. Age is
// linear in what it starts from, so the difference over that month is the share of the water that is still
// that of the start. It has settled where this is below 1/200, or no water came by all week; warming up is
// given up where a fortnight changes nothing any more, or after `most_warm_weeks`. Tanks keep their levels
// from week to week.
//
// ERROR: what FlowSimulation and NetworkTransport give. What does not converge or is not fed is in `flows`.
// DETERMINISM: the same network and ask give the same answer.
Result<Simulated> Simulate(const Network& network, const SimulationAsk& ask);

}  // namespace lastreach
