#include <gtest/gtest.h>

#include <random>

#include "calendar/minute_oracle.h"
#include "calendar/runs.h"

namespace lastreach {
namespace {

// Zones chosen for their trouble: both hemispheres, half-hour shifts, changes at midnight, a two-hour change,
// a negative winter shift, a skipped day, a zone without changes.
constexpr const char* kZones[] = {
    "America/Chicago",  "Australia/Sydney", "Australia/Lord_Howe", "America/Havana",  "America/Sao_Paulo",
    "Antarctica/Troll", "Europe/Dublin",    "Pacific/Apia",        "Asia/Kathmandu",  "Africa/Casablanca",
    "America/Nuuk",     "Asia/Beirut",      "Europe/Moscow",       "Pacific/Chatham", "UTC"};

class Dice {
 public:
  explicit Dice(uint32_t seed) : engine_(seed) {}
  int Roll(int least, int most) {
    return least + static_cast<int>(engine_() % static_cast<uint32_t>(most - least + 1));
  }
  bool Chance(int percent) { return Roll(1, 100) <= percent; }

 private:
  std::mt19937 engine_;
};

DayPattern AnyDays(Dice& dice, Date near) {
  switch (dice.Roll(0, 4)) {
    case 0:
      return OddDates{};
    case 1:
      return EvenDates{};
    case 2:
      return EveryNDays{dice.Roll(1, 9), AddDays(near, dice.Roll(-20, 5))};
    case 3:
      return EveryNDays{dice.Roll(1, 9), {}};
    default:
      return Weekdays{static_cast<unsigned>(dice.Roll(0, 127))};
  }
}

struct Case {
  ControllerForm form;
  TimerSettings settings;
  std::string zone;
  DateWindow window;
  ClockState clock;
  std::vector<int> phases;
};

Case AnyCase(uint32_t seed) {
  Dice dice(seed);
  Case c;
  c.zone = kZones[static_cast<size_t>(dice.Roll(0, static_cast<int>(std::size(kZones)) - 1))];
  const Date first = AddDays(*ParseDate("1990-01-05"), dice.Roll(0, 40500));
  c.window = {first, AddDays(first, dice.Chance(10) ? dice.Roll(200, 400) : dice.Roll(1, 25))};
  // Half of the windows are laid over a change of the clock.
  const Zone zone = *Zone::Find(c.zone);
  const auto pieces = zone.Offsets(Instant(std::chrono::sys_days(first)),
                                   Instant(std::chrono::sys_days(AddDays(first, 370))));
  if (pieces.size() > 1 && dice.Chance(50)) {
    c.window.from = AddDays(DateOf(pieces[1].from), -dice.Roll(0, 5));
    c.window.to = AddDays(c.window.from, dice.Roll(1, 10));
  }
  c.clock = {dice.Chance(50), dice.Chance(30) ? dice.Roll(-800, 800) : 0};
  if (dice.Chance(80)) c.form.minutes_step = dice.Roll(1, 7);
  if (dice.Chance(80)) c.form.minutes_min = dice.Roll(0, 5);
  if (dice.Chance(80)) c.form.minutes_max = dice.Roll(20, 400);
  c.form.odd_skips_31st = dice.Chance(40);
  c.form.percent_scope = dice.Chance(20) ? PercentScope::kEach : PercentScope::kAll;
  constexpr Overlap kOverlaps[] = {Overlap::kQueue, Overlap::kMerge, Overlap::kDrop, Overlap::kRestart,
                                   Overlap::kUnknown};
  c.form.overlap = kOverlaps[dice.Roll(0, 4)];
  c.settings.percent = 10 * dice.Roll(1, 20);
  for (int p = dice.Roll(1, 4); p > 0; --p) {
    Programme programme;
    for (int i = dice.Roll(0, 5); i > 0; --i) {
      // Crowd starts into the small hours, where clocks change.
      programme.starts_min.push_back(dice.Chance(60) ? 5 * dice.Roll(0, 48) : dice.Roll(0, 1439));
    }
    programme.minutes = dice.Chance(80) ? dice.Roll(0, 90) : dice.Roll(0, 400);
    programme.days = AnyDays(dice, c.window.from);
    if (dice.Chance(20)) programme.percent = dice.Roll(10, 200);
    c.settings.programmes.push_back(programme);
    c.phases.push_back(dice.Roll(0, 8));
  }
  return c;
}

TEST(ExpandRuns, AgreesWithATimerThatWalksEveryMinute) {
  for (uint32_t seed = 1; seed <= 1500; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    const Case c = AnyCase(seed);
    const Zone zone = *Zone::Find(c.zone);
    const auto fast = ExpandRuns(c.form, c.settings, zone, c.window, c.clock, c.phases);
    const auto slow = RunsByWalkingEveryMinute(c.form, c.settings, zone, c.window, c.clock, c.phases);
    ASSERT_EQ(fast.size(), slow.size()) << c.zone << " " << FormatDate(c.window.from);
    for (size_t i = 0; i < fast.size(); ++i) {
      ASSERT_EQ(fast[i], slow[i]) << c.zone << " run " << i << ": "
                                  << FormatRfc3339(Instant(fast[i].start), {}) << " " << fast[i].minutes
                                  << " against " << FormatRfc3339(Instant(slow[i].start), {}) << " "
                                  << slow[i].minutes;
    }
  }
}

TEST(ExpandRuns, NeverOverlapsItsOwnRunsAndKeepsThemInOrder) {
  for (uint32_t seed = 10001; seed <= 12000; ++seed) {
    const Case c = AnyCase(seed);
    const auto runs = ExpandRuns(c.form, c.settings, *Zone::Find(c.zone), c.window, c.clock, c.phases);
    for (size_t i = 1; i < runs.size(); ++i) ASSERT_LE(runs[i - 1].end(), runs[i].start) << "seed " << seed;
  }
}

// Two windows that meet list together what one window over both lists, wherever no queue reaches back more
// than the two days a window looks back.
TEST(ExpandRuns, JoinsUpAcrossWindowsWithoutOverlap) {
  for (uint32_t seed = 20001; seed <= 20400; ++seed) {
    Case c = AnyCase(seed);
    c.form.overlap = Overlap::kQueue;
    for (Programme& programme : c.settings.programmes) {
      programme.minutes = std::min(programme.minutes, 20);
      if (auto* every = std::get_if<EveryNDays>(&programme.days); every != nullptr && !every->from) {
        every->from = c.window.from;
      }
      programme.percent.reset();
    }
    c.settings.percent = 100;
    const Zone zone = *Zone::Find(c.zone);
    const Date middle = AddDays(c.window.from, (DayNumber(c.window.to) - DayNumber(c.window.from)) / 2);
    auto joined = ExpandRuns(c.form, c.settings, zone, {c.window.from, middle}, c.clock);
    const auto rest = ExpandRuns(c.form, c.settings, zone, {middle, c.window.to}, c.clock);
    joined.insert(joined.end(), rest.begin(), rest.end());
    ASSERT_EQ(joined, ExpandRuns(c.form, c.settings, zone, c.window, c.clock)) << "seed " << seed;
  }
}

}  // namespace
}  // namespace lastreach
