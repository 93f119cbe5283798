#include "together/stagger.h"

#include <gtest/gtest.h>

#include <map>
#include <optional>
#include <random>

#include "together/stagger_oracle.h"

namespace lastreach {
namespace {

std::vector<uint32_t> WaysOf(const StaggerAnswer& answer) {
  std::vector<uint32_t> ways;
  for (const std::optional<uint32_t>& way : answer.way) ways.push_back(way.value_or(0));
  return ways;
}

Result<StaggerAnswer> Ask(const StaggerCase& of) {
  auto judge = PressureJudge::Make(of.town.network(), of.town.points, of.limits, {.drop_states = 24});
  if (!judge.ok()) return judge.error();
  return Stagger(of.devices, of.at_once, &*judge, of.options);
}

TEST(Stagger, IsAsGoodAsTheBestOfAllChoicesAndAsCarefulOnTrees) {
  std::mt19937_64 random(20261125);
  std::map<ClockCare, int> reached;
  int conflicts = 0;
  for (int turn = 0; turn < 60; ++turn) {
    const StaggerCase of(random, false);
    const auto answer = Ask(of);
    ASSERT_TRUE(answer.ok()) << answer.error().ToString();
    StaggerOracle oracle(of);
    std::optional<double> least;
    ClockCare care = ClockCare::kAllMayBeWrong;
    for (const ClockCare each :
         {ClockCare::kAllMayBeWrong, ClockCare::kAnyOneMayBeWrong, ClockCare::kAllRight}) {
      care = each;
      least = oracle.Least(each);
      if (least) break;
    }
    ASSERT_EQ(answer->Found(), least.has_value()) << turn;
    if (!least) {
      ++conflicts;
      EXPECT_TRUE(answer->conflicts[0].proven) << turn;
      continue;
    }
    ++reached[answer->care];
    EXPECT_TRUE(oracle.Holds(WaysOf(*answer), answer->care)) << turn;
    // Devices that share nothing are chosen for apart, each group as carefully as it can be: then all of them
    // together are no less careful than the one care of the oracle.
    if (answer->summary.groups > 1) continue;
    EXPECT_EQ(answer->care, care) << turn;
    EXPECT_NEAR(oracle.Cost(WaysOf(*answer)), *least, 1e-6) << turn;
    EXPECT_LE(answer->bound_m3_per_day, *least + 1e-6) << turn;
  }
  EXPECT_GT(reached[ClockCare::kAllMayBeWrong], 5);
  EXPECT_GT(reached[ClockCare::kAnyOneMayBeWrong] + reached[ClockCare::kAllRight], 3);
  EXPECT_GT(conflicts, 1);
}

TEST(Stagger, KeepsEveryLimitWhereRoomIsLessenedAndItsBoundIsStillOne) {
  std::mt19937_64 random(9);
  int lessened = 0;
  for (int turn = 0; turn < 60; ++turn) {
    StaggerCase of(random, false, 1);  // all at the end of one main
    of.options.exact_up_to = 0;
    const auto answer = Ask(of);
    ASSERT_TRUE(answer.ok()) << answer.error().ToString();
    if (!answer->Found() || answer->summary.groups > 1) continue;
    StaggerOracle oracle(of);
    EXPECT_TRUE(oracle.Holds(WaysOf(*answer), answer->care)) << turn;
    const std::optional<double> least = oracle.Least(answer->care);
    ASSERT_TRUE(least.has_value()) << turn;
    EXPECT_LE(answer->bound_m3_per_day, *least + 1e-6) << turn;
    lessened += answer->summary.lessened ? 1 : 0;
  }
  EXPECT_GT(lessened, 3);
}

TEST(Stagger, KeepsEveryLimitInLoopedTowns) {
  std::mt19937_64 random(5);
  int found = 0;
  for (int turn = 0; turn < 40; ++turn) {
    const StaggerCase of(random, true);
    const auto answer = Ask(of);
    ASSERT_TRUE(answer.ok()) << answer.error().ToString();
    if (!answer->Found()) continue;
    ++found;
    EXPECT_TRUE(StaggerOracle(of).Holds(WaysOf(*answer), answer->care)) << turn;
  }
  EXPECT_GT(found, 10);
}

// Every combination of clocks in steps shorter than any run, walked minute by minute.
TEST(Stagger, HoldsUnderEveryCombinationOfClocks) {
  std::mt19937_64 random(6);
  int walked = 0;
  for (int turn = 0; turn < 200 && walked < 3; ++turn) {
    const StaggerCase of(random, true);
    if (of.devices.size() > 3) continue;
    const auto answer = Ask(of);
    ASSERT_TRUE(answer.ok());
    if (!answer->Found() || answer->care != ClockCare::kAllMayBeWrong || answer->summary.places == 0)
      continue;
    ++walked;
    StaggerOracle oracle(of);
    const std::vector<uint32_t> way = WaysOf(*answer);
    const int steps = 7, step_min = 2 * kOff_min / (steps - 1);
    for (int combination = 0; combination < steps * steps * steps; ++combination) {
      for (int minute = 0; minute < kMinutesAWeek; minute += 10) {
        unsigned open = 0;
        int rest = combination;
        for (size_t d = 0; d < way.size(); ++d, rest /= steps) {
          const bool late =
              of.options.summer_time && !of.options.standard_time && !of.devices[d].follows_clock_change;
          const int at = minute - (late ? 60 : 0) + kOff_min - rest % steps * step_min + kMinutesAWeek;
          open |= IsOpenAt(of.devices[d].ways[way[d]].week, at % kMinutesAWeek) ? 1U << d : 0U;
        }
        ASSERT_TRUE(oracle.SetHolds(minute / 60 % 24, open)) << turn << " " << combination << " " << minute;
      }
    }
  }
  EXPECT_EQ(walked, 3);
}

TEST(Stagger, NeedsNoLessWaterWhereFewerMayRunAtOnce) {
  std::mt19937_64 random(8);
  for (int turn = 0; turn < 20; ++turn) {
    StaggerCase of(random, false);
    of.options.clock_off_min = 0;
    double before = 1e9;
    for (int most = 1; most <= 4; ++most) {
      of.at_once = {{"", most, {}, "made up"}};
      const auto answer = Stagger(of.devices, of.at_once, nullptr, of.options);
      ASSERT_TRUE(answer.ok());
      const double water = answer->Found() ? answer->water_m3_per_day : 1e9;
      EXPECT_LE(water, before + of.options.move_costs_m3_per_day * 4);
      before = water;
    }
  }
}

TEST(Stagger, LeavesEveryoneWhereWishedWhenNothingBinds) {
  std::vector<TogetherDevice> devices;
  for (int d = 0; d < 5; ++d) {
    devices.push_back(Device("T" + std::to_string(d), {{Daily(90, 30), 1, false}, {Daily(60, 30), 1, true}}));
  }
  const auto answer = Stagger(devices, {}, nullptr);
  ASSERT_TRUE(answer.ok());
  EXPECT_EQ(answer->moved, 0);
  EXPECT_EQ(answer->care, ClockCare::kAllMayBeWrong);
  EXPECT_EQ(answer->summary.groups, 5U);
}

TEST(Stagger, NamesTheDevicesAndTheLimitThatConflict) {
  std::vector<TogetherDevice> devices;
  for (int d = 0; d < 6; ++d) {
    const int from = d % 2 == 0 ? 120 : 720;
    devices.push_back(
        Device("T" + std::to_string(d), {{Daily(from, 30), 1, true}, {Daily(from + 10, 30), 1, false}}));
  }
  devices.pop_back();
  const std::vector<MostAtOnce> limits = {{"", 2, {}, "town office"}, {"", {}, 1, "never binds"}};
  const auto answer = Stagger(devices, limits, nullptr);
  ASSERT_TRUE(answer.ok());
  ASSERT_EQ(answer->conflicts.size(), 1U);
  EXPECT_EQ(
      answer->conflicts[0].Words(),
      "T0, T2 and T4 cannot all run, whichever of their times are taken: at most 2 devices open at once "
      "(source: town office)");
}

TEST(Stagger, NamesADeviceThatAloneIsTooMuch) {
  Hand hand;
  const NodeIndex source = hand.Source(30), end = hand.Junction(0, 1e-3);
  hand.Pipe(source, end, 1000, 0.1);
  auto judge = PressureJudge::Make(hand.network, {{end, 0.02}}, {{"", 14, "state rule"}});
  ASSERT_TRUE(judge.ok());
  const auto answer = Stagger({Device("T9", {{Daily(60, 30), 1, true}}, 0.02)}, {}, &*judge);
  ASSERT_TRUE(answer.ok());
  ASSERT_EQ(answer->conflicts.size(), 1U);
  EXPECT_EQ(answer->conflicts[0].Words(),
            "T9 can run at none of its times: pressure at N1 at least 14.0 m (source: state rule)");
}

TEST(Stagger, KeepsApartInTheHourWhatWasFoundToConflict) {
  std::vector<TogetherDevice> devices = {Device("A", {{Daily(60, 30), 1, true}, {Daily(600, 30), 2, false}}),
                                         Device("B", {{Daily(60, 30), 1, true}, {Daily(700, 30), 3, false}})};
  const auto answer = Stagger(devices, {}, nullptr, {}, {{{0, 1}, {}, "seen in the week"}});
  ASSERT_TRUE(answer.ok());
  EXPECT_EQ(WaysOf(*answer), (std::vector<uint32_t>{1, 0}));
  const auto elsewhere = Stagger(devices, {}, nullptr, {}, {{{0, 1}, 20, "seen in the week"}});
  ASSERT_TRUE(elsewhere.ok());
  EXPECT_EQ(elsewhere->moved, 0);
}

TEST(Stagger, ComesWithinItsGapOfTheBoundWhereManyMustGiveWay) {
  std::mt19937_64 random(12);
  const auto pick = [&](int below) { return std::uniform_int_distribution<int>(0, below - 1)(random); };
  for (int turn = 0; turn < 4; ++turn) {
    std::vector<TogetherDevice> devices;
    for (int d = 0; d < 24; ++d) {
      std::vector<RunningWay> ways;
      for (int k = 0; k < 8; ++k)
        ways.push_back({Daily(30 * pick(30), 20 + pick(60)), 1 + 0.1 * pick(20), k == 0});
      devices.push_back(Device("T" + std::to_string(d), std::move(ways), 1e-3 * (1 + pick(4))));
    }
    const std::vector<MostAtOnce> limits = {{"", 4, {}, "made up"}, {"", {}, 9e-3, "made up"}};
    const StaggerOptions options{.clock_off_min = 15};
    const auto answer = Stagger(devices, limits, nullptr, options);
    ASSERT_TRUE(answer.ok());
    if (!answer->Found()) continue;
    EXPECT_TRUE(*KeepsTogether(devices, answer->way, limits, nullptr, answer->care, options));
    EXPECT_LE(answer->water_m3_per_day,
              answer->bound_m3_per_day / (1 - options.gap) + 24 * options.move_costs_m3_per_day + 1e-6);
    EXPECT_GE(answer->water_m3_per_day, answer->bound_m3_per_day - 1e-6);
  }
}

TEST(KeepsTogether, IsTrueOfJustThoseChoicesThatTheWalkFindsToKeepEverything) {
  std::mt19937_64 random(13);
  int kept = 0, looked_at = 0;
  for (int turn = 0; turn < 15; ++turn) {
    const StaggerCase of(random, true);
    auto judge = PressureJudge::Make(of.town.network(), of.town.points, of.limits);
    ASSERT_TRUE(judge.ok());
    StaggerOracle oracle(of);
    for (const ClockCare care :
         {ClockCare::kAllMayBeWrong, ClockCare::kAnyOneMayBeWrong, ClockCare::kAllRight}) {
      std::vector<uint32_t> way;
      for (const TogetherDevice& device : of.devices)
        way.push_back(static_cast<uint32_t>(random() % device.ways.size()));
      const auto keeps =
          KeepsTogether(of.devices, {way.begin(), way.end()}, of.at_once, &*judge, care, of.options);
      ASSERT_TRUE(keeps.ok());
      EXPECT_EQ(*keeps, oracle.Holds(way, care)) << turn;
      kept += *keeps ? 1 : 0;
      ++looked_at;
    }
  }
  EXPECT_GT(kept, 5);
  EXPECT_LT(kept, looked_at - 5);
}

// Much is drawn on Tuesdays alone, in the hour in which two devices would run together.
TEST(Stagger, TellsTheDaysOfAWeekApartWhereUseDoes) {
  Hand hand;
  const NodeIndex source = hand.Source(40), end = hand.Junction(0, 1e-3);
  hand.Pipe(source, end, 600, 0.1);
  hand.network[end].pattern = "week";
  hand.network.patterns = {{"week", std::vector<double>(168, 1)}};
  hand.network.patterns[0].factors[24 + 2] = 9;
  auto judge = PressureJudge::Make(hand.network, {{end, 3e-3}, {end, 3e-3}}, {{"", 20, "made up"}});
  ASSERT_TRUE(judge.ok());
  const unsigned tuesday = 0b10, wednesday = 0b100;
  const StaggerOptions options{.clock_off_min = 0};
  const auto way_at_2 = [](unsigned days) { return RunningWay{Daily(120, 30, days), 1, true}; };
  const RunningWay way_at_4{Daily(240, 30), 2, false};
  const auto on_tuesdays =
      Stagger({Device("A", {way_at_2(tuesday), way_at_4}), Device("B", {way_at_2(tuesday), way_at_4})}, {},
              &*judge, options);
  ASSERT_TRUE(on_tuesdays.ok());
  EXPECT_EQ(on_tuesdays->moved, 1);
  const auto on_wednesdays =
      Stagger({Device("A", {way_at_2(wednesday), way_at_4}), Device("B", {way_at_2(wednesday), way_at_4})},
              {}, &*judge, options);
  ASSERT_TRUE(on_wednesdays.ok());
  EXPECT_EQ(on_wednesdays->moved, 0);
}

}  // namespace
}  // namespace lastreach
