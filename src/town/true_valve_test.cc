#include "town/true_valve.h"

#include <gtest/gtest.h>

#include <cmath>

#include "core/quantity.h"
#include "town/seeded.h"
#include "town/true_reach.h"

namespace lastreach {
namespace {

Instant At(int64_t second) { return Instant(std::chrono::seconds(second)); }

// Openings in any order, some over one another, and two leaks.
TrueValve Random(Seeded& seeded, std::vector<ValveOpening>& runs, std::vector<ValveOpening>& leaks) {
  for (int i = 0; i < 12; ++i) {
    const int begin = seeded.Whole(0, 5000);
    runs.push_back({At(begin), At(begin + seeded.Whole(0, 900)), 1e-3});
  }
  for (int i = 0; i < 2; ++i) {
    const int begin = seeded.Whole(0, 5000);
    leaks.push_back({At(begin), At(begin + seeded.Whole(0, 3000)), 1e-4});
  }
  return TrueValve(runs, leaks);
}

bool IsOpen(const ValveOpening& opening, Instant at) { return opening.begin <= at && at < opening.end; }

// The slow way: every second looked at by itself.
double SecondBySecond_m3(const std::vector<ValveOpening>& runs, const std::vector<ValveOpening>& leaks,
                         int until) {
  double sum = 0;
  for (int second = 0; second < until; ++second) {
    bool open = false;
    for (const ValveOpening& run : runs) open = open || IsOpen(run, At(second));
    if (open) sum += 1e-3;
    for (const ValveOpening& leak : leaks) sum += IsOpen(leak, At(second)) ? 1e-4 : 0;
  }
  return sum;
}

TEST(TrueValve, VolumeIsTheSumOverEverySecond) {
  for (uint64_t seed = 0; seed < 30; ++seed) {
    Seeded seeded(seed);
    std::vector<ValveOpening> runs, leaks;
    const TrueValve valve = Random(seeded, runs, leaks);
    for (const int until : {0, 1, 777, 3000, 5001, 9000}) {
      EXPECT_NEAR(valve.VolumeBefore_m3(At(until)), SecondBySecond_m3(runs, leaks, until), 1e-9) << seed;
    }
  }
}

// With a steady draw the water at the end is as old as the main holds: V / q.
TEST(TrueReach, AgeInASteadyDrawIsVolumeOverFlow) {
  TrueReach reach;
  reach.volume_m3 = 12;
  reach.demand_m3_per_s = 1e-4;
  const double whole_days = 12 / 1e-4 / kSecondsPerDay;
  EXPECT_NEAR(Age_days(reach, TrueValve(), At(0)), whole_days, 2e-5);
  EXPECT_NEAR(Age_days(reach, TrueValve(), At(0), 9), whole_days / 4, 2e-5);
}

// A run of more than the main holds leaves water at the end that entered V / q before the run's end.
TEST(TrueReach, AgeAfterAFullRunCountsFromWhenItsWaterEntered) {
  TrueReach reach;
  reach.volume_m3 = 3;
  const TrueValve valve({{At(1'000'000), At(1'001'000), 4e-3}});
  const double entered_s = 1'001'000 - 3 / 4e-3;
  EXPECT_NEAR(Age_days(reach, valve, At(1'050'000)) * kSecondsPerDay, 1'050'000 - entered_s, 1.5);
}

TEST(TrueReach, NothingMovedIsAsOldAsIsTold) {
  TrueReach reach;
  reach.volume_m3 = 3;
  EXPECT_DOUBLE_EQ(Age_days(reach, TrueValve(), At(0)), kOldestTold_days);
}

}  // namespace
}  // namespace lastreach
