#include "hydraulics/supply_schedule.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <unordered_map>

#include "core/quantity.h"
#include "hydraulics/link_law.h"
#include "network/plain_tables.h"
#include "network/structure.h"

namespace lastreach {
namespace {

constexpr double kNever_s = std::numeric_limits<double>::infinity();

// Hours typed as decimals, 0.175 for 00:10:30, are meant to the second.
double ToMillisecond(double second) { return std::round(second * 1000) / 1000; }

double FactorAt(const std::vector<double>& factors, double hour) {
  return factors[static_cast<size_t>(std::fmod(hour, static_cast<double>(factors.size())))];
}

}  // namespace

Result<SupplySchedule> SupplySchedule::Make(const Network& network) {
  SupplySchedule schedule;
  // Before any run, so that all openings it has are leaks.
  double before_hour = -1;
  for (const NodeRun& run : network.runs) before_hour = std::min(before_hour, std::floor(run.start_hour) - 1);
  auto first = SupplyAt(network, before_hour);
  if (!first.ok()) return first.error();
  schedule.begin_ = *std::move(first);
  schedule.leaks_ = schedule.begin_.openings.size();
  schedule.base_demand_m3_per_s_ = DemandAtNodes(network);
  const size_t nodes = network.nodes.size();
  schedule.base_head_m_.assign(nodes, std::numeric_limits<double>::quiet_NaN());
  schedule.pattern_.assign(nodes, kNoPattern);
  std::unordered_map<std::string, uint32_t> numbers;
  std::unordered_map<std::string, const Pattern*> by_name;
  for (const Pattern& pattern : network.patterns) by_name[pattern.id] = &pattern;
  for (size_t i = 0; i < nodes; ++i) {
    const Node& node = network.nodes[i];
    if (node.kind == NodeKind::kSource) schedule.base_head_m_[i] = *node.head_m;
    const auto found = by_name.find(node.pattern);
    if (node.kind == NodeKind::kTank || found == by_name.end() || found->second->factors.empty()) continue;
    const auto [number, is_new] = numbers.emplace(node.pattern, schedule.patterns_.size());
    if (is_new) schedule.patterns_.push_back(found->second->factors);
    schedule.pattern_[i] = number->second;
  }
  for (const NodeRun& run : network.runs) {
    if (Status added = schedule.AddRun(network, run); !added.ok()) return added.error();
  }
  std::sort(schedule.changes_s_.begin(), schedule.changes_s_.end());
  schedule.on_.assign(schedule.runs_.size(), 0);
  schedule.SetFactors(schedule.FactorsAt(0), schedule.begin_);
  schedule.SetRuns(0, schedule.begin_);
  return schedule;
}

Status SupplySchedule::AddRun(const Network& network, const NodeRun& run) {
  Run added{run.node,
            ToMillisecond(run.start_hour * kSecondsPerHour),
            ToMillisecond(run.start_hour * kSecondsPerHour + run.minutes * kSecondsPerMinute),
            run.flow_m3_per_s.value_or(0),
            0,
            0};
  if (!run.flow_m3_per_s && run.orifice_m) {
    const Node& node = network[run.node];
    if (!node.elevation_m) {
      return BadInput("node '" + node.id + "' has an opening but no elevation to tell its pressure",
                      {"nodes.csv", {}, "elevation_m", ""});
    }
    added.conductance_m25_per_s = OpeningConductance(*run.orifice_m, run.coefficient.value_or(1));
    added.outlet_m = node.elevation_m->value;
  }
  runs_.push_back(added);
  changes_s_.push_back(added.begin_s);
  changes_s_.push_back(added.end_s);
  return Ok();
}

std::vector<double> SupplySchedule::FactorsAt(double second) const {
  const double hour = std::floor(second / kSecondsPerHour);
  std::vector<double> factors;
  for (const std::vector<double>& pattern : patterns_) factors.push_back(FactorAt(pattern, hour));
  return factors;
}

double SupplySchedule::Demand(size_t node) const {
  const double base = base_demand_m3_per_s_[node];
  const bool varies = std::isnan(base_head_m_[node]) && pattern_[node] != kNoPattern;
  return varies ? base * factors_[pattern_[node]] : base;
}

void SupplySchedule::SetFactors(std::vector<double> factors, Supply& supply) {
  factors_ = std::move(factors);
  for (size_t i = 0; i < pattern_.size(); ++i) {
    if (pattern_[i] == kNoPattern) continue;
    if (std::isnan(base_head_m_[i])) {
      supply.demand_m3_per_s[i] = Demand(i);
    } else {
      supply.fixed_head_m[i] = base_head_m_[i] * factors_[pattern_[i]];
    }
  }
}

void SupplySchedule::SetRuns(double second, Supply& supply) {
  for (const Run& run : runs_) supply.demand_m3_per_s[At(run.node)] = Demand(At(run.node));
  supply.openings.resize(leaks_);
  for (size_t i = 0; i < runs_.size(); ++i) {
    const Run& run = runs_[i];
    on_[i] = IsOn(run, second);
    if (!on_[i]) continue;
    supply.demand_m3_per_s[At(run.node)] += run.flow_m3_per_s;
    if (run.conductance_m25_per_s > 0) {
      supply.openings.push_back({run.node, run.conductance_m25_per_s, run.outlet_m});
    }
  }
}

bool SupplySchedule::Update(double second, Supply& supply) {
  std::vector<double> factors = FactorsAt(second);
  const bool new_factors = factors != factors_;
  bool new_runs = false;
  for (size_t i = 0; i < runs_.size() && !new_runs; ++i) {
    new_runs = IsOn(runs_[i], second) != (on_[i] != 0);
  }
  if (new_factors) SetFactors(std::move(factors), supply);
  if (new_factors || new_runs) SetRuns(second, supply);
  return new_factors || new_runs;
}

std::vector<double> SupplySchedule::Signature() const {
  std::vector<std::array<double, 3>> running;
  for (size_t i = 0; i < runs_.size(); ++i) {
    const Run& run = runs_[i];
    if (on_[i]) {
      running.push_back({static_cast<double>(At(run.node)), run.flow_m3_per_s, run.conductance_m25_per_s});
    }
  }
  std::sort(running.begin(), running.end());
  std::vector<double> signature = factors_;
  for (const auto& run : running) signature.insert(signature.end(), run.begin(), run.end());
  return signature;
}

double SupplySchedule::NextFactors_s(double second) const {
  double hour = std::floor(second / kSecondsPerHour);
  double longest_hours = 0;
  for (const auto& pattern : patterns_) {
    longest_hours = std::max(longest_hours, static_cast<double>(pattern.size()));
  }
  // Each pattern has shown all it has once the longest has come round.
  for (const double last = hour + longest_hours; hour < last;) {
    ++hour;
    for (const auto& pattern : patterns_) {
      if (FactorAt(pattern, hour) != FactorAt(pattern, hour - 1)) return hour * kSecondsPerHour;
    }
  }
  return kNever_s;
}

double SupplySchedule::NextChange_s(double second) const {
  const auto run = std::upper_bound(changes_s_.begin(), changes_s_.end(), second);
  return std::min(run == changes_s_.end() ? kNever_s : *run, NextFactors_s(second));
}

}  // namespace lastreach
