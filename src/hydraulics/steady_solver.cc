#include "hydraulics/steady_solver.h"

namespace lastreach {

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
  auto state = SolveSteady(*impl_->network, supply, impl_->options);
  if (!state.ok()) return state.error();
  impl_->state = *std::move(state);
  return &impl_->state;
}

void SteadySolver::Forget() {}

}  // namespace lastreach
