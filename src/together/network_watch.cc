#include "together/network_watch.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>
#include <span>

#include "calendar/answer.h"
#include "plan/measure.h"
#include "quality/network_transport.h"
#include "simulation/period_stream.h"
#include "together/lump_trees.h"
#include "together/network_judge.h"
#include "together/node_runs.h"

namespace lastreach {
namespace {

constexpr int kFirstWarmDays = 14;
constexpr int kLaterWarmDays = 5;
constexpr double kTolerance = 0.005;  // as JudgeOnNetwork

// What a device draws from `begins` on, hour by hour, as runs of whole hours with what flows in them on
// average.
void AddHours(const std::vector<Run>& runs, NodeIndex node, double flow_m3_per_s, Instant begins, int hours,
              Network& network) {
  std::vector<double> open_h(static_cast<size_t>(hours), 0);
  for (const Run& run : runs) {
    const double from_h = std::max(0.0, HoursBetween(begins, run.start));
    const double to_h = std::min<double>(hours, HoursBetween(begins, run.end()));
    for (auto hour = static_cast<size_t>(from_h); static_cast<double>(hour) < to_h; ++hour) {
      const auto h = static_cast<double>(hour);
      open_h[hour] += std::min(to_h, h + 1) - std::max(from_h, h);
    }
  }
  for (size_t hour = 0; hour < open_h.size(); ++hour) {
    if (!(open_h[hour] > 0)) continue;
    NodeRun drawn;
    drawn.node = node;
    drawn.start_hour = static_cast<double>(hour);
    drawn.minutes = kSecondsPerHour / kSecondsPerMinute;
    drawn.flow_m3_per_s = flow_m3_per_s * open_h[hour];
    network.runs.push_back(drawn);
  }
}

}  // namespace

class NetworkWatch::Impl {
 public:
  Impl(const PlanningNetwork& network, const Zone& zone, DateWindow season)
      : network_(network.network), placed_(network.placed), zone_(zone), season_(season) {
    std::vector<NodeIndex> told;
    for (const PlacedDevice& placed : network.placed) {
      told.push_back(placed.root);
      told.insert(told.end(), placed.judged.begin(), placed.judged.end());
    }
    lumped_ = LumpTrees(network.network, told);
  }

  Status Begin() {
    NetworkQualityOptions options;
    options.age = false;
    options.tolerance = kTolerance;
    auto made = NetworkTransport::Make(lumped_.network, options);
    if (!made.ok()) return made.error();
    transport_ = *std::move(made);
    return Ok();
  }

  Result<std::vector<NetworkFinding>> Judge(const std::vector<DeviceDuty>& duties) {
    if (duties.size() != placed_.size()) return Internal("a duty for each placed device is needed");
    const DateWindow judged = DaysToJudge(network_, duties, season_);
    const int warm_days = is_warm_ ? kLaterWarmDays : kFirstWarmDays;
    is_warm_ = true;
    const DateWindow whole{AddDays(judged.from, -warm_days), judged.to};
    const Instant begins = zone_.FirstInstant(Midnight(whole.from));
    const auto hours =
        static_cast<int>(std::lround(HoursBetween(begins, zone_.FirstInstant(Midnight(whole.to)))));
    Network flows = lumped_.network;
    for (size_t i = 0; i < duties.size(); ++i) {
      const DeviceDuty& duty = duties[i];
      if (!duty.settings.on || !(duty.flow_m3_per_s > 0)) continue;
      const DateWindow window{AddDays(whole.from, -1), whole.to};
      const CalendarAnswer answer =
          AnswerCalendar({duty.form, KeyedLongAgo(duty.settings)}, zone_, window, duty.clock_fast_min);
      AddHours(answer.runs, NodeIndex(static_cast<uint32_t>(Now(placed_[i].node))), duty.flow_m3_per_s,
               begins, hours, flows);
    }
    const double judged_from_h = std::round(HoursBetween(begins, zone_.FirstInstant(Midnight(judged.from))));
    return Carry(flows, hours, judged_from_h);
  }

 private:
  // Moves the water through all hours; what is met in those judged.
  Result<std::vector<NetworkFinding>> Carry(const Network& flows, int hours, double judged_from_h) {
    constexpr double kSame_s = 1e-6;
    FlowSimulationOptions options;
    options.hours = hours;
    options.report_step_s = kSecondsPerHour;
    auto stream = PeriodStream::Begin(flows, options);
    if (!stream.ok()) return stream.error();
    std::vector<std::vector<double>> series(placed_.size());
    std::vector<double> times_h;
    std::vector<double> chlorine(flows.nodes.size());
    std::vector<double> volume_m3(flows.nodes.size());
    std::vector<double> lowest(flows.nodes.size(), std::numeric_limits<double>::infinity());
    FlowPeriod period;
    for (;;) {
      const Result<bool> more = stream->Next(period);
      if (!more.ok()) return more.error();
      if (!*more) break;
      for (size_t i = 0; i < volume_m3.size(); ++i) {
        volume_m3[i] =
            period.tank_volume_m3[i] + period.outflow_m3_per_s[i] * (period.end_s - period.begin_s);
      }
      FlowPeriod shifted = period;
      shifted.begin_s += shift_s_;
      shifted.end_s += shift_s_;
      if (Status moved = transport_->Advance(shifted); !moved.ok()) return moved.error();
      const double hour = period.end_s / kSecondsPerHour;
      if (std::abs(hour - std::round(hour)) * kSecondsPerHour > kSame_s) continue;
      if (std::round(hour) < judged_from_h) continue;
      times_h.push_back(std::round(hour) - judged_from_h);
      transport_->ReadNodes(Quantity::kChlorine, chlorine);
      for (size_t i = 0; i < placed_.size(); ++i) series[i].push_back(chlorine[Now(placed_[i].root)]);
      if (times_h.size() > 1) {
        const std::span<const double> mean = transport_->Span(Quantity::kChlorine).mean;
        // Water never fed has none.
        for (size_t n = 0; n < lowest.size(); ++n)
          lowest[n] = std::min(lowest[n], std::isnan(mean[n]) ? 0.0 : mean[n]);
      }
      transport_->BeginSpan();
    }
    shift_s_ += hours * kSecondsPerHour;
    KeepLevels(volume_m3);
    std::vector<NetworkFinding> findings;
    for (size_t i = 0; i < placed_.size(); ++i)
      findings.push_back(Find(placed_[i], series[i], times_h, lowest));
    return findings;
  }

  NetworkFinding Find(const PlacedDevice& placed, const std::vector<double>& root,
                      const std::vector<double>& times_h, const std::vector<double>& lowest) const {
    NetworkFinding finding;
    finding.root_mg_per_l_by_hour = LowestByHour(root, times_h);
    finding.lowest_mg_per_l = std::numeric_limits<double>::infinity();
    for (const NodeIndex node : placed.judged) {
      if (lowest[Now(node)] >= finding.lowest_mg_per_l) continue;
      finding.lowest_mg_per_l = lowest[Now(node)];
      finding.lowest_at = node;
    }
    return finding;
  }

  // Where a node is in the lumped network.
  size_t Now(NodeIndex node) const { return At(lumped_.node_of[At(node)]); }

  // Tanks go on from where they are.
  void KeepLevels(const std::vector<double>& volume_m3) {
    for (size_t i = 0; i < volume_m3.size(); ++i) {
      auto& tank = lumped_.network.nodes[i].tank;
      if (!tank || !(tank->diameter_m > 0)) continue;
      const double area_m2 = std::numbers::pi / 4 * tank->diameter_m * tank->diameter_m;
      tank->level_m = std::clamp(volume_m3[i] / area_m2, tank->min_level_m, tank->max_level_m);
    }
  }

  const Network& network_;
  const std::vector<PlacedDevice>& placed_;
  const Zone& zone_;
  DateWindow season_;
  LumpedNetwork lumped_;
  std::optional<NetworkTransport> transport_;
  bool is_warm_ = false;
  double shift_s_ = 0;
};

NetworkWatch::NetworkWatch(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
NetworkWatch::~NetworkWatch() = default;
NetworkWatch::NetworkWatch(NetworkWatch&&) noexcept = default;
NetworkWatch& NetworkWatch::operator=(NetworkWatch&&) noexcept = default;

Result<NetworkWatch> NetworkWatch::Make(const PlanningNetwork& network, const Zone& zone, DateWindow season) {
  auto impl = std::make_unique<Impl>(network, zone, season);
  if (Status begun = impl->Begin(); !begun.ok()) return begun.error();
  return NetworkWatch(std::move(impl));
}

Result<std::vector<NetworkFinding>> NetworkWatch::Judge(const std::vector<DeviceDuty>& duties) {
  return impl_->Judge(duties);
}

}  // namespace lastreach
