#include "year/plan_year.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck.h>

#include "year/fake_parts.h"
#include "year/turned_settings.h"

namespace lastreach {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;

DeviceInYear Fake(const std::string& code, const std::vector<YearPart>& year,
                  const std::vector<int>& needed_min) {
  DeviceInYear device;
  device.point.code = PointCode(code);
  device.open = [year, needed_min] { return std::make_unique<FakeParts>(year, needed_min); };
  return device;
}

std::vector<DeviceInYear> AnyDevices(const std::vector<YearPart>& year, int most) {
  std::vector<DeviceInYear> devices(static_cast<size_t>(*rc::gen::inRange(1, most + 1)));
  for (DeviceInYear& device : devices) {
    std::vector<int> needed;
    for (size_t p = 0; p < year.size(); ++p) needed.push_back(*rc::gen::inRange(1, 30));
    device = Fake("T" + std::to_string(&device - devices.data()), year, needed);
  }
  return devices;
}

double SumOfParts(const YearPlan& plan) {
  double water = 0;
  for (const DeviceYear& device : plan.devices) {
    for (const PartOfDevice& part : device.parts) water += part.water_m3;
  }
  return water;
}

TEST(PlanYear, TakesThePointWhereWaterAndVisitsTogetherCostLeast) {
  EXPECT_TRUE(rc::check([] {
    const auto year = FourSeasons();
    const auto devices = AnyDevices(year, 3);
    YearOptions options;
    options.worth_m3_a_visit = *rc::gen::inRange(0, 3000);
    const YearPlan plan = PlanYear(year, devices, options);
    const double total = plan.water_m3 + *options.worth_m3_a_visit * plan.visits;
    // Every way of giving each device its own number of visits.
    std::vector<std::vector<double>> least;
    for (const DeviceYear& device : plan.devices) least.push_back(device.least_m3_by_visits);
    double best = kMayNotStand;
    std::vector<size_t> v(least.size(), 0);
    while (true) {
      double sum = 0;
      for (size_t d = 0; d < v.size(); ++d)
        sum += least[d][v[d]] + *options.worth_m3_a_visit * static_cast<double>(v[d]);
      best = std::min(best, sum);
      size_t d = 0;
      while (d < v.size() && ++v[d] == least[d].size()) v[d++] = 0;
      if (d == v.size()) break;
    }
    RC_ASSERT(std::abs(total - best) < 1e-6);
    RC_ASSERT(std::abs(SumOfParts(plan) - plan.water_m3) < 1e-6);
    RC_ASSERT(static_cast<int>(plan.changes.size()) == plan.visits);
    for (size_t i = 1; i < plan.frontier.size(); ++i)
      RC_ASSERT(plan.frontier[i].water_m3 <= plan.frontier[i - 1].water_m3);
  }));
}

TEST(PlanYear, KeepsToTheVisitsAskedFor) {
  EXPECT_TRUE(rc::check([] {
    const auto year = FourSeasons();
    const auto devices = AnyDevices(year, 3);
    YearOptions options;
    options.worth_m3_a_visit = 0;
    options.most_visits = *rc::gen::inRange(0, 8);
    const YearPlan plan = PlanYear(year, devices, options);
    RC_ASSERT(plan.visits <= *options.most_visits);
    const auto allowed = std::min(static_cast<size_t>(*options.most_visits), plan.frontier.size() - 1);
    RC_ASSERT(std::abs(plan.water_m3 - plan.frontier[allowed].water_m3) < 1e-6);
  }));
}

TEST(PlanYear, ListsEachChangeWithItsDay) {
  const auto year = FourSeasons();
  YearOptions options;
  options.worth_m3_a_visit = 1;
  DeviceInYear device = Fake("T01", year, {10, 20, 10, 10});
  device.present = FakeParts::Settings(10);
  const YearPlan plan = PlanYear(year, {device}, options);
  ASSERT_THAT(plan.changes, SizeIs(2));
  EXPECT_EQ(plan.changes[0].when, *ParseDate("2026-06-01"));
  EXPECT_EQ(plan.changes[1].when, *ParseDate("2026-10-01"));
  // Half of 20 minutes is what the other parts need: keyed once, the percentage turned.
  EXPECT_DOUBLE_EQ(plan.water_m3, 20 * 122 + 10 * (365 - 122));
  EXPECT_THAT(plan.changes[0].words, HasSubstr("20 min"));
  EXPECT_FALSE(plan.changes[0].on_a_trip);
}

TEST(PlanYear, SaysWhatMustStandBeforeTheYearBegins) {
  const auto year = FourSeasons();
  DeviceInYear device = Fake("T01", year, {10, 10, 10, 10});
  EXPECT_THAT(PlanYear(year, {device}, {}).to_begin, SizeIs(1));
  device.present = FakeParts::Settings(10);
  EXPECT_THAT(PlanYear(year, {device}, {}).to_begin, IsEmpty());
  device.present->percent = 200;
  const YearPlan plan = PlanYear(year, {device}, {});
  ASSERT_THAT(plan.to_begin, SizeIs(1));
  EXPECT_EQ(plan.to_begin[0].percent_only, 100);
}

TEST(PlanYear, NamesWaysForAllAlikeWithTheirPrice) {
  const auto year = FourSeasons();
  YearOptions options;
  options.prices = YearPrices{"USD", 2, 50, "made up"};
  DeviceInYear without_percentage = Fake("T02", year, {5, 9, 5, 3});
  without_percentage.open = [year] {
    auto parts = std::make_unique<FakeParts>(year, std::vector<int>{5, 9, 5, 3});
    parts->form.percent_scope = PercentScope::kNone;
    return parts;
  };
  const YearPlan plan = PlanYear(year, {Fake("T01", year, {10, 20, 10, 8}), without_percentage}, options);
  EXPECT_DOUBLE_EQ(plan.worth_m3_a_visit, 25);
  ASSERT_THAT(plan.named, SizeIs(4));
  EXPECT_DOUBLE_EQ(plan.named[0].water_m3, (20 + 9) * 365);
  EXPECT_EQ(plan.named[0].visits, 0);
  EXPECT_DOUBLE_EQ(*plan.named[0].cost, 2 * 29 * 365);
  EXPECT_EQ(plan.named[3].name, "percentage only");
  EXPECT_THAT(plan.named[3].note, HasSubstr("T02"));
  EXPECT_DOUBLE_EQ(plan.named[3].water_m3, 10 * 61 + 20 * 122 + 10 * 61 + 8 * 121 + 9 * 365);
  for (size_t i = 1; i < 3; ++i) EXPECT_LE(plan.named[i].water_m3, plan.named[i - 1].water_m3);
  EXPECT_DOUBLE_EQ(*plan.cost, 2 * plan.water_m3 + 50 * plan.visits);
}

TEST(PlanYear, RidesOnTripsMadeAnyway) {
  const auto year = TwelveMonths();
  const std::vector<int> needed = {10, 15, 28, 40, 40, 31, 20, 12, 8, 6, 6, 8};
  DeviceInYear device = Fake("T01", year, needed);
  for (int month = 1; month <= 12; ++month) device.trip_months.insert(month);
  const YearPlan plan = PlanYear(year, {device}, {});
  EXPECT_EQ(plan.visits, 0);
  EXPECT_THAT(plan.changes, testing::Not(IsEmpty()));
  for (const SettingsChange& change : plan.changes) EXPECT_TRUE(change.on_a_trip);
  EXPECT_LT(plan.water_m3, PlanYear(year, {Fake("T01", year, needed)}, {}).water_m3 + 1);
}

TEST(PlanYear, IsOffInFrostAndSaysWhatTheEndHolds) {
  const std::set<int> frost = {12, 1, 2};
  const auto year = FourSeasons(CutsAt(frost));
  YearOptions options;
  options.most_visits = 0;
  DeviceInYear device = Fake("T01", year, std::vector<int>(year.size(), 10));
  device.frost = {frost, "road office"};
  const YearPlan plan = PlanYear(year, {device}, options);
  EXPECT_EQ(plan.visits, 2);
  EXPECT_THAT(plan.notes, Contains(HasSubstr("0 visits a year will not do")));
  const PartOfDevice& winter = plan.devices[0].parts[3];
  EXPECT_FALSE(winter.settings.on);
  EXPECT_THAT(winter.words, HasSubstr("road office"));
  EXPECT_THAT(winter.words, HasSubstr("not held"));
  DeviceInYear thrifty = Fake("T01", year, {10, 10, 10, 0, 10});
  thrifty.frost = {frost, "road office"};
  EXPECT_THAT(PlanYear(year, {thrifty}, options).devices[0].parts[3].words, HasSubstr("it holds without"));
}

TEST(PlanYear, LeavesOutWhatNothingHolds) {
  const auto year = FourSeasons();
  const YearPlan plan =
      PlanYear(year, {Fake("T01", year, {-1, -1, -1, -1}), Fake("T02", year, {5, 5, 5, 5})}, {});
  EXPECT_THAT(plan.devices[0].parts, IsEmpty());
  EXPECT_THAT(plan.devices[0].notes, SizeIs(1));
  EXPECT_DOUBLE_EQ(plan.water_m3, 5 * 365);
  EXPECT_THAT(plan.frontier, SizeIs(1)) << "no visit saves anything";
  EXPECT_THAT(PlanYear(year, {}, {}).devices, IsEmpty());
}

}  // namespace
}  // namespace lastreach
