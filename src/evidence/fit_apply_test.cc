#include "evidence/fit_apply.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/stated_spread.h"
#include "evidence/test_fits.h"
#include "plan/numbers.h"

namespace lastreach {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

const Instant kNow = *ParseRfc3339("2026-07-20T15:00:00Z");

ZoneFit FitOf(std::vector<FittedNumber> numbers) {
  ZoneFit fit;
  fit.zone = "Invented";
  fit.numbers = std::move(numbers);
  fit.readings.resize(14);
  return fit;
}

TEST(ApplyFit, KeepsTheSpreadForPlanningAndTheOldNumberInWords) {
  const FitPoint point = MadeUpPoint("A");
  const ZoneFit fit = FitOf({{FittedKind::kBulk, {}, "", 0.8, 0.45, 1.1, 0.12}});
  const AppliedFit applied = ApplyFit(fit, point.facts.supply, {point.facts.reach}, "J. Doe", kNow);
  ASSERT_TRUE(applied.zone && applied.zone->bulk_per_day_at_20c);
  EXPECT_DOUBLE_EQ(applied.zone->bulk_per_day_at_20c->value, 1.1);
  const Origin& origin = applied.zone->bulk_per_day_at_20c->origin;
  EXPECT_EQ(origin.kind, OriginKind::kEstimated);
  EXPECT_EQ(origin.by, "J. Doe");
  EXPECT_EQ(StatedLogSd(origin), 0.12);
  EXPECT_EQ(origin.note, "log sd 0.12, fitted to 14 readings; before: 0.8 1/d, assumed");
  EXPECT_THAT(applied.reaches, IsEmpty());
  EXPECT_DOUBLE_EQ(LossLogSd(applied.zone->bulk_per_day_at_20c), 0.12);
}

TEST(ApplyFit, WritesUseAndUpstreamOfTheReach) {
  FitPoint point = MadeUpPoint("A");
  point.facts.reach.point = PointCode("A");
  const PointCode a("A");
  const double before = 4 * 0.004 * 86.4;  // m3/d
  const ZoneFit fit = FitOf({{FittedKind::kDemand, a, "", before, 0.25, before / 2, 0.1},
                             {FittedKind::kUpstream, a, "", 1.2, 0.11, 1.0, 0.05}});
  const AppliedFit applied = ApplyFit(fit, point.facts.supply, {point.facts.reach}, "J. Doe", kNow);
  EXPECT_FALSE(applied.zone);
  ASSERT_EQ(applied.reaches.size(), 1U);
  const Reach& reach = applied.reaches[0];
  EXPECT_NEAR(reach.pipes[0].demand->value.cubic_metres_per_day(), before / 2, 1e-12);
  EXPECT_NEAR(reach.upstream_residual->value.milligrams_per_litre(), 1.0, 1e-12);
  EXPECT_EQ(reach.pipes[0].length, point.facts.reach.pipes[0].length);
}

TEST(ApplyFit, LeavesWhatIsNotItsToWrite) {
  const FitPoint point = MadeUpPoint("A");
  const PointCode a("A");
  const ZoneFit fit = FitOf({{FittedKind::kBulk, {}, "", 0.8, 0.45, 0.82, 0.44},
                             {FittedKind::kWall, {}, "PVC", 0.01, 0.45, 0.02, 0.2},
                             {FittedKind::kWall, {}, "cast iron", 0.5, 0.45, 0.7, 0.2},
                             {FittedKind::kVolume, a, "", 3.5, 0.12, 3, 0.03},
                             {FittedKind::kDemand, a, "", 1, 0.25, 2, 0.1},
                             {FittedKind::kMainThatDay, a, "", 1, 0.1, 1.05, 0.02}});
  const AppliedFit applied = ApplyFit(fit, point.facts.supply, {}, "J. Doe", kNow);
  EXPECT_FALSE(applied.zone);
  EXPECT_THAT(applied.reaches, IsEmpty());
  EXPECT_THAT(applied.changed, IsEmpty());
  EXPECT_EQ(applied.kept.size(), 5U);
  EXPECT_THAT(applied.kept, Contains(HasSubstr("several materials")));
  EXPECT_THAT(applied.kept, Contains(HasSubstr("it is the map's")));
}

TEST(ApplyFit, NotesOfOneFitAfterAnotherDoNotNest) {
  FitPoint point = MadeUpPoint("A");
  const ZoneFit fit = FitOf({{FittedKind::kBulk, {}, "", 0.8, 0.45, 1.1, 0.12}});
  const AppliedFit once = ApplyFit(fit, point.facts.supply, {}, "J. Doe", kNow);
  const AppliedFit twice = ApplyFit(fit, *once.zone, {}, "J. Doe", kNow);
  const std::string& note = twice.zone->bulk_per_day_at_20c->origin.note;
  EXPECT_EQ(note.find("fitted to"), note.rfind("fitted to"));
  EXPECT_THAT(note, HasSubstr("an earlier fit"));
}

}  // namespace
}  // namespace lastreach
