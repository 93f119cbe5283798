#include "plan/make_sure.h"

#include <gtest/gtest.h>

#include "plan/test_devices.h"

namespace lastreach {
namespace {

// One reach, one form and everything that MakeSure needs, kept together.
struct Bench {
  explicit Bench(const std::vector<Limit>& limits, int draws = 60)
      : numbers(*GatherNumbers(MadeUpDevice(3, 300), FourWeeks())),
        form(RichForm()),
        season{FourWeeks().from, FourWeeks().to},
        model(ModelReach(numbers, {})),
        trial(form, Zone::Utc(), numbers),
        rules(form, limits, Zone::Utc(), season, numbers.flow_m3_per_s, 60, {}),
        search(trial, model, rules, form, season),
        judge(trial, StratifiedDraws(static_cast<size_t>(draws), 3), GuessSlopes(numbers)),
        windows(WindowsToJudge(kEveryWeekday, Zone::Utc(), season)) {}

  Candidate Keyed(std::vector<Candidate::Block> programmes) {
    Candidate candidate;
    candidate.programmes = std::move(programmes);
    search.Measure(candidate);
    return candidate;
  }
  bool IsSure(const Candidate& candidate) {
    return judge.Holds(search.SteadySettingsOf(candidate), windows, 0.9);
  }

  PlanningNumbers numbers;
  ControllerForm form;
  DateWindow season;
  ReachModel model;
  Trial trial;
  StartRules rules;
  Search search;
  SurenessJudge judge;
  std::vector<DateWindow> windows;
};

TEST(Lengthened, StopsAtLeastAndMostMinutesSpacingForbiddenHoursAndMidnight) {
  Bench bench({Rule(ForbiddenHours{8 * 60, 9 * 60}), Rule(MostVolumeADay{Volume::CubicMetres(36)})});
  const auto fits = [&](std::vector<Candidate::Block> programmes, int steps) {
    return Lengthened(bench.Keyed(std::move(programmes)), steps, bench.rules, bench.search).has_value();
  };
  EXPECT_TRUE(fits({{{60}, 5}}, -4));
  EXPECT_FALSE(fits({{{60}, 5}}, -5));  // a minute at least
  EXPECT_TRUE(fits({{{60}, 5}}, 195));  // 3 L/s for 200 min is 36 m3
  EXPECT_FALSE(fits({{{60}, 5}}, 196));
  EXPECT_TRUE(fits({{{60, 120}, 5}}, 25));  // 30 min at 200 %
  EXPECT_FALSE(fits({{{60, 120}, 5}}, 26));
  EXPECT_TRUE(fits({{{400}, 5}}, 15));  // 07:00 less the hour a clock may be out
  EXPECT_FALSE(fits({{{400}, 5}}, 16));
  EXPECT_TRUE(fits({{{1420}, 5}}, 15));
  EXPECT_FALSE(fits({{{1420}, 5}}, 16));
}

TEST(MakeSure, FindsTheFewestMinutesThatEnoughDrawsHold) {
  Bench bench({});
  for (const int begin_min : {2, 20, 60, 150}) {
    const Candidate candidate = bench.Keyed({{{120, 840}, begin_min}});
    const auto sure = MakeSure(candidate, bench.rules, bench.search, bench.judge, bench.windows, 0.9);
    ASSERT_TRUE(sure.has_value()) << begin_min;
    EXPECT_TRUE(bench.IsSure(*sure)) << begin_min;
    const auto shorter = Lengthened(*sure, -1, bench.rules, bench.search);
    EXPECT_TRUE(!shorter || !bench.IsSure(*shorter)) << begin_min;
  }
}

TEST(MakeSure, ShortensProgrammesOneByOneWhereTheyNeedNotBeAlike) {
  Bench bench({});
  const Candidate candidate = bench.Keyed({{{120}, 30}, {{240}, 30}, {{840}, 30}});
  const auto sure = MakeSure(candidate, bench.rules, bench.search, bench.judge, bench.windows, 0.9);
  ASSERT_TRUE(sure.has_value());
  EXPECT_TRUE(bench.IsSure(*sure));
  for (size_t p = 0; p < 3; ++p) {
    Candidate shorter = *sure;
    shorter.programmes[p].minutes -= 1;
    EXPECT_TRUE(shorter.programmes[p].minutes < 1 || !bench.IsSure(shorter)) << "programme " << p;
  }
}

TEST(MakeSure, HasNoAnswerWhereTheLongestRunsAreNotSure) {
  Bench bench({Rule(MostVolumeARun{Volume::CubicMetres(1.8)})});
  EXPECT_FALSE(
      MakeSure(bench.Keyed({{{120}, 5}}), bench.rules, bench.search, bench.judge, bench.windows, 0.9));
}

}  // namespace
}  // namespace lastreach
