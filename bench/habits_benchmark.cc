// The plan of a project against how settings are chosen where nobody plans: what is keyed now, and rules of
// thumb (rules_of_thumb.h), all judged by the same two measures. Not a timing: the counters are the answer.
//
//   build/bench/habits_benchmark                       of the invented town, made in a temporary folder
//   build/bench/habits_benchmark TOWN.gpkg SEASON      of a project with a network, "summer-2027"
//
// The whole network: every way's settings run through the worst fortnight, middle values.
//   m3/d           water of the devices
//   held           reaches whose customers all keep the target
//   lowest         the lowest residual at a customer of any reach that some settings can hold
// By itself: each reach at the asked-for sureness, the clock an hour out either way (the plan's own measure).
//   surely held    reaches whose customers all keep the target in 9 of 10 cases
// As long as it takes: the minutes of a rule multiplied, device by device, until the reach surely holds or
// the timer's runs fill the day.
//   m3/d to hold   water then, of the reaches the rule can hold at all, beside the plan's water for the same
//   ones
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <sstream>
#include <string>
#include <vector>

#include "app/command.h"
#include "app/map_source.h"
#include "app/planning_network.h"
#include "app/seasons.h"
#include "plan/measure.h"
#include "plan/plan_system.h"
#include "plan/search.h"
#include "plan/start_rules.h"
#include "plan/sureness.h"
#include "plan/trial.h"
#include "rules_of_thumb.h"
#include "together/network_judge.h"
#include "together/network_plan.h"

namespace lastreach {
namespace {

struct Town {
  ProjectFacts facts;
  PreparedPlanning prepared;
  PlanOptions options;
  NetworkPlan plan;
};

[[noreturn]] void Fail(const std::string& why) {
  std::fprintf(stderr, "%s\n", why.c_str());
  std::exit(3);
}

template <typename T>
T Must(Result<T> result) {
  if (!result.ok()) Fail(result.error().ToString());
  return *std::move(result);
}

Town Plan(const std::string& file, const std::string& season_text) {
  Town town;
  const MapSource source = Must(OpenMapSource(file));
  town.facts = Must(FactsOf(*source.project));
  const Season season = Must(SeasonOf(season_text, *ParseDate("2027-01-15"), town.facts.south));
  town.options.zone = *Zone::Find(Must(source.project->Info()).zone);
  town.options.from = season.days.from;
  town.options.to = season.days.to;
  town.options.season = season.name;
  town.options.draws = 100;
  town.options.confirming_draws = 200;
  PrepareOptions wanted;
  wanted.from = season.days.from;
  town.prepared = Must(PreparePlanning(source, town.facts, wanted));
  const PlanThese plan = [&](const std::vector<DeviceFacts>& devices) {
    return PlanDevices(devices, town.options);
  };
  town.plan =
      Must(PlanOnNetwork(town.facts.devices, town.prepared.network, plan, town.options.zone, season.days));
  return town;
}

// The facts as the plan counted on them, so that all ways are judged on the same water.
DeviceFacts CountedOn(const Town& town, size_t d) {
  DeviceFacts facts = town.facts.devices[d];
  if (const auto& view = town.plan.devices[d].on_network)
    facts.root_mg_per_l_by_hour = view->counted_on_mg_per_l;
  return facts;
}

// Whether settings hold in the asked-for share of the fresh draws, in their pattern's worst days.
bool SurelyHolds(const DeviceFacts& facts, const PlanningNumbers& numbers, const PlanOptions& options,
                 const TimerSettings& settings) {
  const ControllerForm form = CautiousForm(facts.form, nullptr);
  Trial trial(form, options.zone, numbers);
  SurenessJudge fresh(trial, PlainDraws(static_cast<size_t>(options.confirming_draws), options.seed + 1),
                      GuessSlopes(numbers));
  const bool off = !settings.on || settings.programmes.empty();
  const DayPattern days = off ? DayPattern(kEveryWeekday) : settings.programmes.front().days;
  return fresh.Holds(KeyedLongAgo(settings), WindowsToJudge(days, options.zone, {options.from, options.to}),
                     options.sureness);
}

double Water_m3_per_day(const DeviceFacts& facts, const PlanOptions& options, const TimerSettings& settings) {
  const ControllerForm form = CautiousForm(facts.form, nullptr);
  const CalendarAnswer answer = AnswerCalendar({form, settings}, options.zone, {options.from, options.to});
  double minutes = 0;
  for (const Run& run : answer.runs) minutes += run.minutes;
  const double days = DayNumber(options.to) - DayNumber(options.from);
  return facts.point.flow
             ? minutes * kSecondsPerMinute * facts.point.flow->value.cubic_metres_per_second() / days
             : 0;
}

// A rule's settings lengthened until they surely hold; none if a day of runs does not.
std::optional<TimerSettings> LengthenedUntilItHolds(const DeviceFacts& facts, const PlanningNumbers& numbers,
                                                    const PlanOptions& options, TimerSettings settings) {
  if (!settings.on) return {};
  constexpr int kMost_min = 360;
  const auto holds = [&](int run_minutes) {
    for (Programme& programme : settings.programmes) programme.minutes = run_minutes;
    return SurelyHolds(facts, numbers, options, settings);
  };
  int enough = kMost_min;
  int too_few = settings.programmes.front().minutes - 1;
  if (!holds(enough)) return {};
  while (enough - too_few > 1) {
    const int middle = (enough + too_few) / 2;
    (holds(middle) ? enough : too_few) = middle;
  }
  holds(enough);
  return settings;
}

struct Row {
  std::string name;
  std::vector<DeviceDuty> duties;  // of every device
};

void Report(const Town& town, const Row& row, bool is_rule) {
  double water_m3_per_day = 0;
  std::vector<DeviceDuty> placed;
  for (const PlacedDevice& p : town.prepared.network.placed) placed.push_back(row.duties[p.device]);
  const NetworkJudgement judged = Must(
      JudgeOnNetwork(town.prepared.network, placed, town.options.zone, {town.options.from, town.options.to}));
  int held = 0;
  double lowest_share = 10;
  for (size_t i = 0; i < placed.size(); ++i) {
    const DevicePlan& plan = town.plan.devices[town.prepared.network.placed[i].device];
    if (!plan.planned_outcome) continue;
    const double share = judged.devices[i].lowest_mg_per_l / plan.target_mg_per_l;
    held += share >= 1 ? 1 : 0;
    lowest_share = std::min(lowest_share, share);
  }
  int surely = 0, can = 0;
  double to_hold_m3_per_day = 0, plan_m3_per_day = 0;
  for (size_t d = 0; d < row.duties.size(); ++d) {
    const DevicePlan& plan = town.plan.devices[d];
    const DeviceFacts facts = CountedOn(town, d);
    const auto numbers = GatherNumbers(facts, town.options);
    if (!plan.planned_outcome || !numbers.ok()) continue;
    const DeviceDuty& duty = row.duties[d];
    water_m3_per_day += duty.settings.on ? Water_m3_per_day(facts, town.options, duty.settings) : 0;
    if (SurelyHolds(facts, *numbers, town.options, duty.settings)) ++surely;
    if (!is_rule) continue;
    const auto longer = LengthenedUntilItHolds(facts, *numbers, town.options, duty.settings);
    if (!longer) continue;
    ++can;
    to_hold_m3_per_day += Water_m3_per_day(facts, town.options, *longer);
    plan_m3_per_day += plan.planned_outcome->water_m3_per_day;
  }
  std::printf("%-36s %7.1f m3/d  held %2d  lowest %3.0f %% of target  surely held %2d", row.name.c_str(),
              water_m3_per_day, held, 100 * lowest_share, surely);
  if (is_rule) std::printf("  to hold %2d: %6.1f m3/d, plan %6.1f", can, to_hold_m3_per_day, plan_m3_per_day);
  std::printf("\n");
  std::fflush(stdout);
}

int RunProgram(const std::vector<std::string>& words) {
  std::vector<const char*> argv = {"lastreach"};
  for (const std::string& word : words) argv.push_back(word.c_str());
  std::ostringstream out, err;
  Surroundings around{out, err, false, *ParseRfc3339("2027-01-15T15:00:00Z")};
  return RunCommandLine(static_cast<int>(argv.size()), argv.data(), around);
}

void Compare(const Town& town) {
  std::printf("%s, %zu devices, %zu on the network; reaches that some settings can hold:\n",
              town.options.season.c_str(), town.facts.devices.size(), town.prepared.network.placed.size());
  Row planned{"the plan", {}}, now{"as keyed now", {}};
  for (size_t d = 0; d < town.facts.devices.size(); ++d) {
    planned.duties.push_back(PlannedDuty(town.facts.devices[d], town.plan.devices[d]));
    now.duties.push_back(PresentDuty(town.facts.devices[d]));
  }
  Report(town, planned, false);
  Report(town, now, false);
  for (const RuleOfThumb& rule : RulesOfThumb()) {
    Row row{rule.name, {}};
    for (size_t d = 0; d < town.facts.devices.size(); ++d) {
      DeviceDuty duty = PresentDuty(town.facts.devices[d]);
      const auto numbers = GatherNumbers(CountedOn(town, d), town.options);
      duty.clock_fast_min = 0;
      if (numbers.ok()) duty.settings = rule.settings(*numbers);
      row.duties.push_back(duty);
    }
    Report(town, row, true);
  }
}

}  // namespace
}  // namespace lastreach

int main(int argc, char** argv) {
  using namespace lastreach;
  std::string file = argc > 1 ? argv[1] : "";
  const std::string season = argc > 2 ? argv[2] : "summer-2027";
  if (file.empty()) {
    const auto folder = std::filesystem::temp_directory_path() / "lastreach-habits";
    std::filesystem::remove_all(folder);
    if (RunProgram({"demo", folder.string()}) != 0) Fail("the town could not be made");
    file = (folder / "town.gpkg").string();
    if (RunProgram({"map", file}) != 0) Fail("the town has no map");
  }
  Compare(Plan(file, season));
  return 0;
}
