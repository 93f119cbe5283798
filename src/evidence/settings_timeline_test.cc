#include "evidence/settings_timeline.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "evidence/test_records.h"

namespace lastreach {
namespace {

using Records = std::vector<SettingsRecord>;

const TimerSettings kShort = Keyed({60}, 20);
const TimerSettings kLong = Keyed({60}, 45);

TEST(SettingsTimeline, StandsAsLeftUntilTheNextRecord) {
  const Records records = {Recorded(SettingsKind::kAsLeft, At("2026-04-01", 9), kShort, 0),
                           Recorded(SettingsKind::kAsFound, At("2026-06-01", 9), kShort, 4),
                           Recorded(SettingsKind::kAsLeft, At("2026-06-01", 9), kLong, 0)};
  const auto stretches = SettingsTimeline(records, At("2026-05-01", 0), At("2026-07-01", 0));
  ASSERT_EQ(stretches.size(), 2U);
  EXPECT_EQ(stretches[0].from, At("2026-05-01", 0));
  EXPECT_EQ(stretches[0].to, At("2026-06-01", 9));
  EXPECT_EQ(stretches[0].settings, kShort);
  EXPECT_FALSE(stretches[0].found);
  EXPECT_EQ(stretches[0].ClockFast_min(), 2);
  EXPECT_EQ(stretches[1].from, At("2026-06-01", 9));
  EXPECT_EQ(stretches[1].to, At("2026-07-01", 0));
  EXPECT_EQ(stretches[1].settings, kLong);
  EXPECT_EQ(stretches[1].left_by, records[2].id);
}

TEST(SettingsTimeline, OtherSettingsFoundChangedAtAMomentNobodyKnows) {
  const Records records = {Recorded(SettingsKind::kAsLeft, At("2026-04-01", 9), kShort),
                           Recorded(SettingsKind::kAsFound, At("2026-06-01", 9), kLong)};
  const auto stretches = SettingsTimeline(records, At("2026-05-01", 0), At("2026-05-10", 0));
  ASSERT_EQ(stretches.size(), 1U);
  EXPECT_EQ(stretches[0].settings, kShort);
  ASSERT_TRUE(stretches[0].found);
  EXPECT_EQ(*stretches[0].found, kLong);
  // Its own ends, not those asked for.
  EXPECT_EQ(stretches[0].from, At("2026-04-01", 9));
  EXPECT_EQ(stretches[0].to, At("2026-06-01", 9));
}

TEST(SettingsTimeline, BeforeTheFirstRecordOnlyWhatWasFoundIsKnown) {
  const Instant from = At("2026-01-01", 0), to = At("2026-05-01", 0);
  const Records left = {Recorded(SettingsKind::kAsLeft, At("2026-04-01", 9), kShort)};
  auto stretches = SettingsTimeline(left, from, to);
  ASSERT_EQ(stretches.size(), 1U);
  EXPECT_EQ(stretches[0].from, At("2026-04-01", 9));
  const Records found = {Recorded(SettingsKind::kAsFound, At("2026-04-01", 9), kLong)};
  stretches = SettingsTimeline(found, from, to);
  ASSERT_EQ(stretches.size(), 2U);
  EXPECT_EQ(stretches[0].from, from);
  EXPECT_TRUE(stretches[0].only_found);
  EXPECT_EQ(stretches[1].settings, kLong);
  EXPECT_TRUE(SettingsTimeline({}, from, to).empty());
  EXPECT_TRUE(SettingsTimeline(left, from, At("2026-03-01", 0)).empty());
}

TEST(SettingsTimeline, PlannedSettingsAreNotInTheGround) {
  const Records records = {Recorded(SettingsKind::kAsLeft, At("2026-04-01", 9), kShort),
                           Recorded(SettingsKind::kPlanned, At("2026-05-01", 9), kLong)};
  const auto stretches = SettingsTimeline(records, At("2026-04-01", 9), At("2026-07-01", 0));
  ASSERT_EQ(stretches.size(), 1U);
  EXPECT_EQ(stretches[0].settings, kShort);
}

TEST(SettingsTimeline, CoversWithoutOverlapWhateverTheRecords) {
  Records records;
  for (int i = 0; i < 12; ++i) {
    const Instant when = At("2026-02-01", 9) + std::chrono::days(9 * (i - i % 2));
    records.push_back(
        Recorded(i % 2 == 0 ? SettingsKind::kAsFound : SettingsKind::kAsLeft, when, Keyed({60}, 10 + i % 3)));
  }
  const Instant from = At("2026-01-01", 0), to = At("2026-07-01", 0);
  const auto stretches = SettingsTimeline(records, from, to);
  ASSERT_FALSE(stretches.empty());
  EXPECT_EQ(stretches.front().from, from);
  EXPECT_EQ(stretches.back().to, to);
  for (size_t i = 1; i < stretches.size(); ++i) EXPECT_EQ(stretches[i].from, stretches[i - 1].to);
}

TEST(RunAlike, IgnoresWhatMakesNoRuns) {
  TimerSettings off = kLong;
  off.on = false;
  TimerSettings other_off = kShort;
  other_off.on = false;
  EXPECT_TRUE(RunAlike(off, other_off));
  EXPECT_TRUE(RunAlike(off, TimerSettings{}));
  EXPECT_FALSE(RunAlike(off, kLong));
  TimerSettings padded = kLong;
  padded.programmes.push_back({});
  EXPECT_TRUE(RunAlike(padded, kLong));
  EXPECT_FALSE(RunAlike(kShort, kLong));
}

TEST(SettingsDifferences, HoldPlannedAgainstLeftAndLeftAgainstFound) {
  const Records records = {Recorded(SettingsKind::kPlanned, At("2026-03-01", 9), kShort),
                           Recorded(SettingsKind::kAsLeft, At("2026-04-01", 9), kLong),
                           Recorded(SettingsKind::kAsFound, At("2026-06-01", 9), kShort),
                           Recorded(SettingsKind::kAsLeft, At("2026-06-01", 10), kShort)};
  const auto differences = SettingsDifferences(records);
  ASSERT_EQ(differences.size(), 2U);
  EXPECT_EQ(differences[0].earlier, records[1]);
  EXPECT_EQ(differences[0].later, records[2]);
  EXPECT_EQ(differences[1].earlier, records[0]);
  EXPECT_EQ(differences[1].later, records[1]);
}

}  // namespace
}  // namespace lastreach
