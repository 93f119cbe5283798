#include "hydraulics/steady_solver.h"

namespace lastreach {
namespace {

// A link of a full tank lets water pass from it, one of an empty tank to it. Gives whether it was turned.
bool PassOneWay(Link& link, bool from_begin) {
  const bool turns = !from_begin && link.kind == LinkKind::kPipe;
  if (turns) std::swap(link.from, link.to);
  if (link.kind == LinkKind::kPipe) {
    link.kind = LinkKind::kCheck;
  } else if (!from_begin) {
    link.kind = LinkKind::kClosed;
  }
  return turns;
}

// What a supply shuts, as a network: gates by link, not by tank.
Network Gated(const Network& network, const Supply& supply, std::vector<char>& turned) {
  Network gated = network;
  turned.assign(network.links.size(), 0);
  for (size_t i = 0; i < network.links.size(); ++i) {
    Link& link = gated.links[i];
    if (!supply.shut.empty() && supply.shut[i]) link.kind = LinkKind::kClosed;
    for (const NodeIndex end : {network.links[i].from, network.links[i].to}) {
      if (supply.tank_gate.empty() || IsShut(link) || supply.tank_gate[At(end)] == TankGate::kFree) continue;
      const bool gives = supply.tank_gate[At(end)] == TankGate::kOnlyGives;
      turned[i] = PassOneWay(link, gives == (network.links[i].from == end));
    }
  }
  return gated;
}

}  // namespace

class SteadySolver::Impl {
 public:
  const Network* network = nullptr;
  CoreOptions options;
  SteadyState state;
};

SteadySolver::SteadySolver(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
SteadySolver::~SteadySolver() = default;
SteadySolver::SteadySolver(SteadySolver&&) noexcept = default;
SteadySolver& SteadySolver::operator=(SteadySolver&&) noexcept = default;

Result<SteadySolver> SteadySolver::Make(const Network& network, const CoreOptions& options) {
  auto impl = std::make_unique<Impl>();
  impl->network = &network;
  impl->options = options;
  return SteadySolver(std::move(impl));
}

Result<const SteadyState*> SteadySolver::Solve(const Supply& supply) {
  std::vector<char> turned;
  auto state = SolveSteady(Gated(*impl_->network, supply, turned), supply, impl_->options);
  if (!state.ok()) return state.error();
  impl_->state = *std::move(state);
  for (size_t i = 0; i < turned.size(); ++i) {
    if (turned[i]) impl_->state.flow_m3_per_s[i] *= -1;
  }
  return &impl_->state;
}

void SteadySolver::Forget() {}

}  // namespace lastreach
