#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "quality/mass_account.h"
#include "quality/particle_oracle.h"
#include "quality/transport.h"

// Over random branches and drives; each failure prints the seed of its case.
namespace lastreach {
namespace {

constexpr uint64_t kCases = 150;

template <typename Claim>
void ForEachCase(uint64_t cases, const Claim& claim) {
  for (uint64_t seed = 1; seed <= cases; ++seed) {
    for (const int kind : {0, 1, 2, 3}) {
      const bool round = kind % 2 == 1;
      const bool side_draws = kind >= 2;
      SCOPED_TRACE("seed " + std::to_string(seed) + (round ? " round" : "") +
                   (side_draws ? " side draws" : ""));
      claim(MakeRandomCase(seed, round, side_draws), seed);
      if (testing::Test::HasFailure()) return;
    }
  }
}

std::vector<double> Evenly(const BranchDrive& drive, std::size_t count) {
  std::vector<double> times(count + 1);
  for (std::size_t k = 0; k <= count; ++k) {
    times[k] = std::lerp(drive.time_s.front(), drive.time_s.back(),
                         static_cast<double>(k) / static_cast<double>(count));
  }
  return times;
}

double RootAt(const BranchDrive& drive, double time) {
  std::size_t i = 0;
  while (i + 2 < drive.time_s.size() && drive.time_s[i + 1] < time) ++i;
  return std::lerp(drive.root_mg_per_l[i], drive.root_mg_per_l[i + 1],
                   (time - drive.time_s[i]) / (drive.time_s[i + 1] - drive.time_s[i]));
}

// A parcel knows when it was let in and what it lost; the exact answer at the tap and time it is met must say
// the same, but for those met at a front, where it must lie between what is just before and just after.
// Tolerances: times are sums of up to 2,000 pieces of 1e5 s, rounded at 1e-8 s and stretched by flow ratios
// to 1e3.
TEST(WaterAt, IsWhatParcelsPushedAlongThePipeCarry) {
  std::size_t crossings = 0;
  std::size_t checked = 0;
  ForEachCase(kCases, [&](const RandomCase& c, uint64_t) {
    std::vector<Crossing> met = PushParcels(c.branch, c.drive, 240);
    std::stable_sort(met.begin(), met.end(),
                     [](const Crossing& a, const Crossing& b) { return a.time_s < b.time_s; });
    for (std::size_t tap = 0; tap < c.branch.segments.size(); ++tap) {
      constexpr double kAside_s = 1e-3;
      std::vector<double> times;
      std::vector<const Crossing*> here;
      for (const Crossing& crossing : met) {
        if (crossing.tap != tap) continue;
        here.push_back(&crossing);
        for (const double aside : {-kAside_s, 0.0, kAside_s}) {
          times.push_back(std::clamp(crossing.time_s + aside, c.drive.time_s.front(), c.drive.time_s.back()));
        }
      }
      std::vector<std::size_t> order(times.size());
      std::iota(order.begin(), order.end(), 0u);
      std::stable_sort(order.begin(), order.end(),
                       [&](std::size_t a, std::size_t b) { return times[a] < times[b]; });
      std::vector<double> sorted(times.size());
      for (std::size_t k = 0; k < order.size(); ++k) sorted[k] = times[order[k]];
      const std::vector<TapWater> answers = WaterAt(c.branch, c.drive, tap, sorted);
      std::vector<TapWater> water(times.size());
      for (std::size_t k = 0; k < order.size(); ++k) water[order[k]] = answers[k];
      for (std::size_t k = 0; k < here.size(); ++k, ++crossings) {
        const TapWater& before = water[3 * k];
        const TapWater& at = water[3 * k + 1];
        const TapWater& after = water[3 * k + 2];
        ASSERT_GE(here[k]->released_s, before.entered_s - 1e-4);
        ASSERT_LE(here[k]->released_s, after.entered_s + 1e-4);
        const double residual = RootAt(c.drive, here[k]->released_s) * std::exp(-here[k]->log_loss);
        // A front parts waters of different ages, or of one age that stood on either side of a tap.
        if (after.entered_s - before.entered_s > 1 || std::abs(after.mg_per_l - before.mg_per_l) > 1e-6)
          continue;
        ++checked;
        ASSERT_NEAR(at.entered_s, here[k]->released_s, 1e-4);
        ASSERT_NEAR(at.mg_per_l, residual, 2e-6);
      }
    }
  });
  EXPECT_GT(crossings, 100'000u);
  EXPECT_GT(checked, crossings * 4 / 5);
}

// No moment of the window is lower than what is called the lowest, nor older than the oldest, and the lowest
// is met at the moment named, or just on either side of it.
TEST(LowestResiduals, AreNeitherMissedNorMadeUp) {
  ForEachCase(kCases, [&](const RandomCase& c, uint64_t) {
    const double from = std::lerp(c.drive.time_s.front(), c.drive.time_s.back(), 0.3);
    const double to = std::lerp(c.drive.time_s.front(), c.drive.time_s.back(), 0.9);
    const std::vector<TapLow> lows = LowestResiduals(c.branch, c.drive, from, to);
    std::vector<double> times = Evenly(c.drive, 4000);
    for (const double t : c.drive.time_s) {
      for (const double aside : {-1e-4, 0.0, 1e-4}) times.push_back(t + aside);
    }
    for (const Crossing& crossing : PushParcels(c.branch, c.drive, 300)) {
      for (const double aside : {-1e-4, 1e-4}) times.push_back(crossing.time_s + aside);
    }
    std::sort(times.begin(), times.end());
    times.erase(std::lower_bound(times.begin(), times.end(), to), times.end());
    times.erase(times.begin(), std::upper_bound(times.begin(), times.end(), from));
    for (std::size_t tap = 0; tap < lows.size(); ++tap) {
      SCOPED_TRACE("tap " + std::to_string(tap));
      bool saw_initial = false;
      for (const TapWater& water : WaterAt(c.branch, c.drive, tap, times)) {
        ASSERT_GE(water.mg_per_l, lows[tap].lowest_mg_per_l * (1 - 1e-7) - 1e-12);
        ASSERT_LE(water.age_s, lows[tap].greatest_age_s + 1e-3);
        saw_initial |= water.is_initial;
      }
      ASSERT_TRUE(lows[tap].saw_initial_water || !saw_initial);
      const double when = lows[tap].when_s;
      ASSERT_GE(when, from);
      ASSERT_LE(when, to);
      const std::vector<double> around{std::max(when - 1e-4, c.drive.time_s.front()), when,
                                       std::min(when + 1e-4, c.drive.time_s.back())};
      const std::vector<double> there = ResidualsAt(c.branch, c.drive, tap, around);
      // A tenth of a millisecond aside at the tap may be tenths of a second at the root.
      ASSERT_NEAR(*std::min_element(there.begin(), there.end()), lows[tap].lowest_mg_per_l, 1e-4);
    }
  });
}

// A side draw is to the water what a tap is that follows a drive of its own: one that opens with the
// households is a tap.
TEST(LowestResiduals, DoNotTellASideDrawThatFollowsTheHouseholdsFromATap) {
  ForEachCase(100, [&](const RandomCase& c, uint64_t seed) {
    const std::size_t at = seed % c.branch.segments.size();
    constexpr double kDraw_m3_per_s = 3e-5;
    RandomCase tap = c;
    tap.branch.segments[at].tap_demand_m3_per_s += kDraw_m3_per_s;
    RandomCase aside = c;
    SideDraw draw{.segment = at, .flow_m3_per_s = {}};
    for (const double factor : c.drive.demand_factor) draw.flow_m3_per_s.push_back(factor * kDraw_m3_per_s);
    aside.drive.side_draws.push_back(draw);
    const double from = c.drive.time_s[2];
    const double to = c.drive.time_s.back();
    const std::vector<TapLow> a = LowestResiduals(tap.branch, tap.drive, from, to);
    const std::vector<TapLow> b = LowestResiduals(aside.branch, aside.drive, from, to);
    for (std::size_t j = 0; j < a.size(); ++j) {
      ASSERT_NEAR(a[j].lowest_mg_per_l, b[j].lowest_mg_per_l, 1e-9);
      ASSERT_NEAR(a[j].greatest_age_s, b[j].greatest_age_s, 1e-4);
    }
    ASSERT_NEAR(AccountForMass(aside.branch, aside.drive).left_by_side_draws_g.back(),
                AccountForMass(tap.branch, tap.drive).left_at_taps_g[at] * kDraw_m3_per_s /
                    tap.branch.segments[at].tap_demand_m3_per_s,
                1e-9);
  });
}

// At the last tap it is the device's own.
TEST(LowestResiduals, DoNotTellASideDrawAtTheEndFromTheDevice) {
  ForEachCase(100, [&](const RandomCase& c, uint64_t) {
    RandomCase aside = c;
    aside.drive.side_draws.push_back({c.branch.segments.size() - 1, c.drive.end_flow_m3_per_s});
    std::fill(aside.drive.end_flow_m3_per_s.begin(), aside.drive.end_flow_m3_per_s.end(), 0.0);
    const double from = c.drive.time_s[2];
    const double to = c.drive.time_s.back();
    const std::vector<TapLow> a = LowestResiduals(c.branch, c.drive, from, to);
    const std::vector<TapLow> b = LowestResiduals(aside.branch, aside.drive, from, to);
    for (std::size_t j = 0; j < a.size(); ++j) {
      ASSERT_NEAR(a[j].lowest_mg_per_l, b[j].lowest_mg_per_l, 1e-9);
    }
  });
}

TEST(LowestResiduals, OfAReusedWorkspaceAreThoseOfAFreshOne) {
  TransportWorkspace workspace;
  ForEachCase(100, [&](const RandomCase& c, uint64_t) {
    const double from = c.drive.time_s.front();
    const double to = c.drive.time_s.back();
    const std::vector<TapLow> fresh = LowestResiduals(c.branch, c.drive, from, to);
    std::vector<TapLow> reused(fresh.size());
    LowestResiduals(c.branch, c.drive, from, to, {}, workspace, reused);
    for (std::size_t tap = 0; tap < fresh.size(); ++tap) {
      ASSERT_EQ(fresh[tap].lowest_mg_per_l, reused[tap].lowest_mg_per_l);
      ASSERT_EQ(fresh[tap].when_s, reused[tap].when_s);
      ASSERT_EQ(fresh[tap].greatest_age_s, reused[tap].greatest_age_s);
    }
  });
}

TEST(AccountForMass, BalancesToTheBillionthPart) {
  ForEachCase(kCases, [&](const RandomCase& c, uint64_t) {
    const MassAccount account = AccountForMass(c.branch, c.drive);
    ASSERT_NEAR(account.imbalance_g(), 0, 1e-9 * (account.held_at_start_g + account.entered_g) + 1e-15);
    ASSERT_NEAR(account.water_in_m3, account.water_out_m3, 1e-9 * account.water_in_m3);
    ASSERT_GE(account.decayed_g, -1e-12);
  });
}

// Without loss nothing decays, and what is met at a tap is what the root sent at the time it says it entered.
TEST(WaterAt, WithoutLossIsWhatTheRootSent) {
  ForEachCase(kCases, [&](RandomCase c, uint64_t) {
    for (BranchSegment& s : c.branch.segments) s.bulk_per_s = s.wall_m_per_s = 0;
    const auto [least, most] =
        std::minmax_element(c.drive.root_mg_per_l.begin(), c.drive.root_mg_per_l.end());
    const double scale = AccountForMass(c.branch, c.drive).entered_g + 1;
    ASSERT_NEAR(AccountForMass(c.branch, c.drive).decayed_g, 0, 1e-10 * scale);
    for (const TapWater& water :
         WaterAt(c.branch, c.drive, c.branch.segments.size() - 1, Evenly(c.drive, 200))) {
      if (water.is_initial) {
        ASSERT_DOUBLE_EQ(water.mg_per_l, c.drive.initial_mg_per_l);
      } else {
        ASSERT_GE(water.mg_per_l, *least - 1e-12);
        ASSERT_LE(water.mg_per_l, *most + 1e-12);
      }
    }
  });
}

void ExpectSame(const std::vector<TapLow>& a, const std::vector<TapLow>& b, double shift_s) {
  ASSERT_EQ(a.size(), b.size());
  for (std::size_t tap = 0; tap < a.size(); ++tap) {
    ASSERT_NEAR(a[tap].lowest_mg_per_l, b[tap].lowest_mg_per_l, 1e-9);
    ASSERT_NEAR(a[tap].greatest_age_s, b[tap].greatest_age_s, 1e-4);
    ASSERT_EQ(a[tap].saw_initial_water, b[tap].saw_initial_water);
    // Two moments may be equally low; then either may be named.
    if (std::abs(a[tap].when_s + shift_s - b[tap].when_s) > 1e-3) {
      ASSERT_NEAR(a[tap].lowest_mg_per_l, b[tap].lowest_mg_per_l, 1e-12);
    }
  }
}

TEST(LowestResiduals, DoNotChangeWhenAllTimesAreShifted) {
  ForEachCase(kCases, [&](const RandomCase& c, uint64_t) {
    constexpr double kShift_s = 262144;  // a power of two, to round alike
    RandomCase later = c;
    for (double& t : later.drive.time_s) t += kShift_s;
    ExpectSame(LowestResiduals(c.branch, c.drive, c.drive.time_s[2], c.drive.time_s.back()),
               LowestResiduals(later.branch, later.drive, later.drive.time_s[2], later.drive.time_s.back()),
               kShift_s);
  });
}

// Laminar wall loss depends on a segment's length, so the walls are left out here.
TEST(LowestResiduals, DoNotChangeWhenASegmentIsCutInTwoWithNoTapBetween) {
  ForEachCase(kCases, [&](RandomCase c, uint64_t seed) {
    for (BranchSegment& s : c.branch.segments) s.wall_m_per_s = 0;
    Branch cut = c.branch;
    const std::size_t at = seed % cut.segments.size();
    BranchSegment first = cut.segments[at];
    first.length_m *= 0.37;
    first.tap_demand_m3_per_s = 0;
    cut.segments[at].length_m *= 0.63;
    cut.segments.insert(cut.segments.begin() + static_cast<std::ptrdiff_t>(at), first);
    BranchDrive drive_of_cut = c.drive;
    for (SideDraw& draw : drive_of_cut.side_draws) draw.segment += draw.segment >= at ? 1 : 0;
    const double from = c.drive.time_s[3];
    const double to = c.drive.time_s.back();
    std::vector<TapLow> of_cut = LowestResiduals(cut, drive_of_cut, from, to);
    of_cut.erase(of_cut.begin() + static_cast<std::ptrdiff_t>(at));
    ExpectSame(LowestResiduals(c.branch, c.drive, from, to), of_cut, 0);
  });
}

TEST(LowestResiduals, NeverRiseWithMoreLoss) {
  ForEachCase(kCases, [&](const RandomCase& c, uint64_t seed) {
    RandomCase worse = c;
    worse.branch.segments[seed % c.branch.segments.size()].bulk_per_s *= 1.5;
    const std::vector<TapLow> a =
        LowestResiduals(c.branch, c.drive, c.drive.time_s[1], c.drive.time_s.back());
    const std::vector<TapLow> b =
        LowestResiduals(worse.branch, worse.drive, c.drive.time_s[1], c.drive.time_s.back());
    for (std::size_t tap = 0; tap < a.size(); ++tap) {
      ASSERT_LE(b[tap].lowest_mg_per_l, a[tap].lowest_mg_per_l + 1e-12);
    }
  });
}

// With a constant root, and one loss in the bulk. (A wall loses faster in faster flow; where loss differs,
// more flow may bring younger water that stood where more is lost.)
TEST(LowestResiduals, NeverFallWithMoreFlow) {
  ForEachCase(kCases, [&](RandomCase c, uint64_t seed) {
    for (BranchSegment& s : c.branch.segments) {
      s.wall_m_per_s = 0;
      s.bulk_per_s = c.branch.segments[0].bulk_per_s;
    }
    std::fill(c.drive.root_mg_per_l.begin(), c.drive.root_mg_per_l.end(), 1.0);
    c.drive.initial_mg_per_l = 0;
    RandomCase more = c;
    if (more.drive.side_draws.empty()) {
      more.drive.end_flow_m3_per_s[seed % more.drive.steps()] += 3e-4;
    } else {
      more.drive.side_draws.front().flow_m3_per_s[seed % more.drive.steps()] += 3e-4;
    }
    const double to = c.drive.time_s.back();
    const std::vector<TapLow> a = LowestResiduals(c.branch, c.drive, c.drive.time_s[1], to);
    const std::vector<TapLow> b = LowestResiduals(more.branch, more.drive, c.drive.time_s[1], to);
    for (std::size_t tap = 0; tap < a.size(); ++tap) {
      ASSERT_GE(b[tap].lowest_mg_per_l, a[tap].lowest_mg_per_l - 1e-9);
    }
  });
}

TEST(ResidualsAt, StayBetweenNothingAndTheHighestThatEntered) {
  ForEachCase(kCases, [&](const RandomCase& c, uint64_t) {
    const double most = std::max(c.drive.initial_mg_per_l, *std::max_element(c.drive.root_mg_per_l.begin(),
                                                                             c.drive.root_mg_per_l.end()));
    for (std::size_t tap = 0; tap < c.branch.segments.size(); ++tap) {
      for (const double residual : ResidualsAt(c.branch, c.drive, tap, Evenly(c.drive, 100))) {
        ASSERT_GE(residual, 0);
        ASSERT_LE(residual, most);
      }
    }
  });
}

}  // namespace
}  // namespace lastreach
