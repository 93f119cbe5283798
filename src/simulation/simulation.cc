#include "simulation/simulation.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <numbers>

#include "simulation/period_stream.h"
#include "simulation/step_recorder.h"

namespace lastreach {
namespace {

constexpr double kWeek_s = 168 * kSecondsPerHour;
constexpr double kMonth_s = 30 * 24 * kSecondsPerHour;
constexpr double kShareThatMatters = 0.005;
constexpr double kStandsBelow_m3_per_s = 1e-9;
constexpr double kRoughTolerance = 0.005;  // of water that only tells whether the start still shows

using Clock = std::chrono::steady_clock;

double SecondsSince(Clock::time_point begin) {
  return std::chrono::duration<double>(Clock::now() - begin).count();
}

// The two waters of the warm-up, and the clock that goes on from week to week.
class Simulator {
 public:
  Simulator(const Network& network, const SimulationAsk& ask) : network_(network), ask_(ask) {}

  Result<Simulated> Run() {
    const Clock::time_point begin = Clock::now();
    NetworkQualityOptions options;
    options.age = ask_.age || ask_.warm_week != nullptr;
    options.chlorine = ask_.chlorine;
    options.source = ask_.source;
    options.tolerance = ask_.tolerance;
    auto transport = NetworkTransport::Make(network_, options);
    if (!transport.ok()) return transport.error();
    flows_ = &network_;
    if (ask_.warm_week != nullptr) {
      if (Status warm = WarmUpFrom(*transport); !warm.ok()) return warm.error();
    }
    if (Status done = Main(*transport); !done.ok()) return done.error();
    Account(*transport);
    out_.total_s = SecondsSince(begin);
    return std::move(out_);
  }

 private:
  // Moves the water through a period that begins `shift_s_` later than it says; times its own work.
  Status Advance(NetworkTransport& transport, FlowPeriod period) {
    const Clock::time_point begin = Clock::now();
    period.begin_s += shift_s_;
    period.end_s += shift_s_;
    Status moved = transport.Advance(period);
    out_.quality_s += SecondsSince(begin);
    return moved;
  }

  Status WarmUpFrom(NetworkTransport& transport) {
    NetworkQualityOptions old_water;
    old_water.chlorine = false;
    old_water.tolerance = kRoughTolerance;
    old_water.initial_age_s = kMonth_s;
    auto old = NetworkTransport::Make(network_, old_water);
    if (!old.ok()) return old.error();
    Network week = *ask_.warm_week;
    int unchanged = 0;
    while (true) {
      if (Status ran = OneWeek(week, transport, *old); !ran.ok()) return ran;
      const std::vector<NodeIndex> before = std::move(out_.warm_up.from_start);
      out_.warm_up.from_start = FromStart(transport, *old);
      unchanged = before == out_.warm_up.from_start ? unchanged + 1 : 0;
      out_.warm_up.settled = out_.warm_up.from_start.empty();
      const bool only_still_water =
          std::none_of(out_.warm_up.from_start.begin(), out_.warm_up.from_start.end(),
                       [this](NodeIndex node) { return moved_[At(node)] != 0; });
      if (only_still_water || unchanged >= 2 || out_.warm_up.weeks >= ask_.most_warm_weeks) break;
    }
    started_ = network_;
    for (size_t i = 0; i < started_.nodes.size(); ++i) {
      if (started_.nodes[i].tank) started_.nodes[i].tank = week.nodes[i].tank;
    }
    flows_ = &started_;
    return Ok();
  }

  Status OneWeek(Network& week, NetworkTransport& transport, NetworkTransport& old) {
    FlowSimulationOptions options;
    options.hours = kWeek_s / kSecondsPerHour;
    auto stream = PeriodStream::Begin(week, options);
    if (!stream.ok()) return stream.error();
    FlowPeriod period;
    std::vector<double> volume_m3(week.nodes.size(), 0);
    moved_.assign(week.nodes.size(), 0);
    for (;;) {
      const Result<bool> more = stream->Next(period);
      if (!more.ok()) return more.error();
      if (!*more) break;
      for (NetworkTransport* water : {&transport, &old}) {
        if (Status moved = Advance(*water, period); !moved.ok()) return moved;
      }
      for (size_t i = 0; i < week.links.size(); ++i) {
        if (std::abs(period.flow_m3_per_s[i]) < kStandsBelow_m3_per_s) continue;
        moved_[At(week.links[i].from)] = moved_[At(week.links[i].to)] = 1;
      }
      for (size_t i = 0; i < volume_m3.size(); ++i) {
        volume_m3[i] =
            period.tank_volume_m3[i] + period.outflow_m3_per_s[i] * (period.end_s - period.begin_s);
      }
    }
    for (size_t i = 0; i < volume_m3.size(); ++i) {
      auto& tank = week.nodes[i].tank;
      if (!tank || !(tank->diameter_m > 0)) continue;
      const double area_m2 = std::numbers::pi / 4 * tank->diameter_m * tank->diameter_m;
      tank->level_m = std::clamp(volume_m3[i] / area_m2, tank->min_level_m, tank->max_level_m);
    }
    shift_s_ += kWeek_s;
    ++out_.warm_up.weeks;
    out_.hydraulics_s += stream->solving_s();
    return Ok();
  }

  std::vector<NodeIndex> FromStart(const NetworkTransport& transport, const NetworkTransport& old) const {
    std::vector<double> young(network_.nodes.size());
    std::vector<double> aged(network_.nodes.size());
    transport.ReadNodes(Quantity::kAge, young);
    old.ReadNodes(Quantity::kAge, aged);
    std::vector<NodeIndex> nodes;
    for (size_t i = 0; i < young.size(); ++i) {
      if (aged[i] - young[i] > kShareThatMatters * kMonth_s) nodes.push_back(static_cast<NodeIndex>(i));
    }
    return nodes;
  }

  Status Main(NetworkTransport& transport) {
    FlowSimulationOptions options;
    options.hours = ask_.hours;
    options.report_step_s = ask_.step_s;
    auto stream = PeriodStream::Begin(*flows_, options);
    if (!stream.ok()) return stream.error();
    StepRecorder recorder(network_, ask_, transport, out_);
    std::vector<double> moments_s;
    for (const MomentWanted& moment : ask_.moments) moments_s.push_back(moment.at_s);
    std::sort(moments_s.begin(), moments_s.end());
    FlowPeriod period;
    bool first = true;
    for (;;) {
      const Result<bool> more = stream->Next(period);
      if (!more.ok()) return more.error();
      if (!*more) break;
      if (first) {
        recorder.BeginAt0(period);
        transport.BeginSpan();
        first = false;
      }
      if (Status moved = ThroughMoments(transport, recorder, period, moments_s); !moved.ok()) return moved;
      const double step = period.end_s / ask_.step_s;
      if (std::abs(step - std::round(step)) * ask_.step_s > 1e-6) continue;
      recorder.EndStep(std::round(step) * ask_.step_s / kSecondsPerHour, period);
      transport.BeginSpan();
    }
    recorder.Finish();
    out_.flows = stream->summary();
    out_.hydraulics_s += stream->solving_s();
    return Ok();
  }

  // A period is cut where a moment is asked for inside it: flows stay, a tank has what it had and its flow.
  Status ThroughMoments(NetworkTransport& transport, StepRecorder& recorder, const FlowPeriod& period,
                        const std::vector<double>& moments_s) {
    constexpr double kSame_s = 1e-6;
    FlowPeriod part = period;
    auto moment = std::upper_bound(moments_s.begin(), moments_s.end(), period.begin_s + kSame_s);
    do {
      const bool inside = moment != moments_s.end() && *moment < period.end_s - kSame_s;
      part.end_s = inside ? *moment : period.end_s;
      if (Status moved = Advance(transport, part); !moved.ok()) return moved;
      recorder.AfterPeriod(part);
      if (inside) {
        moment = std::upper_bound(moment, moments_s.end(), *moment + kSame_s);
        tank_volume_m3_.assign(part.tank_volume_m3.begin(), part.tank_volume_m3.end());
        for (size_t i = 0; i < tank_volume_m3_.size(); ++i) {
          if (!network_.nodes[i].tank) continue;
          tank_volume_m3_[i] += part.outflow_m3_per_s[i] * (part.end_s - part.begin_s);
        }
        part.tank_volume_m3 = tank_volume_m3_;
      }
      part.begin_s = part.end_s;
    } while (part.begin_s < period.end_s);
    return Ok();
  }

  void Account(const NetworkTransport& transport) {
    if (ask_.age) out_.age_error_s = transport.worst_error(Quantity::kAge);
    if (ask_.source) out_.share_error = transport.worst_error(Quantity::kSourceShare);
    if (ask_.chlorine) {
      out_.chlorine_error = transport.worst_error(Quantity::kChlorine);
      if (ask_.thm) out_.thm_error = transport.worst_error(Quantity::kThm);
      out_.reacting = network_.options.two_reactants.has_value();
      if (!out_.reacting) out_.disinfectant = transport.Account();
    }
    out_.counts = transport.counts();
  }

  const Network& network_;
  const SimulationAsk& ask_;
  const Network* flows_ = nullptr;  // whose flows are solved: with the tanks as the warm-up left them
  Network started_;
  double shift_s_ = 0;
  std::vector<double> tank_volume_m3_;
  std::vector<char> moved_;  // size nodes: whether water came by in the week
  Simulated out_;
};

}  // namespace

Result<Simulated> Simulate(const Network& network, const SimulationAsk& ask) {
  return Simulator(network, ask).Run();
}

}  // namespace lastreach
