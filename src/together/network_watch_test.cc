#include "together/network_watch.h"

#include <gtest/gtest.h>

#include <cmath>

#include "together/network_judge.h"
#include "together/test_street.h"

namespace lastreach {
namespace {

DateWindow July() { return {Date{std::chrono::year{2026} / 7 / 1}, Date{std::chrono::year{2026} / 8 / 1}}; }

DeviceDuty Daily(int start_min, int minutes, const DayPattern& days = kEveryWeekday) {
  TimerSettings settings;
  settings.programmes.push_back({{start_min}, minutes, days, {}});
  return {RichForm(), settings, 3e-3, 0};
}

DeviceDuty Off() {
  DeviceDuty off = Daily(0, 10);
  off.settings.on = false;
  return off;
}

// The oracle is the network to the minute, with a warm-up of its own.
void ExpectAsToTheMinute(NetworkWatch& watch, const PlanningNetwork& street,
                         const std::vector<DeviceDuty>& duties) {
  constexpr double kHoursSmear_mg_per_l = 0.01;
  const auto soon = watch.Judge(duties);
  const auto exact = JudgeOnNetwork(street, duties, Zone::Utc(), July());
  ASSERT_TRUE(soon.ok());
  ASSERT_TRUE(exact.ok());
  for (size_t i = 0; i < duties.size(); ++i) {
    for (size_t hour = 0; hour < 24; ++hour) {
      EXPECT_NEAR((*soon)[i].root_mg_per_l_by_hour[hour], exact->devices[i].root_mg_per_l_by_hour[hour],
                  kHoursSmear_mg_per_l)
          << "device " << i << ", hour " << hour;
    }
    EXPECT_NEAR((*soon)[i].lowest_mg_per_l, exact->devices[i].lowest_mg_per_l, kHoursSmear_mg_per_l);
    EXPECT_EQ((*soon)[i].lowest_at, exact->devices[i].lowest_at);
  }
}

TEST(NetworkWatch, TellsWhatTheNetworkDoesToTheMinute) {
  const PlanningNetwork street = ForkedStreet();
  const Zone zone = Zone::Utc();
  auto watch = NetworkWatch::Make(street, zone, July());
  ASSERT_TRUE(watch.ok());
  ExpectAsToTheMinute(*watch, street, {Daily(140, 47), Off()});
}

TEST(NetworkWatch, GoesFromOnePlanToTheNext) {
  const PlanningNetwork street = ForkedStreet();
  const Zone zone = Zone::Utc();
  auto watch = NetworkWatch::Make(street, zone, July());
  ASSERT_TRUE(watch.ok());
  ExpectAsToTheMinute(*watch, street, {Off(), Off()});
  ExpectAsToTheMinute(*watch, street, {Daily(60, 90), Daily(725, 20)});
  ExpectAsToTheMinute(*watch, street, {Off(), Daily(725, 20)});
}

TEST(NetworkWatch, SeesTheFortnightWhereDaysDoNotComeRoundByTheWeek) {
  const PlanningNetwork street = ForkedStreet();
  const Zone zone = Zone::Utc();
  auto watch = NetworkWatch::Make(street, zone, July());
  ASSERT_TRUE(watch.ok());
  // From the 30th to the 2nd nothing runs: the longest gap lies in the second week.
  ExpectAsToTheMinute(*watch, street, {Daily(60, 120, EvenDates{}), Off()});
}

TEST(NetworkWatch, WantsADutyForEachDevice) {
  const PlanningNetwork street = ForkedStreet();
  const Zone zone = Zone::Utc();
  auto watch = NetworkWatch::Make(street, zone, July());
  ASSERT_TRUE(watch.ok());
  const auto judged = watch->Judge({Off()});
  ASSERT_FALSE(judged.ok());
  EXPECT_EQ(judged.error().code, ErrorCode::kInternal);
}

}  // namespace
}  // namespace lastreach
