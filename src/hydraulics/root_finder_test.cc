// The solver against a root finder that knows nothing of networks: GSL's hybrid method on all heads and flows
// together. Which valve is in which state is not found but tried: every combination is solved, and the one
// whose answer agrees with itself must be ours. Where none agrees, ours must not claim one.
#include <gsl/gsl_errno.h>
#include <gsl/gsl_multiroots.h>
#include <gtest/gtest.h>

#include <cmath>
#include <memory>
#include <random>

#include "hydraulics/friction.h"
#include "hydraulics/random_networks.h"

namespace lastreach {
namespace {

constexpr double kG = 9.80665;

// How one link behaves in one combination.
enum class Mode { kLaw, kNoFlow, kHoldTo, kHoldFrom, kFixedFlow };

struct Element {
  int from = 0, to = 0;  // node numbers; -1 is the open air
  double air_m = 0;
  const Link* link = nullptr;  // none of an opening
  double opening = 0;          // c A sqrt(2 g)
  std::vector<Mode> modes;
};

double Loss(const Element& element, const NetworkOptions& options, double q) {
  if (!element.link) return q * std::abs(q) / (element.opening * element.opening);
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

  // Unknowns: heads [m], then flows [L/s], so that both are of one size.
  void Evaluate(const double* x, double* f) const {
    for (size_t i = 0; i < nodes(); ++i) f[i] = -1000 * network.nodes[i].demand_m3_per_s;
    for (size_t k = 0; k < elements.size(); ++k) {
      const Element& e = elements[k];
      const double q = x[nodes() + k] / 1000;
      f[e.from] -= 1000 * q;
      if (e.to >= 0) f[e.to] += 1000 * q;
      double& g = f[nodes() + k];
      const double set = e.link && e.link->setting ? *e.link->setting : 0;
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
  double ToHead(const Element& e) const {
    return network.nodes[static_cast<size_t>(e.to)].elevation_m->value + *e.link->setting;
  }
  double FromHead(const Element& e) const {
    return network.nodes[static_cast<size_t>(e.from)].elevation_m->value + *e.link->setting;
  }
};

int Function(const gsl_vector* x, void* equations, gsl_vector* f) {
  static_cast<const Equations*>(equations)->Evaluate(x->data, f->data);
  return GSL_SUCCESS;
}

// From several random starts; none if no start leads to a root.
std::optional<std::vector<double>> Root(Equations& equations, std::mt19937_64& random) {
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

std::vector<Mode> ModesOf(LinkKind kind) {
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

Equations EquationsOf(const Network& network) {
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
  return equations;
}

// Every combination of modes in turn; the first that agrees with itself.
std::optional<std::vector<double>> SolveByTrying(const Network& network, std::mt19937_64& random) {
  Equations equations = EquationsOf(network);
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

TEST(SteadyState, IsThatOfARootFinderThatTriesEveryStateOfEveryValve) {
  gsl_set_error_handler_off();
  constexpr int kNetworks = 1000;
  int compared = 0, both_none = 0, not_found = 0, all_fed = 0;
  for (int i = 0; i < kNetworks; ++i) {
    std::mt19937_64 random(20261125 + static_cast<unsigned>(i));
    const Network network = RandomNetwork(random).Make();
    const auto state = SolveSteady(network);
    ASSERT_TRUE(state.ok()) << state.error().ToString();
    if (!state->summary.not_fed.empty()) continue;
    ++all_fed;
    const auto root = SolveByTrying(network, random);
    const bool converged = state->summary.status == SolveStatus::kConverged;
    if (!root) {
      ++(converged ? not_found : both_none);
      // Ours has an answer of which the finder found no root: it must still balance.
      EXPECT_LT(converged ? state->summary.energy_imbalance_m : 0, 1e-6) << "network " << i;
      continue;
    }
    EXPECT_TRUE(converged) << "network " << i << ": " << state->summary.BriefReport(network);
    if (!converged) continue;
    ++compared;
    const std::vector<char> moves = NodesWhereWaterMoves(network, *state);
    for (size_t k = 0; k < network.nodes.size(); ++k) {
      if (!moves[k]) continue;
      EXPECT_NEAR(state->head_m[k], (*root)[k], 1e-5) << "network " << i << " node " << k;
    }
    for (size_t k = 0; k < network.links.size(); ++k) {
      EXPECT_NEAR(state->flow_m3_per_s[k], (*root)[network.nodes.size() + k] / 1000, 1e-6)
          << "network " << i << " link " << k;
    }
  }
  RecordProperty("compared", compared);
  RecordProperty("none_for_either", both_none);
  RecordProperty("fed_whole", all_fed);
  EXPECT_GT(compared, kNetworks / 2);
  EXPECT_LT(not_found, compared / 10);
}

// Larger than can be tried state by state: whatever is claimed must balance, and what is not claimed must say
// where it fights.
TEST(SteadyState, OfAnyNetworkEitherBalancesOrNamesWhatDoesNotSettle) {
  constexpr int kNetworks = 200;
  int converged = 0;
  for (int i = 0; i < kNetworks; ++i) {
    std::mt19937_64 random(977 + static_cast<unsigned>(i));
    const Network network = RandomNetwork(random).Make(60, 20);
    const auto state = SolveSteady(network);
    ASSERT_TRUE(state.ok());
    const bool is_claimed = state->summary.status == SolveStatus::kConverged;
    converged += is_claimed;
    EXPECT_LT(is_claimed ? state->summary.mass_imbalance_m3_per_s : 0, 1e-9) << "network " << i;
    EXPECT_LT(is_claimed ? state->summary.energy_imbalance_m : 0, 1e-6) << "network " << i;
    EXPECT_NE(is_claimed, !state->summary.unsettled.empty()) << "network " << i;
  }
  EXPECT_GT(converged, 0);
  RecordProperty("converged", converged);
}

}  // namespace
}  // namespace lastreach
