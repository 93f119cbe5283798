#include "quality/network_transport.h"

#include <cmath>
#include <string>
#include <utility>

#include "quality/transport_engine.h"

namespace lastreach {
namespace {

bool IsAtLeastZero(double value) { return value >= 0 && std::isfinite(value); }

Status CheckOptions(const Network& network, const NetworkQualityOptions& options) {
  if (!options.age && !options.chlorine && !options.source) return BadRequest("nothing is to be tracked");
  if (options.source && At(*options.source) >= network.nodes.size()) {
    return BadRequest("the source tracked is not in the network");
  }
  const std::pair<const char*, double> values[] = {
      {"tolerance", options.tolerance},
      {"initial_age_s", options.initial_age_s},
      {"initial_chlorine_mg_per_l", options.initial_chlorine_mg_per_l},
      {"initial_share", options.initial_share},
      {"still_below_m3_per_s", options.still_below_m3_per_s}};
  for (const auto& [name, value] : values) {
    if (!IsAtLeastZero(value)) {
      return BadRequest(std::string(name) + " is " + std::to_string(value) + "; it must be 0 or more");
    }
  }
  return Ok();
}

}  // namespace

double NetworkMassAccount::imbalance_g() const {
  return held_at_start_g + entered_g - left_g - decayed_in_links_g - decayed_in_tanks_g - held_g;
}

Result<NetworkTransport> NetworkTransport::Make(const Network& network,
                                                const NetworkQualityOptions& options) {
  if (Status checked = CheckOptions(network, options); !checked.ok()) return checked.error();
  NetworkTransport transport(MakeTransportEngine(network, options));
  transport.nodes_ = network.nodes.size();
  transport.links_ = network.links.size();
  transport.carries_[static_cast<std::size_t>(Quantity::kAge)] = options.age;
  transport.carries_[static_cast<std::size_t>(Quantity::kChlorine)] = options.chlorine;
  transport.carries_[static_cast<std::size_t>(Quantity::kSourceShare)] = options.source.has_value();
  for (const Quantity beside : {Quantity::kFastReactant, Quantity::kSlowReactant, Quantity::kThm}) {
    transport.carries_[static_cast<std::size_t>(beside)] =
        options.chlorine && network.options.two_reactants.has_value();
  }
  return transport;
}

NetworkTransport::NetworkTransport(std::unique_ptr<TransportEngine> engine) : engine_(std::move(engine)) {}
NetworkTransport::~NetworkTransport() = default;
NetworkTransport::NetworkTransport(NetworkTransport&&) noexcept = default;
NetworkTransport& NetworkTransport::operator=(NetworkTransport&&) noexcept = default;

Status NetworkTransport::Advance(const FlowPeriod& period) {
  if (period.flow_m3_per_s.size() != links_ || period.outflow_m3_per_s.size() != nodes_ ||
      period.tank_volume_m3.size() != nodes_) {
    return Internal("a period of flows has not the size of the network");
  }
  if (!(period.end_s > period.begin_s)) return Internal("a period of flows ends before it begins");
  if (now_s_ && std::abs(period.begin_s - *now_s_) > 1e-6) {
    return Internal("a period of flows begins at " + std::to_string(period.begin_s) +
                    " s, the last ended at " + std::to_string(*now_s_) + " s");
  }
  engine_->Advance(period);
  now_s_ = period.end_s;
  return Ok();
}

double NetworkTransport::now_s() const { return now_s_.value_or(0); }
bool NetworkTransport::Carries(Quantity quantity) const {
  return carries_[static_cast<std::size_t>(quantity)];
}
void NetworkTransport::ReadNodes(Quantity quantity, std::span<double> out) const {
  engine_->ReadNodes(quantity, out);
}
void NetworkTransport::BeginSpan() { engine_->BeginSpan(); }
SpanStatistics NetworkTransport::Span(Quantity quantity) { return engine_->Span(quantity); }
double NetworkTransport::worst_error(Quantity quantity) const { return engine_->WorstError(quantity); }
NetworkMassAccount NetworkTransport::Account() const { return engine_->Account(); }
const NetworkTransportCounts& NetworkTransport::counts() const { return engine_->counts(); }

}  // namespace lastreach
