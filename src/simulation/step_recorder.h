#pragma once

#include <span>
#include <vector>

#include "simulation/simulation.h"

namespace lastreach {

// Takes down what a simulation is asked for, step by step.
class StepRecorder {
 public:
  // REQUIRES: all outlive it.
  StepRecorder(const Network& network, const SimulationAsk& ask, NetworkTransport& transport, Simulated& out);

  void BeginAt0(const FlowPeriod& first);
  // After the transport has moved through the period.
  void AfterPeriod(const FlowPeriod& period);
  // At the end of a step: `hour` on its face. The transport's span is that of the step.
  void EndStep(double hour, const FlowPeriod& last);
  void Finish();

 private:
  struct Weekly {
    std::vector<double> sum;  // of step means, this week
    int steps = 0;
  };

  bool Carries(Quantity quantity) const { return transport_.Carries(quantity); }
  void TakeSeries(const FlowPeriod& period);
  void TakeExtremes(Quantity quantity, double hour, NodeExtremes& extremes, Weekly& weekly);
  void EndWeek(NodeExtremes& extremes, Weekly& weekly, bool low_is_worse);
  void Keep(double hour, const FlowPeriod& period);
  std::vector<float> Floats(Quantity quantity, double factor, const FlowPeriod& period);
  void Read(Quantity quantity);  // into scratch_
  double Pressure_m(size_t node, const FlowPeriod& period) const;

  const Network& network_;
  const SimulationAsk& ask_;
  NetworkTransport& transport_;
  Simulated& out_;
  std::vector<char> fed_;  // at some moment of the step
  std::vector<double> scratch_;
  std::vector<double> lowest_pressure_m_;  // of the step
  Weekly age_week_, chlorine_week_;
  int steps_a_week_ = 168;
  bool moved_ = false;
};

}  // namespace lastreach
