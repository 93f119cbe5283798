#pragma once

#include <memory>
#include <span>

#include "quality/network_transport.h"

namespace lastreach {

// What NetworkTransport rests on: one engine for each set of quantities carried. See network_transport.h.
class TransportEngine {
 public:
  virtual ~TransportEngine() = default;
  virtual void Advance(const FlowPeriod& period) = 0;  // sizes and times are checked
  virtual void ReadNodes(Quantity quantity, std::span<double> out) const = 0;
  virtual void BeginSpan() = 0;
  virtual SpanStatistics Span(Quantity quantity) = 0;
  virtual double WorstError(Quantity quantity) const = 0;
  virtual NetworkMassAccount Account() const = 0;
  virtual const NetworkTransportCounts& counts() const = 0;
};

// REQUIRES: at least one quantity is carried; values are in range.
std::unique_ptr<TransportEngine> MakeTransportEngine(const Network& network,
                                                     const NetworkQualityOptions& options);

}  // namespace lastreach
