#include "together/confirm_pressure.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>
#include <map>
#include <numbers>

#include "hydraulics/flow_simulation.h"
#include "together/worst_clocks.h"

namespace lastreach {
namespace {

constexpr double kSecondsPerHour = 3600;
constexpr double kHoursAWeek = 168;
constexpr double kWithin_m = 1e-3;  // as JudgedSet::Holds

std::string DayAndTime(double hour_of_week) {
  static constexpr const char* kDays[] = {"Monday", "Tuesday",  "Wednesday", "Thursday",
                                          "Friday", "Saturday", "Sunday"};
  const int minute = static_cast<int>(std::floor(hour_of_week * 60 + 1e-6)) % kMinutesAWeek;
  char text[48];
  std::snprintf(text, sizeof text, "%s at %d:%02d", kDays[minute / kMinutesADay], minute / 60 % 24,
                minute % 60);
  return text;
}

std::string ClockWords(const std::vector<TogetherDevice>& devices, const std::vector<int>& late_min) {
  std::string words;
  for (size_t d = 0; d < late_min.size(); ++d) {
    if (late_min[d] == 0) continue;
    words += (words.empty() ? "" : ", ") + devices[d].code + " " + std::to_string(std::abs(late_min[d])) +
             (late_min[d] > 0 ? " minutes slow" : " minutes fast");
  }
  return words.empty() ? "clocks right" : words;
}

bool HasTankLevels(const Network& network) {
  return std::any_of(network.nodes.begin(), network.nodes.end(),
                     [](const Node& node) { return node.kind == NodeKind::kTank && node.tank.has_value(); });
}

// What one week of the plan is made of.
struct WeekPlan {
  const Network* network = nullptr;
  const std::vector<DrawingPoint>* points = nullptr;
  const std::vector<TogetherDevice>* devices = nullptr;
  std::vector<OpenTimes> open;  // by device
  int weeks = 1;                // the last of them is looked at
};

Network WithRuns(const WeekPlan& plan) {
  Network network = *plan.network;
  network.runs.clear();
  for (int week = 0; week < plan.weeks; ++week) {
    for (size_t d = 0; d < plan.open.size(); ++d) {
      for (const OpenStretch& stretch : plan.open[d]) {
        const double minutes = stretch.to_min - stretch.from_min;
        network.runs.push_back({(*plan.points)[d].node,
                                week * kHoursAWeek + stretch.from_min / 60.0,
                                minutes,
                                (*plan.points)[d].flow_m3_per_s,
                                {},
                                {}});
      }
    }
  }
  return network;
}

// Takes the periods of the week and keeps what is lowest.
class WeekWatch {
 public:
  WeekWatch(const WeekPlan& plan, const PressureJudge& judge, ConfirmedWeek& week)
      : plan_(plan), judge_(judge), week_(week) {}

  void Take(const FlowPeriod& period) {
    const double first_hour = period.begin_s / kSecondsPerHour - (plan_.weeks - 1) * kHoursAWeek;
    if (first_hour < -1e-9) return;
    TakePressure(period, first_hour);
    TakeLevels(period, first_hour);
  }

  void Finish(const std::vector<TankReserve>& reserves) {
    for (const auto& [hour, worst] : worst_of_hour_) Say(worst);
    for (auto& [node, lowest] : lowest_level_) {
      const std::string& id = (*plan_.network)[lowest.tank].id;
      for (const TankReserve& reserve : reserves) {
        if (reserve.tank != id) continue;
        lowest.least_m = reserve.least_level_m;
        lowest.source = reserve.source;
        if (lowest.level_m >= reserve.least_level_m - kWithin_m) continue;
        char text[128];
        std::snprintf(text, sizeof text, "Tank %s falls to %.2f m, less than its reserve of %.2f m, on %s",
                      id.c_str(), lowest.level_m, reserve.least_level_m, DayAndTime(lowest.hour).c_str());
        week_.words.push_back(text + (" (source: " + reserve.source + ")"));
      }
      week_.tanks.push_back(lowest);
    }
  }

 private:
  void TakePressure(const FlowPeriod& period, double hour) {
    const PressureMoments& moments = judge_.moments();
    const size_t state = moments.state_of_moment[moments.MomentOf(static_cast<int>(hour * 60 + 1e-6))];
    const std::span<const double> spare_m = judge_.Spare_m(state);
    ConfirmedWeek::LowestPressure lowest;
    double least = std::numeric_limits<double>::infinity();
    for (uint32_t place = 0; place < judge_.places().size(); ++place) {
      if (std::isinf(spare_m[place])) continue;
      const NodeIndex node = judge_.places()[place];
      const LeastPressureThere& limit = judge_.LimitOf(place);
      const double pressure_m = period.head_m[At(node)] - (*plan_.network)[node].elevation_m->value;
      if (!(pressure_m - limit.least_m < least)) continue;
      least = pressure_m - limit.least_m;
      lowest = {node, pressure_m, limit.least_m, limit.source, hour};
    }
    if (std::isinf(least)) return;
    const auto over = [](const ConfirmedWeek::LowestPressure& of) { return of.pressure_m - of.least_m; };
    if (!week_.lowest || least < over(*week_.lowest)) week_.lowest = lowest;
    if (least >= -kWithin_m) return;
    const auto [worst, added] = worst_of_hour_.try_emplace(static_cast<int>(hour) % 24, lowest);
    if (!added && least < over(worst->second)) worst->second = lowest;
  }

  void TakeLevels(const FlowPeriod& period, double hour) {
    for (uint32_t i = 0; i < plan_.network->nodes.size(); ++i) {
      const Node& node = plan_.network->nodes[i];
      if (node.kind != NodeKind::kTank || !node.tank) continue;
      const double area_m2 = std::numbers::pi / 4 * node.tank->diameter_m * node.tank->diameter_m;
      const double at_begin_m = period.tank_volume_m3[i] / area_m2;
      const double seconds = period.end_s - period.begin_s;
      const double at_end_m = at_begin_m + period.outflow_m3_per_s[i] * seconds / area_m2;
      const bool falls = at_end_m < at_begin_m;
      const ConfirmedWeek::LowestLevel now{NodeIndex(i),
                                           falls ? at_end_m : at_begin_m,
                                           {},
                                           {},
                                           falls ? hour + seconds / kSecondsPerHour : hour};
      const auto [lowest, added] = lowest_level_.try_emplace(i, now);
      if (!added && now.level_m < lowest->second.level_m) lowest->second = now;
    }
  }

  void Say(const ConfirmedWeek::LowestPressure& worst) {
    const int minute = static_cast<int>(worst.hour * 60 + 1e-6) % kMinutesAWeek;
    NotTogether broken;
    std::string open;
    for (size_t d = 0; d < plan_.open.size(); ++d) {
      if (!IsOpenAt(plan_.open[d], minute)) continue;
      broken.devices.push_back(d);
      open += (open.empty() ? "" : ", ") + (*plan_.devices)[d].code;
    }
    char text[160];
    std::snprintf(text, sizeof text, "%s falls to %.1f m, less than %.1f m, on %s with ",
                  (*plan_.network)[worst.node].id.c_str(), worst.pressure_m, worst.least_m,
                  DayAndTime(worst.hour).c_str());
    broken.words = text + (open.empty() ? "no device" : open) + " open (source: " + worst.source + ")";
    broken.hour = minute / 60 % 24;
    week_.words.push_back(broken.words);
    if (!broken.devices.empty()) week_.breaks.push_back(std::move(broken));
  }

  const WeekPlan& plan_;
  const PressureJudge& judge_;
  ConfirmedWeek& week_;
  std::map<int, ConfirmedWeek::LowestPressure> worst_of_hour_;  // those below their limit
  std::map<uint32_t, ConfirmedWeek::LowestLevel> lowest_level_;
};

Status Simulate(const WeekPlan& plan, const PressureJudge& judge, const std::vector<TankReserve>& reserves,
                ConfirmedWeek& week) {
  const Network network = WithRuns(plan);
  auto simulation = FlowSimulation::Make(network, {.hours = plan.weeks * kHoursAWeek});
  if (!simulation.ok()) return simulation.error();
  WeekWatch watch(plan, judge, week);
  FlowPeriod period;
  for (;;) {
    const Result<bool> more = simulation->Next(period);
    if (!more.ok()) return more.error();
    if (!*more) break;
    watch.Take(period);
  }
  watch.Finish(reserves);
  week.unsettled_hours = simulation->summary().unsettled_hours;
  return Ok();
}

Status KnowsTanks(const Network& network, const std::vector<TankReserve>& reserves) {
  for (const TankReserve& reserve : reserves) {
    const bool found = std::any_of(network.nodes.begin(), network.nodes.end(), [&](const Node& node) {
      return node.id == reserve.tank && node.kind == NodeKind::kTank;
    });
    if (!found) return NotFound("there is no tank '" + reserve.tank + "' whose level must be kept");
  }
  return Ok();
}

}  // namespace

Result<std::vector<ConfirmedWeek>> ConfirmPressure(const Network& network, PressureJudge& judge,
                                                   const std::vector<DrawingPoint>& points,
                                                   const std::vector<TogetherDevice>& devices,
                                                   const std::vector<std::optional<uint32_t>>& way,
                                                   const std::vector<TankReserve>& reserves,
                                                   const ConfirmOptions& options) {
  if (Status known = KnowsTanks(network, reserves); !known.ok()) return known.error();
  Shares chosen(devices.size());
  for (size_t d = 0; d < devices.size(); ++d) {
    if (way[d]) chosen[d] = {{*way[d], 1.0}};
  }
  std::vector<ConfirmedWeek> weeks;
  for (const bool summer : {false, true}) {
    if (summer ? !options.summer_time : !options.standard_time) continue;
    const TimeTable table(devices, {.standard_time = !summer,
                                    .summer_time = summer,
                                    .clock_off_min = options.clock_off_min,
                                    .whole_week = true});
    std::vector<std::vector<int>> clocks = {std::vector<int>(devices.size(), 0)};
    if (options.care != ClockCare::kAllRight) {
      clocks.push_back(WorstClocks(judge, table, chosen, options.care, options.clock_off_min));
      if (clocks[1] == clocks[0]) clocks.pop_back();
    }
    for (std::vector<int>& late_min : clocks) {
      WeekPlan plan{&network, &points, &devices, {}, HasTankLevels(network) ? 2 : 1};
      for (size_t d = 0; d < devices.size(); ++d) {
        plan.open.push_back(chosen[d].empty()
                                ? OpenTimes{}
                                : ShiftedTimes(table.Right(0, d, *way[d]), late_min[d], late_min[d]));
      }
      ConfirmedWeek& week = weeks.emplace_back();
      week.summer_time = summer;
      week.clocks = ClockWords(devices, late_min);
      week.late_min = std::move(late_min);
      if (Status done = Simulate(plan, judge, reserves, week); !done.ok()) return done.error();
    }
  }
  return weeks;
}

}  // namespace lastreach
