// The whole job on one network: 30, 100 and 300 devices of town_with_devices.h on 20,000 links, planned on
// the network for four seasons with 100 draws each way and the least pressure of 20 psi.
//
//   build/bench/whole_year_benchmark              30, 100 and 300 devices
//   build/bench/whole_year_benchmark 100          so many
//   build/bench/whole_year_benchmark 100 summer   one season, or all
//   build/bench/whole_year_benchmark 100 all 5000 on so many links
//
// Every answer is checked, outside the time told: planned settings are judged in 400 draws that planning has
// not seen; the network is run with them once more, every opening and shutting to the minute; and no limit is
// broken. A line for each number of devices:
//   s, cpu_s          by the clock, and of the processor, both cores together
//   MiB               most memory at once, of the program so far
//   reaches, hours, network   of cpu_s: planning reach by reach, putting devices apart, running the network
//   m3/d, bound       water of all seasons on average, and what no settings can do without
//   sure              share of unseen draws in which a planned device holds: on average, and the least of any
//   short             most by which a main carries less than settings count on when run once more [mg/L]
#include <sys/resource.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <string>
#include <vector>

#include "app/plan_on_network.h"
#include "plan/day_patterns.h"
#include "plan/measure.h"
#include "plan/plan_system.h"
#include "plan/sureness.h"
#include "plan/tree_reaches.h"
#include "together/network_judge.h"
#include "together/network_watch.h"
#include "town_with_devices.h"

namespace lastreach {
namespace {

constexpr int kExactUpTo = 30;  // devices: each of their openings is a stretch of its own
constexpr int kUnseenDraws = 400;
constexpr double kLeastPressure_m = 14.06;  // 20 psi

double CpuSeconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

double PeakMiB() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024;
}

[[noreturn]] void Fail(const std::string& why) {
  std::fprintf(stderr, "%s\n", why.c_str());
  std::exit(3);
}

const std::vector<SeasonWater>& Seasons() {
  static const std::vector<SeasonWater> kSeasons = {
      {"spring", *ParseDate("2027-04-01"), *ParseDate("2027-06-01"), 15, 1.0},
      {"summer", *ParseDate("2027-06-01"), *ParseDate("2027-10-01"), 25, 1.2},
      {"autumn", *ParseDate("2027-10-01"), *ParseDate("2027-12-01"), 17, 0.95},
      {"winter", *ParseDate("2027-12-01"), *ParseDate("2028-04-01"), 9, 0.85},
  };
  return kSeasons;
}

PlanOptions OptionsOf(const SeasonWater& water) {
  PlanOptions options;
  options.zone = *Zone::Find("America/Chicago");
  options.from = water.from;
  options.to = water.to;
  options.season = water.name;
  options.draws = 100;
  options.confirming_draws = 100;
  options.what_binds = false;  // as the year is planned on the network
  return options;
}

std::vector<Limit> Together() {
  return {{{}, LimitScope::kSystem, "", LeastPressure{Pressure::MetresOfWater(kLeastPressure_m)}, "made up"}};
}

struct Checked {
  int planned = 0;
  double sure = 0;  // sum
  double least_sure = 1;
  double short_mg_per_l = 0;
};

// The share of unseen draws in which a planned device holds for what its plan counts on, its neighbours as
// planned.
double SurenessInUnseen(const std::vector<DeviceFacts>& facts, const std::vector<TimerSettings>& settings,
                        const ReachTree& tree, size_t member, const DevicePlan& plan,
                        const PlanOptions& options) {
  DeviceFacts device = WithNeighbours(facts, tree, member, settings);
  device.root_mg_per_l_by_hour = plan.on_network->counted_on_mg_per_l;
  const auto numbers = GatherNumbers(device, options);
  if (!numbers.ok()) Fail(numbers.error().ToString());
  Trial trial(device.form, options.zone, *numbers);
  SurenessJudge judge(trial, PlainDraws(kUnseenDraws, options.seed + 77), GuessSlopes(*numbers));
  const DateWindow season{options.from, options.to};
  const bool runs = plan.settings.on && !plan.settings.programmes.empty();
  const DayPattern days = runs ? plan.settings.programmes.front().days : DayPattern(kEveryWeekday);
  double sure = 1;
  for (const DateWindow& window : WindowsToJudge(days, options.zone, season)) {
    const std::vector<double> lows = judge.Lows(KeyedLongAgo(plan.settings), window, kClockErrors_min);
    const auto holding = lows.end() - std::lower_bound(lows.begin(), lows.end(), numbers->target_mg_per_l);
    sure = std::min(sure, static_cast<double>(holding) / kUnseenDraws);
  }
  return sure;
}

std::vector<NetworkFinding> RunOnceMore(const TownWithDevices& town, const std::vector<DeviceDuty>& duties,
                                        const PlanOptions& options) {
  const DateWindow season{options.from, options.to};
  if (duties.size() <= kExactUpTo) {
    const auto judged = JudgeOnNetwork(town.network, duties, options.zone, season);
    if (!judged.ok()) Fail(judged.error().ToString());
    if (judged->lowest_pressure_m < kLeastPressure_m) Fail("the plan breaks the limit on pressure");
    return judged->devices;
  }
  auto watch = NetworkWatch::Make(town.network, options.zone, season);
  if (!watch.ok()) Fail(watch.error().ToString());
  auto found = watch->Judge(duties);
  if (!found.ok()) Fail(found.error().ToString());
  return *found;
}

Checked Check(const TownWithDevices& town, const NetworkPlan& plan, const PlanOptions& options) {
  Checked checked;
  std::vector<DeviceDuty> duties;
  for (const PlacedDevice& placed : town.network.placed) {
    duties.push_back(PlannedDuty(town.facts[placed.device], plan.devices[placed.device]));
  }
  const std::vector<NetworkFinding> found = RunOnceMore(town, duties, options);
  if (plan.network.planned.lowest_pressure_m < kLeastPressure_m)
    Fail("the plan breaks the limit on pressure");
  if (plan.network.together && !plan.network.together->conflicts.empty())
    Fail(plan.network.together->conflicts.front());
  for (const ReachTree& tree : TreesOf(town.facts)) {
    std::vector<TimerSettings> settings;
    for (const size_t d : tree.devices) settings.push_back(KeyedLongAgo(duties[d].settings));
    for (size_t k = 0; k < tree.devices.size(); ++k) {
      const DevicePlan& device = plan.devices[tree.devices[k]];
      if (!device.planned_outcome) continue;
      const double sure = SurenessInUnseen(town.facts, settings, tree, k, device, options);
      ++checked.planned;
      checked.sure += sure;
      checked.least_sure = std::min(checked.least_sure, sure);
      const auto& arrives = found[tree.devices[k]].root_mg_per_l_by_hour;
      for (size_t hour = 0; hour < arrives.size(); ++hour) {
        checked.short_mg_per_l =
            std::max(checked.short_mg_per_l, device.on_network->counted_on_mg_per_l[hour] - arrives[hour]);
      }
    }
  }
  return checked;
}

void PlanAndTell(int devices, const std::string& only, int links) {
  const TownWithDevices town = TownWithDevicesMaker().Make(links, devices);
  double wall_s = 0, cpu_s = 0, water = 0, bound = 0;
  int rounds = 0, seasons = 0, moved = 0;
  NetworkPlanSeconds spent;
  Checked all;
  for (const SeasonWater& water_of : Seasons()) {
    if (!only.empty() && only != water_of.name) continue;
    const PlanOptions options = OptionsOf(water_of);
    const auto begin = std::chrono::steady_clock::now();
    const double cpu_begin_s = CpuSeconds();
    const TownWithDevices now = InSeason(town, water_of);
    auto plan = PlanSeasonOnNetwork(now.facts, now.network, Together(), options);
    if (!plan.ok()) Fail(plan.error().ToString());
    cpu_s += CpuSeconds() - cpu_begin_s;
    wall_s += std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    const SystemPlan system = Assemble(plan->devices, options, {});
    water += system.planned_m3_per_day;
    bound += system.bound_m3_per_day;
    rounds += static_cast<int>(plan->network.rounds.size());
    moved += plan->network.together ? plan->network.together->moved : 0;
    spent.planning += plan->network.seconds.planning;
    spent.arranging += plan->network.seconds.arranging;
    spent.judging += plan->network.seconds.judging;
    ++seasons;
    std::fprintf(stderr, "%s: %.1f cpu s, planning %.1f, hours %.1f, network %.1f, rounds", water_of.name,
                 CpuSeconds() - cpu_begin_s, plan->network.seconds.planning, plan->network.seconds.arranging,
                 plan->network.seconds.judging);
    for (const NetworkRound& round : plan->network.rounds)
      std::fprintf(stderr, " (%zu: %.1f m3/d, short %.3f)", round.planned, round.water_m3_per_day,
                   round.greatest_shortfall_mg_per_l);
    std::fprintf(stderr, " lowest %.1f m\n", plan->network.planned.lowest_pressure_m);
    const Checked checked = Check(now, *plan, options);
    all.planned += checked.planned;
    all.sure += checked.sure;
    all.least_sure = std::min(all.least_sure, checked.least_sure);
    all.short_mg_per_l = std::max(all.short_mg_per_l, checked.short_mg_per_l);
  }
  std::printf(
      "%3d devices, %d seasons: %6.1f s, %6.1f cpu_s, %5.0f MiB; reaches %.1f, hours %.1f, network %.1f; %d "
      "rounds, "
      "%d moved; %.1f m3/d, bound %.1f; %d planned, sure %.3f, least %.3f; short %.3f\n",
      devices, seasons, wall_s, cpu_s, PeakMiB(), spent.planning, spent.arranging, spent.judging, rounds,
      moved, water / seasons, bound / seasons, all.planned, all.sure / std::max(1, all.planned),
      all.least_sure, all.short_mg_per_l);
  std::fflush(stdout);
}

}  // namespace
}  // namespace lastreach

int main(int argc, char** argv) {
  const std::string season = argc > 2 ? argv[2] : "";
  const int links = argc > 3 ? std::atoi(argv[3]) : 20000;
  if (argc > 1) {
    lastreach::PlanAndTell(std::atoi(argv[1]), season == "all" ? "" : season, links);
    return 0;
  }
  for (const int devices : {30, 100, 300}) lastreach::PlanAndTell(devices, "", links);
  return 0;
}
