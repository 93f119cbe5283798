#pragma once

#include <gsl/gsl_errno.h>
#include <gsl/gsl_multiroots.h>

#include <cmath>
#include <memory>
#include <optional>
#include <random>
#include <vector>

#include "hydraulics/friction.h"
#include "hydraulics/supply.h"
#include "network/network.h"

// For tests: heads and flows of a small network by a root finder that knows nothing of networks.
namespace lastreach {

inline constexpr double kG = 9.80665;

// How one link behaves in one combination.
enum class Mode { kLaw, kNoFlow, kHoldTo, kHoldFrom, kFixedFlow };

struct Element {
  int from = 0, to = 0;  // node numbers; -1 is the open air, or a tank's water
  double air_m = 0;
  const Link* link = nullptr;  // none of an opening, a tank, a demand
  double opening = 0;          // c A sqrt(2 g)
  std::vector<Mode> modes;
  TankGate gate = TankGate::kShut;  // of a tank
  double demand = 0;                // that falls with pressure
};

inline double Loss(const Element& element, const NetworkOptions& options, double q) {
  if (element.opening > 0) return q * std::abs(q) / (element.opening * element.opening);
  if (element.demand > 0) {
    const ShortPressure& p = *options.short_pressure;
    return p.none_below_m + (p.full_above_m - p.none_below_m) * q * std::abs(q) / std::pow(element.demand, 2);
  }
  if (!element.link) return 0;
  const Link& link = *element.link;
  if (link.pump) {
    const PumpCurve& c = *link.pump;
    return -c.shutoff_head_m +
           (c.shutoff_head_m - c.design_head_m) * q * std::abs(q) / std::pow(c.design_flow_m3_per_s, 2);
  }
  const double d = link.inner_diameter_m->value;
  const double v = q / (M_PI / 4 * d * d);
  const double minor = link.minor_loss * v * std::abs(v) / (2 * kG);
  const double length_m = link.length_m.value;
  if (length_m == 0 || q == 0) return minor;
  if (options.head_loss == HeadLoss::kHazenWilliams) {
    return minor + std::copysign(10.667 * length_m * std::pow(std::abs(q), 1.852) /
                                     (std::pow(link.roughness->value, 1.852) * std::pow(d, 4.871)),
                                 q);
  }
  const double f =
      DarcyFriction(std::abs(v) * d / options.viscosity_m2_per_s, link.roughness->value / d).factor;
  return minor + f * length_m / d * v * std::abs(v) / (2 * kG);
}

struct Equations {
  const Network& network;
  std::vector<Element> elements;
  std::vector<Mode> mode;  // of each element
  size_t nodes() const { return network.nodes.size(); }
  size_t size() const { return nodes() + elements.size(); }
  double Head(const Element& e, int node, const double* x) const { return node < 0 ? e.air_m : x[node]; }

  double GivenDemand(const Node& node) const {
    const bool falls = network.options.short_pressure && node.demand_m3_per_s > 0;
    return falls || node.kind != NodeKind::kJunction ? 0 : node.demand_m3_per_s;
  }
  // Unknowns: heads [m], then flows [L/s], so that both are of one size.
  void Evaluate(const double* x, double* f) const {
    for (size_t i = 0; i < nodes(); ++i) f[i] = -1000 * GivenDemand(network.nodes[i]);
    for (size_t k = 0; k < elements.size(); ++k) {
      const Element& e = elements[k];
      const double q = x[nodes() + k] / 1000;
      f[e.from] -= 1000 * q;
      if (e.to >= 0) f[e.to] += 1000 * q;
      double& g = f[nodes() + k];
      const double set = e.demand > 0 ? e.demand : e.link && e.link->setting ? *e.link->setting : 0;
      switch (mode[k]) {
        case Mode::kLaw:
          g = Head(e, e.from, x) - Head(e, e.to, x) - Loss(e, network.options, q);
          break;
        case Mode::kNoFlow:
          g = 1000 * q;
          break;
        case Mode::kHoldTo:
          g = x[e.to] - network.nodes[static_cast<size_t>(e.to)].elevation_m->value - set;
          break;
        case Mode::kHoldFrom:
          g = x[e.from] - network.nodes[static_cast<size_t>(e.from)].elevation_m->value - set;
          break;
        case Mode::kFixedFlow:
          g = 1000 * (q - set);
          break;
      }
    }
    for (size_t i = 0; i < nodes(); ++i) {
      if (network.nodes[i].kind == NodeKind::kSource) f[i] = x[i] - *network.nodes[i].head_m;
    }
  }

  // Whether every element is rightly in its mode, by what the words of the format mean.
  bool Agrees(const std::vector<double>& x) const {
    constexpr double kTolerance = 1e-7;
    for (size_t k = 0; k < elements.size(); ++k) {
      const Element& e = elements[k];
      if (e.modes.size() == 1) continue;
      const double q = x[nodes() + k] / 1000;
      const double drive = Head(e, e.from, x.data()) - Head(e, e.to, x.data());
      const double spare = drive - Loss(e, network.options, q);
      if (!e.link && e.opening == 0) {
        const double over_m = mode[k] == Mode::kNoFlow ? drive : 0;
        if (!(e.demand > 0 ? DemandAgrees(e, mode[k], drive, q) : TankAgrees(e.gate, over_m, q)))
          return false;
        continue;
      }
      const LinkKind kind = e.link ? e.link->kind : LinkKind::kCheck;
      double over = 0;
      if (kind == LinkKind::kReducing) over = x[static_cast<size_t>(e.to)] - ToHead(e);
      if (kind == LinkKind::kSustaining) over = FromHead(e) - x[static_cast<size_t>(e.from)];
      const bool is_pressure_valve = kind == LinkKind::kReducing || kind == LinkKind::kSustaining;
      bool right = true;
      if (mode[k] == Mode::kLaw && kind == LinkKind::kLimiting) right = q <= *e.link->setting + kTolerance;
      if (mode[k] == Mode::kLaw && kind != LinkKind::kLimiting)
        right = q >= -kTolerance && over <= kTolerance;
      if (mode[k] == Mode::kNoFlow && !is_pressure_valve) right = spare <= kTolerance;
      if (mode[k] == Mode::kNoFlow && is_pressure_valve) right = drive <= kTolerance || over >= -kTolerance;
      if (mode[k] == Mode::kHoldTo || mode[k] == Mode::kHoldFrom)
        right = q >= -kTolerance && spare >= -kTolerance;
      if (mode[k] == Mode::kFixedFlow) right = spare >= -kTolerance;
      if (!right) return false;
    }
    return true;
  }
  // `over_m`: by how much the node stands over the tank's water.
  static bool TankAgrees(TankGate gate, double over_m, double takes) {
    constexpr double kTolerance = 1e-7;
    if (gate == TankGate::kOnlyFills) return takes >= -kTolerance && over_m <= kTolerance;
    if (gate == TankGate::kOnlyGives) return takes <= kTolerance && over_m >= -kTolerance;
    return true;
  }
  bool DemandAgrees(const Element& e, Mode is, double pressure_m, double q) const {
    constexpr double kTolerance = 1e-7;
    const ShortPressure& p = *network.options.short_pressure;
    if (is == Mode::kNoFlow) return pressure_m <= p.none_below_m + kTolerance;
    if (is == Mode::kFixedFlow) return pressure_m >= p.full_above_m - kTolerance;
    return q >= -kTolerance && q <= e.demand + kTolerance;
  }
  double ToHead(const Element& e) const {
    return network.nodes[static_cast<size_t>(e.to)].elevation_m->value + *e.link->setting;
  }
  double FromHead(const Element& e) const {
    return network.nodes[static_cast<size_t>(e.from)].elevation_m->value + *e.link->setting;
  }
};

inline int Function(const gsl_vector* x, void* equations, gsl_vector* f) {
  static_cast<const Equations*>(equations)->Evaluate(x->data, f->data);
  return GSL_SUCCESS;
}

// From several random starts; none if no start leads to a root.
inline std::optional<std::vector<double>> Root(Equations& equations, std::mt19937_64& random) {
  constexpr int kStarts = 6, kSteps = 300;
  const size_t n = equations.size();
  std::uniform_real_distribution<double> head(40, 90), flow(-20, 20);
  const std::unique_ptr<gsl_vector, void (*)(gsl_vector*)> start(gsl_vector_alloc(n), gsl_vector_free);
  const std::unique_ptr<gsl_multiroot_fsolver, void (*)(gsl_multiroot_fsolver*)> solver(
      gsl_multiroot_fsolver_alloc(gsl_multiroot_fsolver_hybrids, n), gsl_multiroot_fsolver_free);
  gsl_multiroot_function function{&Function, n, &equations};
  for (int i = 0; i < kStarts; ++i) {
    for (size_t k = 0; k < n; ++k)
      gsl_vector_set(start.get(), k, k < equations.nodes() ? head(random) : flow(random));
    if (gsl_multiroot_fsolver_set(solver.get(), &function, start.get()) != GSL_SUCCESS) continue;
    for (int step = 0; step < kSteps; ++step) {
      if (gsl_multiroot_fsolver_iterate(solver.get()) != GSL_SUCCESS) break;
      if (gsl_multiroot_test_residual(solver->f, 1e-11) == GSL_SUCCESS) break;
    }
    // Rounding of heads of 100 m in the sum of n equations.
    if (gsl_multiroot_test_residual(solver->f, 1e-8) != GSL_SUCCESS) continue;
    return std::vector<double>(solver->x->data, solver->x->data + n);
  }
  return {};
}

inline std::vector<Mode> ModesOf(LinkKind kind) {
  switch (kind) {
    case LinkKind::kCheck:
    case LinkKind::kPump:
      return {Mode::kLaw, Mode::kNoFlow};
    case LinkKind::kReducing:
      return {Mode::kHoldTo, Mode::kLaw, Mode::kNoFlow};
    case LinkKind::kSustaining:
      return {Mode::kHoldFrom, Mode::kLaw, Mode::kNoFlow};
    case LinkKind::kLimiting:
      return {Mode::kLaw, Mode::kFixedFlow};
    case LinkKind::kPipe:
    case LinkKind::kClosed:
      break;
  }
  return {Mode::kLaw};
}

inline std::vector<Mode> ModesOf(TankGate gate) {
  if (gate == TankGate::kFree) return {Mode::kLaw};
  if (gate == TankGate::kShut) return {Mode::kNoFlow};
  return {Mode::kLaw, Mode::kNoFlow};
}

// What stands at nodes: leaks, tanks with their gates, demands that fall with pressure.
inline void AddNodeElements(const Network& network, const std::vector<TankGate>& gates,
                            Equations& equations) {
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    const Node& node = network.nodes[i];
    Element element{static_cast<int>(i), -1, node.elevation_m->value, nullptr, 0, {}};
    if (node.leak) {
      const double d = node.leak->orifice_m;
      element.opening = node.leak->coefficient * M_PI / 4 * d * d * std::sqrt(2 * kG);
      element.modes = {Mode::kLaw, Mode::kNoFlow};
      equations.elements.push_back(element);
      element.opening = 0;
    }
    if (node.kind == NodeKind::kTank) {
      element.air_m += node.tank->level_m;
      element.gate = gates[i];
      element.modes = ModesOf(gates[i]);
      equations.elements.push_back(element);
    } else if (network.options.short_pressure && node.demand_m3_per_s > 0) {
      element.demand = node.demand_m3_per_s;
      element.modes = {Mode::kFixedFlow, Mode::kLaw, Mode::kNoFlow};
      equations.elements.push_back(element);
    }
  }
}

inline Equations EquationsOf(const Network& network, const std::vector<TankGate>& gates) {
  Equations equations{network, {}, {}};
  for (const Link& link : network.links) {
    equations.elements.push_back(
        {static_cast<int>(At(link.from)), static_cast<int>(At(link.to)), 0, &link, 0, ModesOf(link.kind)});
  }
  for (const NodeRun& run : network.runs) {
    const double d = *run.orifice_m;
    equations.elements.push_back({static_cast<int>(At(run.node)),
                                  -1,
                                  network[run.node].elevation_m->value,
                                  nullptr,
                                  *run.coefficient * M_PI / 4 * d * d * std::sqrt(2 * kG),
                                  {Mode::kLaw, Mode::kNoFlow}});
  }
  AddNodeElements(network, gates, equations);
  return equations;
}

// Every combination of modes in turn; the first that agrees with itself.
inline std::optional<std::vector<double>> SolveByTrying(const Network& network, std::mt19937_64& random,
                                                        const std::vector<TankGate>& gates = {}) {
  Equations equations = EquationsOf(network, gates);
  std::vector<size_t> choice(equations.elements.size(), 0);
  for (;;) {
    equations.mode.clear();
    for (size_t k = 0; k < choice.size(); ++k)
      equations.mode.push_back(equations.elements[k].modes[choice[k]]);
    const auto root = Root(equations, random);
    if (root && equations.Agrees(*root)) return root;
    size_t k = 0;
    while (k < choice.size() && ++choice[k] == equations.elements[k].modes.size()) choice[k++] = 0;
    if (k == choice.size()) return {};
  }
}

}  // namespace lastreach
