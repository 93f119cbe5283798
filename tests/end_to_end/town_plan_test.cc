#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <map>

#include "app/map_source.h"
#include "app/plan_on_network.h"
#include "app/season_facts.h"
#include "app/test_program.h"
#include "bench/rules_of_thumb.h"
#include "calendar/answer.h"
#include "year/season_water.h"

namespace lastreach {
namespace {

using ValveRun = Run;  // inside a test Run is the test itself

// The invented town planned on its whole network for a summer; fewer draws than a person would get, to be
// quick.
class TownPlan : public ::testing::Test {
 protected:
  static void SetUpTestSuite() {
    const auto folder =
        std::filesystem::path(::testing::TempDir()) / ("lastreach_town_plan_" + std::to_string(getpid()));
    ExpectDone(RunProgram({"demo", folder.string()}));
    source_ = *OpenMapSource((folder / "town.gpkg").string());
    facts_ = *FactsOf(*source_.project);
    options_.zone = *Zone::Find(source_.project->Info()->zone);
    options_.from = Date{std::chrono::year{2027} / 6 / 1};
    options_.to = Date{std::chrono::year{2027} / 10 / 1};
    options_.draws = 60;
    options_.confirming_draws = 120;
    const auto water = *source_.project->MonthWaters();
    std::vector<std::vector<std::string>> not_known;
    TakeWaterOf(PartOf(options_), water, options_, facts_, not_known);
    ZonesOfPart zones = ZonesIn(PartOf(options_), *source_.project->SupplyZones(), options_, water);
    PrepareOptions wanted;
    wanted.from = options_.from;
    wanted.zones = zones.zones;
    wanted.use_factor = zones.use_factor;
    network_ = PreparePlanning(source_, facts_, wanted)->network;
    plan_ = *PlanSeasonOnNetwork(facts_.devices, network_, facts_.together, options_);
    std::filesystem::remove_all(folder);
  }
  static void TearDownTestSuite() {
    source_ = {};
    network_ = {};
    plan_ = {};
  }

  static bool IsHeld(const DevicePlan& plan) { return plan.planned_outcome.has_value(); }
  static DateWindow Season() { return {options_.from, options_.to}; }
  // Of the devices that are held, if each ran by these settings.
  template <typename SettingsOf>
  static double Water_m3_per_day(SettingsOf&& settings_of) {
    double water_m3 = 0;
    for (size_t d = 0; d < facts_.devices.size(); ++d) {
      if (!IsHeld(plan_.devices[d])) continue;
      const auto answer = AnswerCalendar({facts_.devices[d].form, settings_of(d)}, options_.zone, Season());
      const double flow_m3_per_s = facts_.devices[d].point.flow->value.cubic_metres_per_second();
      for (const ValveRun& run : answer.runs) water_m3 += run.minutes * kSecondsPerMinute * flow_m3_per_s;
    }
    return water_m3 / (DayNumber(options_.to) - DayNumber(options_.from));
  }

  static inline MapSource source_;
  static inline ProjectFacts facts_;
  static inline PlanOptions options_;
  static inline PlanningNetwork network_;
  static inline NetworkPlan plan_;
};

TEST_F(TownPlan, IsConfirmedByTheWholeNetworkAndHoldsEveryTargetThere) {
  EXPECT_TRUE(plan_.network.confirmed);
  int held = 0;
  for (const DevicePlan& device : plan_.devices) {
    if (!IsHeld(device) || !device.on_network) continue;
    ++held;
    EXPECT_GE(device.on_network->lowest_mg_per_l, device.target_mg_per_l) << device.point.code.text();
  }
  EXPECT_GE(held, 18);
}

TEST_F(TownPlan, UsesLessWaterThanWhatIsKeyedAndThanEachRuleOfThumb) {
  const double planned = Water_m3_per_day([&](size_t d) { return plan_.devices[d].settings; });
  const double now = Water_m3_per_day([&](size_t d) { return *facts_.devices[d].present; });
  EXPECT_LT(planned, 0.9 * now);
  for (const RuleOfThumb& rule : RulesOfThumb()) {
    const double by_rule = Water_m3_per_day(
        [&](size_t d) { return rule.settings(*GatherNumbers(facts_.devices[d], options_)); });
    if (rule.name.starts_with("volume over")) continue;  // too little: the next test
    EXPECT_LT(planned, by_rule) << rule.name;
  }
}

// The one rule that uses less does not hold.
TEST_F(TownPlan, HoldsWhereVolumeOverTargetAgeDoesNot) {
  std::vector<DeviceDuty> duties;
  for (const PlacedDevice& placed : network_.placed) {
    DeviceDuty duty = PresentDuty(facts_.devices[placed.device]);
    duty.clock_fast_min = 0;
    const auto numbers = GatherNumbers(facts_.devices[placed.device], options_);
    if (numbers.ok()) duty.settings = VolumeOverTargetAge(*numbers);
    duties.push_back(duty);
  }
  const auto judged = JudgeOnNetwork(network_, duties, options_.zone, Season());
  ASSERT_TRUE(judged.ok());
  int failing = 0;
  for (size_t i = 0; i < duties.size(); ++i) {
    const DevicePlan& device = plan_.devices[network_.placed[i].device];
    if (IsHeld(device) && judged->devices[i].lowest_mg_per_l < device.target_mg_per_l) ++failing;
  }
  EXPECT_GE(failing, 5);
}

// Every minute of the season, clocks right: never more than two valves open in the zone of the small booster.
TEST_F(TownPlan, NeverOpensMoreDevicesThanTheBoosterBears) {
  std::map<MinuteInstant, int> change;
  for (size_t d = 0; d < facts_.devices.size(); ++d) {
    if (facts_.devices[d].point.supply_zone != "High Tank") continue;
    const DeviceDuty duty = PlannedDuty(facts_.devices[d], plan_.devices[d]);
    for (const ValveRun& run : AnswerCalendar({duty.form, duty.settings}, options_.zone, Season()).runs) {
      ++change[run.start];
      --change[run.end()];
    }
  }
  int open = 0;
  int most = 0;
  for (const auto& [when, by] : change) most = std::max(most, open += by);
  EXPECT_LE(most, 2);
  EXPECT_GE(most, 1);
  ASSERT_TRUE(plan_.network.together.has_value());
  EXPECT_TRUE(plan_.network.together->conflicts.empty());
  EXPECT_GE(plan_.network.planned.lowest_pressure_m, Pressure::PoundsPerSquareInch(20).metres_of_water());
}

}  // namespace
}  // namespace lastreach
