#include "together/network_judge.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "calendar/answer.h"
#include "hydraulics/flow_simulation.h"
#include "plan/measure.h"
#include "simulation/simulation.h"
#include "together/node_runs.h"

namespace lastreach {
namespace {

constexpr int kJudgedDays = 14;
constexpr int kWarmDays = 7;
// Planning asks how much arrives to a tenth of what a kit tells, not where each front stands.
constexpr double kTolerance = 0.005;
// Where water comes by at all it has come by in two weeks; what only stands keeps the nothing it began with.
constexpr int kMostWarmWeeks = 2;

// The network with the runs of the days judged, and with those of the week before.
struct Driven {
  Network judged, warm;
  double hours = 0;
};

Driven Drive(const PlanningNetwork& network, const std::vector<DeviceDuty>& duties, const Zone& zone,
             DateWindow days) {
  Driven driven{network.network, network.network, 0};
  const Instant begins = zone.FirstInstant(Midnight(days.from));
  const Instant ends = zone.FirstInstant(Midnight(days.to));
  const Instant warm_begins = begins - std::chrono::hours(24 * kWarmDays);
  driven.hours = HoursBetween(begins, ends);
  for (size_t i = 0; i < duties.size(); ++i) {
    const DeviceDuty& duty = duties[i];
    if (!duty.settings.on || !(duty.flow_m3_per_s > 0)) continue;
    const DateWindow window{AddDays(days.from, -kWarmDays - 1), days.to};
    const CalendarAnswer answer =
        AnswerCalendar({duty.form, KeyedLongAgo(duty.settings)}, zone, window, duty.clock_fast_min);
    const NodeIndex node = network.placed[i].node;
    AddRuns(answer.runs, node, duty.flow_m3_per_s, begins, driven.hours, driven.judged);
    AddRuns(answer.runs, node, duty.flow_m3_per_s, warm_begins, 24.0 * kWarmDays, driven.warm);
  }
  return driven;
}

NetworkFinding Find(const PlacedDevice& placed, const std::vector<double>& root_series,
                    const std::vector<double>& times_h, const NodeExtremes& chlorine) {
  NetworkFinding finding;
  finding.root_mg_per_l_by_hour = LowestByHour(root_series, times_h);
  finding.lowest_mg_per_l = std::numeric_limits<double>::infinity();
  for (const NodeIndex node : placed.judged) {
    const double worst = chlorine.worst[At(node)];
    const double here = std::isnan(worst) ? 0.0 : worst;
    if (here >= finding.lowest_mg_per_l) continue;
    finding.lowest_mg_per_l = here;
    finding.lowest_at = node;
  }
  return finding;
}

}  // namespace

double NetworkFinding::root_lowest_mg_per_l() const {
  return *std::min_element(root_mg_per_l_by_hour.begin(), root_mg_per_l_by_hour.end());
}

DateWindow DaysToJudge(const Network& network, const std::vector<DeviceDuty>& duties, DateWindow season) {
  constexpr int kWeek = 7;
  DateWindow days = FortnightToJudge(season);
  const bool has_tanks = std::any_of(network.nodes.begin(), network.nodes.end(),
                                     [](const Node& node) { return node.tank.has_value(); });
  int until_the_same = has_tanks ? kWeek : 1;
  for (const DeviceDuty& duty : duties) {
    if (!duty.settings.on) continue;
    for (const Programme& programme : duty.settings.programmes) {
      if (programme.starts_min.empty() || programme.days == DayPattern(kEveryWeekday)) continue;
      if (!std::holds_alternative<Weekdays>(programme.days)) return days;
      until_the_same = kWeek;
    }
  }
  days.to = std::min(days.to, AddDays(days.from, until_the_same));
  return days;
}

Result<std::optional<FlowSimulationSummary::LowPressure>> LowestPressureOn(
    const PlanningNetwork& network, const std::vector<DeviceDuty>& duties, const Zone& zone,
    DateWindow season) {
  if (duties.size() != network.placed.size()) return Internal("a duty for each placed device is needed");
  const Driven driven = Drive(network, duties, zone, DaysToJudge(network.network, duties, season));
  FlowSimulationOptions options;
  options.hours = std::round(driven.hours);
  auto flows = FlowSimulation::Make(driven.judged, options);
  if (!flows.ok()) return flows.error();
  FlowPeriod period;
  for (;;) {
    const Result<bool> more = flows->Next(period);
    if (!more.ok()) return more.error();
    if (!*more) return flows->summary().lowest_pressure;
  }
}

std::array<double, 24> LowestByHour(const std::vector<double>& mg_per_l, const std::vector<double>& times_h) {
  std::array<double, 24> lowest_by_hour;
  lowest_by_hour.fill(std::numeric_limits<double>::infinity());
  const auto at = [&](size_t t) { return std::isnan(mg_per_l[t]) ? 0.0 : mg_per_l[t]; };
  for (size_t t = 0; t < times_h.size(); ++t) {
    double& lowest = lowest_by_hour[static_cast<size_t>(std::lround(times_h[t])) % 24];
    const double before = at(t > 0 ? t - 1 : t);
    const double after = at(t + 1 < times_h.size() ? t + 1 : t);
    lowest = std::min(lowest, (before + 2 * at(t) + after) / 4);
  }
  return lowest_by_hour;
}

DateWindow FortnightToJudge(DateWindow season) {
  const auto within = [&](Date from) {
    const Date latest = AddDays(season.to, -kJudgedDays);
    const Date begin = std::max(season.from, std::min(from, latest));
    return DateWindow{begin, std::min(season.to, AddDays(begin, kJudgedDays))};
  };
  for (Date day = season.from; day < season.to; day = AddDays(day, 1)) {
    const bool odd_end = AddDays(day, 1).month() != day.month() && static_cast<unsigned>(day.day()) % 2 == 1;
    if (odd_end) return within(AddDays(day, -kJudgedDays / 2));
  }
  return within(season.from);
}

Result<NetworkJudgement> JudgeOnNetwork(const PlanningNetwork& network, const std::vector<DeviceDuty>& duties,
                                        const Zone& zone, DateWindow season) {
  if (duties.size() != network.placed.size()) return Internal("a duty for each placed device is needed");
  const DateWindow days = FortnightToJudge(season);
  const Driven driven = Drive(network, duties, zone, days);
  SimulationAsk ask;
  ask.hours = std::round(driven.hours);  // a clock change may be inside
  ask.age = false;
  ask.chlorine = true;
  ask.tolerance = kTolerance;
  ask.warm_week = &driven.warm;
  ask.most_warm_weeks = kMostWarmWeeks;
  ask.series.push_back({Quantity::kChlorine, {}});
  for (const PlacedDevice& placed : network.placed) ask.series[0].nodes.push_back(placed.root);
  const auto simulated = Simulate(driven.judged, ask);
  if (!simulated.ok()) return simulated.error();

  NetworkJudgement judgement;
  for (size_t i = 0; i < network.placed.size(); ++i) {
    judgement.devices.push_back(
        Find(network.placed[i], simulated->series[0][i], simulated->times_h, simulated->chlorine_mg_per_l));
  }
  if (const auto& lowest = simulated->flows.lowest_pressure) {
    judgement.lowest_pressure_m = lowest->pressure_m;
    judgement.lowest_pressure_at = lowest->node;
    judgement.lowest_pressure_hour = lowest->hour;
  }
  judgement.warm_up_weeks = simulated->warm_up.weeks;
  return judgement;
}

}  // namespace lastreach
