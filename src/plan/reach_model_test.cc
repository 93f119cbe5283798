#include "plan/reach_model.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "plan/test_devices.h"
#include "quality/transport.h"

namespace lastreach {
namespace {

using std::chrono::minutes;
using testing::ElementsAre;

PlanningNumbers NumbersOf(int services) { return *GatherNumbers(MadeUpDevice(services, 300), FourWeeks()); }

MinuteInstant At(const char* rfc3339) { return std::chrono::floor<minutes>(*ParseRfc3339(rfc3339)); }

double TotalDemand(const ReachModel& model) {
  double sum = 0;
  for (const BranchSegment& segment : model.branch.segments) sum += segment.tap_demand_m3_per_s;
  return sum;
}

double TotalVolume(const ReachModel& model) {
  double sum = 0;
  for (const BranchSegment& segment : model.branch.segments) sum += segment.volume_m3();
  return sum;
}

TEST(HouseholdHours, AverageOne) {
  EXPECT_NEAR(std::accumulate(std::begin(kHouseholdHours), std::end(kHouseholdHours), 0.0), 24, 1e-9);
}

TEST(ModelReach, SpacesServicesEvenlyTheLastAtTheEnd) {
  const PlanningNumbers numbers = NumbersOf(4);
  const ReachModel model = ModelReach(numbers, {});
  ASSERT_EQ(model.branch.segments.size(), 4u);
  for (const BranchSegment& segment : model.branch.segments) {
    EXPECT_DOUBLE_EQ(segment.length_m, 75);
    EXPECT_DOUBLE_EQ(segment.tap_demand_m3_per_s, 4e-6);
  }
  EXPECT_THAT(model.judged, ElementsAre(0, 1, 2, 3));
  EXPECT_THAT(model.service_number, ElementsAre(1, 2, 3, 4));
}

TEST(ModelReach, JudgesTheEndWhereThereAreNoServices) {
  const ReachModel model = ModelReach(NumbersOf(0), {});
  EXPECT_THAT(model.judged, ElementsAre(0));
  EXPECT_THAT(model.service_number, ElementsAre(0));
}

TEST(ModelReach, DoesNotJudgeATailWithoutServices) {
  DeviceFacts facts = MadeUpDevice(2, 300);
  facts.reach.pipes.push_back(facts.reach.pipes[0]);
  facts.reach.pipes[1].services.value = 0;
  const ReachModel model = ModelReach(*GatherNumbers(facts, FourWeeks()), {});
  EXPECT_EQ(model.branch.segments.size(), 3u);
  EXPECT_THAT(model.judged, ElementsAre(0, 1));
}

TEST(ModelReach, PutsNeighboursTogetherAtThePlaceOfTheLast) {
  for (int services = 1; services <= 40; ++services) {
    const PlanningNumbers numbers = NumbersOf(services);
    const ReachModel all = ModelReach(numbers, {});
    const ReachModel coarse = ModelReach(numbers, {}, 8);
    SCOPED_TRACE(services);
    EXPECT_EQ(coarse.branch.segments.size(), static_cast<size_t>(std::min(services, 8)));
    EXPECT_NEAR(TotalVolume(coarse), TotalVolume(all), 1e-9);
    EXPECT_NEAR(TotalDemand(coarse), TotalDemand(all), 1e-15);
    double metres = 0;
    double draw = 0;
    for (size_t j = 0; j < coarse.branch.segments.size(); ++j) {
      metres += coarse.branch.segments[j].length_m;
      draw += coarse.branch.segments[j].tap_demand_m3_per_s;
      const int number = coarse.service_number[j];
      EXPECT_NEAR(metres, 300.0 * number / services, 1e-9) << "tap " << j << " is not at a service";
      EXPECT_NEAR(draw, TotalDemand(all) * number / services, 1e-15);
    }
  }
}

// The reason a coarse model may be searched in: it never calls water lower than it is, and is not far off.
TEST(ModelReach, MakesWaterAtTheEndALittleFresherWithFewerTaps) {
  for (const int services : {9, 11, 12, 17, 30}) {
    const PlanningNumbers numbers = NumbersOf(services);
    const MinuteInstant begin = At("2026-06-01T00:00:00Z");
    const MinuteInstant end = begin + minutes(8 * 1440);
    std::vector<lastreach::Run> runs;
    for (int day = 0; day < 8; ++day) runs.push_back({begin + minutes(day * 1440 + 200), 25, 1});
    const auto lowest = [&](int taps) {
      const ReachModel model = ModelReach(numbers, {}, taps);
      const BranchDrive drive = DriveOf(model, runs, Zone::Utc(), begin, end);
      return LowestResiduals(model.branch, drive, 5 * 86400, 8 * 86400).back().lowest_mg_per_l;
    };
    EXPECT_GE(lowest(8), lowest(kEveryTap) - 1e-12) << services;
    EXPECT_NEAR(lowest(8), lowest(kEveryTap), 0.1) << services;
  }
}

TEST(ModelReach, AppliesEachDeviateToItsOwnNumber) {
  const PlanningNumbers numbers = [] {
    DeviceFacts facts = MadeUpDevice(3, 300);
    facts.supply.wall_m_per_day = Typed(0.1);
    return *GatherNumbers(facts, FourWeeks());
  }();
  const ReachModel middle = ModelReach(numbers, {});
  for (int which = 0; which < kUncertainCount; ++which) {
    Deviates deviates{};
    deviates[static_cast<size_t>(which)] = 1;
    const ReachModel moved = ModelReach(numbers, deviates);
    const BranchSegment& a = middle.branch.segments[0];
    const BranchSegment& b = moved.branch.segments[0];
    EXPECT_EQ(b.bulk_per_s > a.bulk_per_s, which == kBulkLoss);
    EXPECT_EQ(moved.slowest_loss_per_s > middle.slowest_loss_per_s, which == kBulkLoss);
    EXPECT_EQ(b.wall_m_per_s > a.wall_m_per_s, which == kWallLoss);
    EXPECT_EQ(TotalVolume(moved) > TotalVolume(middle), which == kReachVolume);
    EXPECT_EQ(TotalDemand(moved) < TotalDemand(middle), which == kDemand);
    EXPECT_EQ(moved.flow_m3_per_s < middle.flow_m3_per_s, which == kDeviceFlow);
    EXPECT_EQ(moved.upstream_mg_per_l < middle.upstream_mg_per_l, which == kUpstream);
  }
}

DeviceFacts WithBeside(OriginKind known, std::vector<Programme> programmes) {
  DeviceFacts facts = MadeUpDevice(4, 300);
  facts.reach.pipes.push_back(facts.reach.pipes[0]);
  facts.beside.push_back({0, RichForm(), {.programmes = std::move(programmes)}, 2e-3, known});
  return facts;
}

TEST(ModelReach, LetsADeviceBesideDrawAtTheEndOfItsPipe) {
  const PlanningNumbers numbers =
      *GatherNumbers(WithBeside(OriginKind::kMeasured, {{{60}, 30, kEveryWeekday, {}}}), FourWeeks());
  const ReachModel model = ModelReach(numbers, {});
  ASSERT_EQ(model.beside.size(), 1u);
  EXPECT_EQ(model.beside[0].segment, 3u);
  EXPECT_EQ(model.beside[0].flow_m3_per_s, 2e-3);
  EXPECT_EQ(ModelReach(numbers, {}, 2).beside[0].segment, 0u);
  Deviates slow{};
  slow[kDeviceFlow] = 1;
  EXPECT_NEAR(ModelReach(numbers, slow).beside[0].flow_m3_per_s, 2e-3 * std::exp(-0.05), 1e-12);
}

TEST(GatherNumbers, CountsNotOnWhatADeviceBesideMayNotDo) {
  const auto beside = [](std::vector<Programme> programmes, bool on) {
    DeviceFacts facts = WithBeside(OriginKind::kAssumed, std::move(programmes));
    facts.beside[0].settings.on = on;
    facts.beside[0].form.overlap = Overlap::kUnknown;
    return GatherNumbers(facts, FourWeeks())->beside;
  };
  const Programme daily{{60}, 30, kEveryWeekday, {}};
  const Programme some_third_day{{90}, 30, EveryNDays{3, {}}, {}};
  EXPECT_EQ(beside({daily}, false), nullptr);
  EXPECT_EQ(beside({some_third_day}, true), nullptr);
  const auto both = beside({daily, some_third_day}, true);
  ASSERT_EQ(both->front().settings.programmes.size(), 1u);
  EXPECT_EQ(both->front().form.overlap, Overlap::kDrop);
  DeviceFacts nowhere = WithBeside(OriginKind::kAssumed, {daily});
  nowhere.beside[0].pipe = 2;
  EXPECT_FALSE(GatherNumbers(nowhere, FourWeeks()).ok());
}

TEST(GatherNumbers, TakesTheLowestHourOfARootThatMovesAndModelsTheHighest) {
  DeviceFacts facts = MadeUpDevice(2, 300);
  facts.root_mg_per_l_by_hour.emplace();
  facts.root_mg_per_l_by_hour->fill(0.9);
  (*facts.root_mg_per_l_by_hour)[5] = 0.6;
  (*facts.root_mg_per_l_by_hour)[14] = 1.1;
  const PlanningNumbers numbers = *GatherNumbers(facts, FourWeeks());
  EXPECT_EQ(numbers.upstream_mg_per_l, 0.6);
  EXPECT_EQ(ModelReach(numbers, {}).upstream_mg_per_l, 1.1);
}

// Minute by minute: the settings' own expansion says whether the device beside is open, and the root is never
// above the hour it is in nor below its neighbours.
TEST(DriveOf, FollowsDevicesBesideAndTheRootThroughTheHours) {
  DeviceFacts facts = WithBeside(OriginKind::kMeasured, {{{50, 1430}, 55, kEveryWeekday, {}}});
  facts.beside.push_back({1, RichForm(), {.programmes = {{{300}, 60, OddDates{}, {}}}}, 1e-3});
  facts.root_mg_per_l_by_hour.emplace();
  for (size_t hour = 0; hour < 24; ++hour) {
    (*facts.root_mg_per_l_by_hour)[hour] = 0.8 + 0.3 * static_cast<double>((7 * hour) % 24) / 24;
  }
  const ReachModel model = ModelReach(*GatherNumbers(facts, FourWeeks()), {});
  const Zone zone = *Zone::Find("America/Chicago");
  const MinuteInstant begin = At("2026-03-07T06:00:00Z");
  const MinuteInstant end = begin + minutes(3 * 1440 - 60);
  const std::vector<lastreach::Run> own = {{begin + minutes(45), 15, 1}};
  const BranchDrive drive = DriveOf(model, own, zone, begin, end);
  ASSERT_TRUE(CheckDrive(drive, model.branch).ok());
  const DateWindow wide{AddDays(FourWeeks().from, -100), FourWeeks().from};
  std::vector<std::vector<lastreach::Run>> runs;
  for (const BesideFlow& beside : facts.beside)
    runs.push_back(ExpandRuns(beside.form, beside.settings, zone, wide, {}));
  size_t step = 0;
  for (MinuteInstant now = begin; now < end; now += minutes(1)) {
    const double at = static_cast<double>((now - begin).count()) * 60;
    while (drive.time_s[step + 1] <= at) ++step;
    for (size_t k = 0; k < 2; ++k) {
      const bool open = std::any_of(runs[k].begin(), runs[k].end(),
                                    [now](const auto& run) { return run.start <= now && now < run.end(); });
      ASSERT_EQ(drive.side_draws[k].flow_m3_per_s[step], open ? model.beside[k].flow_m3_per_s : 0);
    }
    const LocalTime local = zone.ToLocal(Instant(now));
    const auto hour = static_cast<size_t>(
        std::chrono::floor<std::chrono::hours>(local - std::chrono::floor<std::chrono::days>(local)).count());
    const double share = (at - drive.time_s[step]) / (drive.time_s[step + 1] - drive.time_s[step]);
    const double root = std::lerp(drive.root_mg_per_l[step], drive.root_mg_per_l[step + 1], share);
    const auto& hours = *model.upstream_by_hour;
    ASSERT_LE(root, hours[hour] + 1e-12) << FormatLocal(local);
    // At the clock change the hour after is another.
    const double next = std::min(hours[(hour + 1) % 24], hours[(hour + 2) % 24]);
    ASSERT_GE(root, std::min({hours[(hour + 23) % 24], hours[hour], next}) - 1e-12) << FormatLocal(local);
  }
}

// The slow oracle of a drive: what the household hour and the valve are at one minute.
void ExpectDriveIsRightEveryMinute(const Zone& zone, MinuteInstant begin, MinuteInstant end,
                                   const std::vector<Run>& runs) {
  const ReachModel model = ModelReach(NumbersOf(2), {});
  const BranchDrive drive = DriveOf(model, runs, zone, begin, end);
  ASSERT_TRUE(CheckDrive(drive).ok());
  EXPECT_EQ(drive.time_s.front(), 0);
  EXPECT_EQ(drive.time_s.back(), static_cast<double>((end - begin).count()) * 60);
  size_t step = 0;
  for (MinuteInstant now = begin; now < end; now += minutes(1)) {
    const double at = static_cast<double>((now - begin).count()) * 60;
    while (drive.time_s[step + 1] <= at) ++step;
    const LocalTime local = zone.ToLocal(Instant(now));
    const auto hour =
        std::chrono::floor<std::chrono::hours>(local - std::chrono::floor<std::chrono::days>(local)).count();
    const bool open = std::any_of(runs.begin(), runs.end(),
                                  [now](const Run& run) { return run.start <= now && now < run.end(); });
    ASSERT_EQ(drive.demand_factor[step], kHouseholdHours[hour]) << FormatLocal(local);
    ASSERT_EQ(drive.end_flow_m3_per_s[step], open ? model.flow_m3_per_s : 0) << FormatLocal(local);
  }
}

TEST(DriveOf, FollowsHouseholdsAndRunsToTheMinute) {
  const MinuteInstant begin = At("2026-06-01T00:00:00Z");
  const std::vector<lastreach::Run> runs = {{begin + minutes(-5), 10, 1},     // on when the drive begins
                                            {begin + minutes(60), 60, 1},     // an hour on the hour
                                            {begin + minutes(120), 7, 2},     // at once after it
                                            {begin + minutes(1435), 10, 1},   // past midnight
                                            {begin + minutes(2870), 60, 1}};  // past the drive's end
  ExpectDriveIsRightEveryMinute(Zone::Utc(), begin, begin + minutes(2880), runs);
}

TEST(DriveOf, KeepsHouseholdHoursOnLocalTimeThroughClockChangesAndHalfHours) {
  struct Case {
    const char* zone;
    const char* begin;
  };
  for (const Case& c :
       {Case{"America/Chicago", "2026-03-07T06:00:00Z"}, Case{"America/Chicago", "2026-10-31T05:00:00Z"},
        Case{"Australia/Lord_Howe", "2026-04-03T13:00:00Z"},
        Case{"Asia/Kathmandu", "2026-06-01T00:00:00Z"}}) {
    SCOPED_TRACE(std::string(c.zone) + " " + c.begin);
    const MinuteInstant begin = At(c.begin);
    ExpectDriveIsRightEveryMinute(*Zone::Find(c.zone), begin, begin + minutes(3 * 1440),
                                  {{begin + minutes(1490), 90, 1}});
  }
}

}  // namespace
}  // namespace lastreach
