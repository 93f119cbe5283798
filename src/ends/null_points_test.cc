#include "ends/null_points.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "ends/quiet_places.h"
#include "map/test_network.h"

namespace lastreach {
namespace {

using testing::Contains;
using testing::HasSubstr;

// A loop of 4 x 400 m of 200 mm (0.0314 m3 a metre), fed at S: the ways meet at B, 800 m off on both.
constexpr const char* kLoop = R"(
    source S 0 0
    junction A 400 0
    junction B 400 400
    junction C 0 400
    pipe S-A 200
    pipe A-B 200
    pipe B-C 200
    pipe C-S 200
)";

std::vector<QuietPlace> MeetingPlaces(const TestNetwork& network, const EndOptions& options = {}) {
  std::vector<QuietPlace> places = FindQuietPlaces(network, options);
  std::erase_if(places, [](const QuietPlace& place) { return place.kind != QuietKind::kNullPoint; });
  return places;
}

// 24.8 m3 lie before either house, 20 m past them: 25 days at 1 m3/d, 2.5 days at 10 m3/d.
TEST(NullPoints, ALoopIsToldForOldWaterOnlyBeyondTheDaysAskedFor) {
  const TestNetwork slow(std::string(kLoop) + "house A-B 390 1\nhouse B-C 10 1\n");
  const TestNetwork brisk(std::string(kLoop) + "house A-B 390 10\nhouse B-C 10 10\n");
  ASSERT_EQ(MeetingPlaces(slow).size(), 1U);
  EXPECT_THAT(MeetingPlaces(slow)[0].notes, Contains("a customer here gets water more than 5 days old"));
  EXPECT_TRUE(MeetingPlaces(brisk).empty());
  EndOptions strict;
  strict.quiet_days = 2;
  EXPECT_EQ(MeetingPlaces(brisk, strict).size(), 1U);
}

// 1,000 m (31.4 m3) stand past both houses, whose water is a few hours old. They use 80 or 160 m3/d, a
// quarter of which is 20 or 40 m3.
TEST(NullPoints, WaterThatStandsIsToldUnlessTheDaysUseSweepsIt) {
  const TestNetwork still(std::string(kLoop) + "house S-A 300 40\nhouse C-S 100 40\n");
  const TestNetwork swept(std::string(kLoop) + "house S-A 300 80\nhouse C-S 100 80\n");
  ASSERT_EQ(MeetingPlaces(still).size(), 1U);
  EXPECT_THAT(MeetingPlaces(still)[0].notes,
              Contains("1000 m (31.4 m3) stand between the last customers of both ways"));
  EXPECT_TRUE(MeetingPlaces(swept).empty());
}

TEST(NullPoints, AFewMetresThatStandAreNotTold) {
  EndOptions options;
  options.swept_days = 0;
  const TestNetwork network(std::string(kLoop) + "house A-B 380 10\nhouse B-C 20 10\n");
  EXPECT_TRUE(MeetingPlaces(network, options).empty());
  options.still_m = 30;
  EXPECT_EQ(MeetingPlaces(network, options).size(), 1U);
}

// 3 km of 300 mm hold 212 m3, 2.7 days at 80 m3/d; from there 24.8 m3 at 8 m3/d are 3.1 days more.
TEST(NullPoints, AgeCountsFromTheSourceWhereOneIsKnown) {
  const std::string loop = R"(
    junction A 400 0
    junction B 400 400
    junction C 0 400
    junction D -10 0
    pipe F-A 200
    pipe A-B 200
    pipe B-C 200
    pipe C-F 200
    pipe F-D 200
    house A-B 390 8
    house B-C 10 8
    house F-D 5 64
)";
  const TestNetwork far("source S 0 -3000\njunction F 0 0\npipe S-F 300\n" + loop);
  const TestNetwork near("source F 0 0\n" + loop);
  ASSERT_EQ(MeetingPlaces(far).size(), 1U);
  EXPECT_NEAR(*MeetingPlaces(far)[0].days_to_last_customer, 3.1, 0.05);
  EXPECT_NEAR(*MeetingPlaces(far)[0].days_from_source, 5.75, 0.05);
  EXPECT_TRUE(MeetingPlaces(near).empty());
}

TEST(NullPoints, EveryLoopThatWaterIsDrawnFromIsLookedAtOnce) {
  const auto looked_at = [](const std::string& drawing) {
    int meetings = -1;
    (void)FindQuietPlaces(TestNetwork(drawing), {}, &meetings);
    return meetings;
  };
  EXPECT_EQ(looked_at(std::string(kLoop) + "house A-B 390 10\n"), 1);
  EXPECT_EQ(looked_at(std::string(kLoop) + "house A-B 390 10\npipe A-C 200\n"), 2);
  EXPECT_EQ(looked_at(kLoop), 0);
  EXPECT_EQ(looked_at("source S 0 0\njunction A 100 0\npipe S-A 150\nhouse S-A 50 1\n"), 0);
}

}  // namespace
}  // namespace lastreach
