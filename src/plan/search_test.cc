#include "plan/search.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <limits>
#include <optional>

#include "plan/test_devices.h"

// The oracle is enumeration: everything a small timer can be keyed to, tried over the whole season.
namespace lastreach {
namespace {

using testing::Contains;
using testing::IsEmpty;
using testing::Not;

constexpr int kSeasonDays = 14;  // two whole weeks: every set of three weekdays has six days

DateWindow Season() {
  const Date from = *ParseDate("2026-06-01");
  return {from, AddDays(from, kSeasonDays)};
}

std::vector<DayPattern> EveryPattern(const ControllerForm& form) {
  std::vector<DayPattern> patterns = {OddDates{}, EvenDates{}};
  for (unsigned bits = 1; bits < 128; ++bits) patterns.emplace_back(Weekdays{bits});
  for (int n = 1; n <= *form.every_n_max; ++n) patterns.emplace_back(EveryNDays{n, Season().from});
  return patterns;
}

bool RunsOn(const DayPattern& days, int day_of_season) {
  const Date date = AddDays(Season().from, day_of_season);
  if (const auto* week = std::get_if<Weekdays>(&days)) return week->Has(day_of_season % 7);  // 1 June: Monday
  if (const auto* every = std::get_if<EveryNDays>(&days)) return day_of_season % every->n == 0;
  return (static_cast<unsigned>(date.day()) % 2 == 1) == std::holds_alternative<OddDates>(days);
}

double ShareOfDays(const DayPattern& days) {
  int count = 0;
  for (int day = 0; day < kSeasonDays; ++day) count += RunsOn(days, day) ? 1 : 0;
  return count / double{kSeasonDays};
}

// Every way to put one or more runs at the form's positions: for each, its minutes, or 0 for none.
template <typename Use>
void ForEachDay(const ControllerForm& form, bool alike, Use use) {
  const int positions = 1440 / *form.start_step_minutes;
  const int most = *form.programmes * *form.starts_per_programme;
  std::vector<int> lengths(static_cast<size_t>(positions), 0);
  const auto fill = [&](auto& self, int position, int used, int common) -> void {
    if (position == positions) {
      if (used > 0) use(lengths);
      return;
    }
    self(self, position + 1, used, common);
    if (used == most) return;
    for (int m = *form.minutes_min; m <= *form.minutes_max; m += *form.minutes_step) {
      if (alike && common != 0 && m != common) continue;
      lengths[static_cast<size_t>(position)] = m;
      self(self, position + 1, used + 1, m);
    }
    lengths[static_cast<size_t>(position)] = 0;
  };
  fill(fill, 0, 0, 0);
}

struct Reach {
  const char* name;
  int services;
  double length_m;
  double wall_m_per_day;
  std::vector<Limit> limits;
};

struct Setting {
  TimerSettings settings;
  double minutes_a_day = 0;
};

// The least water of all settings the form and the limits allow, if it is less than `less_than` [min a day].
std::optional<Setting> LeastByEnumeration(const ControllerForm& form, const Reach& reach, Trial& trial,
                                          const ReachModel& model, double less_than) {
  const StartRules rules(form, reach.limits, Zone::Utc(), Season(), model.flow_m3_per_s, 60, {});
  const bool alike = *form.programmes == 1;
  std::optional<Setting> least;
  ForEachDay(form, alike, [&](const std::vector<int>& lengths) {
    TimerSettings settings;
    int starts = 0;
    int sum = 0;
    for (const int m : lengths) starts += m > 0 ? 1 : 0;
    for (size_t i = 0; i < lengths.size(); ++i) {
      if (lengths[i] == 0) continue;
      const int start = static_cast<int>(i) * *form.start_step_minutes;
      if (!rules.Allows(start, lengths[i]) || lengths[i] > rules.MostMinutes(starts)) return;
      sum += lengths[i];
      if (alike && !settings.programmes.empty()) {
        settings.programmes.back().starts_min.push_back(start);
      } else {
        settings.programmes.push_back({{start}, lengths[i], kEveryWeekday, {}});
      }
    }
    for (const DayPattern& days : EveryPattern(form)) {
      const double minutes_a_day = sum * ShareOfDays(days);
      if (minutes_a_day >= (least ? least->minutes_a_day : less_than)) continue;
      for (Programme& programme : settings.programmes) {
        programme.days = days;
        if (auto* every = std::get_if<EveryNDays>(&programme.days)) {
          every->from = AddDays(Season().from, -70 * every->n);
        }
      }
      if (trial.Holds(settings, model, {Season()})) least = Setting{settings, minutes_a_day};
    }
  });
  return least;
}

std::string InWords(const TimerSettings& settings) {
  std::string words;
  for (const Programme& programme : settings.programmes) {
    words += Describe(programme.days) + ", " + std::to_string(programme.minutes) + " min at";
    for (const int start : programme.starts_min) words += " " + FormatTimeOfDay(start);
    words += "; ";
  }
  return words;
}

// Whether the search's answer holds through the season and nothing enumerated needs less.
void ExpectNothingBeatsTheSearch(const ControllerForm& form, const Reach& reach, bool must_hold = true) {
  SCOPED_TRACE(std::string(reach.name) + ", " + std::to_string(*form.programmes) + " x " +
               std::to_string(*form.starts_per_programme));
  DeviceFacts facts = MadeUpDevice(reach.services, reach.length_m);
  facts.supply.wall_m_per_day = Typed(reach.wall_m_per_day);
  const PlanningNumbers numbers = *GatherNumbers(facts, FourWeeks());
  const ReachModel model = ModelReach(numbers, {});
  Trial trial(form, Zone::Utc(), numbers);
  const StartRules rules(form, reach.limits, Zone::Utc(), Season(), numbers.flow_m3_per_s, 60, {});
  Search search(trial, model, rules, form, Season());
  const std::vector<Candidate> best = search.Best(4);
  double found = std::numeric_limits<double>::infinity();
  if (!best.empty()) {
    EXPECT_TRUE(trial.Holds(search.SteadySettingsOf(best.front()), model, {Season()}));
    EXPECT_THAT(WhatCannotBeKeyed(form, search.SettingsOf(best.front())), IsEmpty());
    found = best.front().water_m3_per_day / (numbers.flow_m3_per_s * 60);
  }
  EXPECT_EQ(!best.empty(), must_hold) << "the case is not what it was made for";
  const auto least = LeastByEnumeration(form, reach, trial, model, found / (1 + kSameWater));
  EXPECT_FALSE(least.has_value()) << "enumeration needs " << least->minutes_a_day << " min a day with "
                                  << InWords(least->settings) << " and the search " << found << " with "
                                  << (best.empty() ? "" : InWords(search.SettingsOf(best.front())));
}

const std::vector<Limit> kNoLimits;
const std::vector<Limit> kSchoolHours = {Rule(ForbiddenHours{7 * 60, 17 * 60})};
const std::vector<Limit> kNotAtNight = {Rule(ForbiddenHours{21 * 60, 6 * 60})};
const std::vector<Limit> kSmallRuns = {Rule(MostVolumeARun{Volume::CubicMetres(5.5)})};
const std::vector<Limit> kSmallDays = {Rule(MostVolumeADay{Volume::CubicMetres(9)})};

TEST(Search, IsNeverBeatenByEnumerationOfOneStart) {
  for (const Reach& reach :
       {Reach{"tip", 0, 60, 0, kNoLimits}, Reach{"short", 1, 120, 0, kNoLimits},
        Reach{"iron", 2, 100, 0.4, kNoLimits}, Reach{"used", 3, 300, 0, kNoLimits},
        Reach{"used, school", 3, 300, 0, kSchoolHours}, Reach{"busy", 12, 500, 0, kNoLimits}}) {
    ExpectNothingBeatsTheSearch(SmallForm(1, 1, 5, 120), reach);
  }
}

TEST(Search, IsNeverBeatenByEnumerationOfThreeStarts) {
  for (const Reach& reach :
       {Reach{"tip", 0, 200, 0, kNoLimits}, Reach{"tip, school", 0, 120, 0, kSchoolHours},
        Reach{"used", 3, 400, 0, kNoLimits}, Reach{"used, by day", 3, 300, 0, kNotAtNight},
        Reach{"used, small runs", 3, 400, 0, kSmallRuns}, Reach{"used, small days", 3, 250, 0, kSmallDays},
        Reach{"iron", 3, 250, 0.3, kNoLimits}}) {
    ExpectNothingBeatsTheSearch(SmallForm(1, 3, 10, 60), reach);
  }
}

TEST(Search, IsNeverBeatenByEnumerationOnAReachOfTwelveServices) {
  ExpectNothingBeatsTheSearch(SmallForm(1, 2, 15, 120), {"busy", 12, 600, 0, kNoLimits});
}

TEST(Search, IsNeverBeatenByEnumerationOfUnequalProgrammes) {
  for (const Reach& reach :
       {Reach{"tip", 0, 120, 0, kNoLimits}, Reach{"tip, school", 0, 150, 0, kSchoolHours},
        Reach{"used", 3, 350, 0, kNoLimits}, Reach{"used, by day", 3, 400, 0, kNotAtNight},
        Reach{"used, small days", 3, 300, 0, kSmallDays}, Reach{"iron", 2, 180, 0.3, kNoLimits}}) {
    ExpectNothingBeatsTheSearch(SmallForm(2, 1, 10, 60), reach);
  }
}

TEST(Search, FindsNothingWhereEnumerationFindsNothing) {
  ExpectNothingBeatsTheSearch(SmallForm(1, 1, 15, 60), {"far too long", 2, 1500, 0, kNoLimits}, false);
  ExpectNothingBeatsTheSearch(SmallForm(2, 1, 15, 60), {"no room", 0, 200, 0, {Rule(ForbiddenHours{0, 0})}},
                              false);
}

// A few starts by a stretch of forbidden hours fall together; that must not hide what longer runs can do.
TEST(Search, IsNotMisledByForbiddenHoursThatPushStartsTogether) {
  const Reach reach{"school run", 2, 900, 0, {Rule(ForbiddenHours{435, 540})}};
  const PlanningNumbers numbers = *GatherNumbers(MadeUpDevice(2, 900), FourWeeks());
  const ReachModel model = ModelReach(numbers, {});
  Trial trial(RichForm(), Zone::Utc(), numbers);
  const StartRules rules(RichForm(), reach.limits, Zone::Utc(), Season(), numbers.flow_m3_per_s, 60, {});
  Search search(trial, model, rules, RichForm(), Season());
  EXPECT_THAT(search.Best(1), Not(IsEmpty()));
}

TEST(DayPatternsToTry, SpreadsWeekdaysAsEvenlyAsAWeekAllows) {
  const auto patterns = DayPatternsToTry(RichForm(), Season().from, false);
  EXPECT_THAT(patterns, Contains(DayPattern(Weekdays{0b0010101})));  // Monday, Wednesday, Friday: 2, 2, 3
  // Of five days the two gaps of two days apart: 2, 1, 2, 1, 1. Monday, Wednesday, Thursday, Saturday, Sunday
  // and its turns.
  const auto five = std::find_if(patterns.begin(), patterns.end(), [](const DayPattern& days) {
    const auto* week = std::get_if<Weekdays>(&days);
    return week != nullptr && week->count() == 5;
  });
  ASSERT_NE(five, patterns.end());
  const unsigned bits = std::get<Weekdays>(*five).bits;
  for (int day = 0; day < 7; ++day) {
    const auto off = [bits](int d) { return (bits >> (d % 7) & 1U) == 0; };
    EXPECT_FALSE(off(day) && (off(day + 1) || off(day + 2))) << "bits " << bits;
  }
}

TEST(DayPatternsToTry, OffersOnlyWhatTheTimerTakes) {
  ControllerForm form = RichForm();
  form.day_patterns = {{DayPatternKind::kOdd}};
  EXPECT_THAT(DayPatternsToTry(form, Season().from, false), testing::ElementsAre(DayPattern(OddDates{})));
  form.day_patterns = {{DayPatternKind::kEveryN}};
  form.every_n_max = 3;
  EXPECT_THAT(
      DayPatternsToTry(form, Season().from, false),
      testing::ElementsAre(DayPattern(EveryNDays{1, Season().from}), DayPattern(EveryNDays{2, Season().from}),
                           DayPattern(EveryNDays{3, Season().from})));
}

// For odd and even dates the only uneven gaps are where a month of 31 days ends.
TEST(WindowsToJudge, CoverMonthEndsAndClockChanges) {
  const auto covers = [](const std::vector<DateWindow>& windows, const char* date) {
    return std::any_of(windows.begin(), windows.end(), [&](const DateWindow& window) {
      return window.from <= *ParseDate(date) && *ParseDate(date) < window.to;
    });
  };
  const DateWindow summer{*ParseDate("2026-05-10"), *ParseDate("2026-06-20")};
  const auto even = WindowsToJudge(EvenDates{}, Zone::Utc(), summer);
  for (const char* date : {"2026-05-30", "2026-05-31", "2026-06-01", "2026-06-02"}) {
    EXPECT_TRUE(covers(even, date)) << date;
  }
  const Zone chicago = *Zone::Find("America/Chicago");
  const DateWindow autumn{*ParseDate("2026-10-10"), *ParseDate("2026-11-20")};
  const auto week = WindowsToJudge(Weekdays{0b0010101}, chicago, autumn);
  for (int day = 1; day <= 9; ++day) {
    EXPECT_TRUE(covers(week, FormatDate(AddDays(*ParseDate("2026-10-31"), day)).c_str())) << day;
  }
}

TEST(CandidateOf, IsWhatTheSettingsCameFrom) {
  TimerSettings settings;
  settings.programmes = {{{60, 300}, 12, EveryNDays{3, Season().from}, {}},
                         {{900}, 7, EveryNDays{3, Season().from}, {}}};
  const auto candidate = CandidateOf(settings);
  ASSERT_TRUE(candidate.has_value());
  EXPECT_EQ(candidate->starts(), 3);
  EXPECT_EQ(candidate->days, settings.programmes[0].days);
  ASSERT_EQ(candidate->programmes.size(), 2U);
  EXPECT_EQ(candidate->programmes[1].minutes, 7);
}

TEST(CandidateOf, IsNoneOfWhatASearchWouldNotFind) {
  TimerSettings settings;
  settings.programmes = {{{60}, 12, kEveryWeekday, {}}, {{900}, 7, OddDates{}, {}}};
  EXPECT_FALSE(CandidateOf(settings).has_value());
  settings.programmes.pop_back();
  EXPECT_TRUE(CandidateOf(settings).has_value());
  settings.percent = 80;
  EXPECT_FALSE(CandidateOf(settings).has_value());
  EXPECT_FALSE(CandidateOf(TimerSettings{}).has_value());
}

}  // namespace
}  // namespace lastreach
