#include <gtest/gtest.h>

#include "ledger/flush_point.h"
#include "ledger/flush_runs.h"
#include "ledger/limits.h"
#include "ledger/month_records.h"
#include "ledger/month_water.h"
#include "ledger/months.h"
#include "ledger/prices.h"
#include "ledger/reach.h"
#include "ledger/records.h"
#include "ledger/trips.h"

namespace lastreach {
namespace {

// The words are stored in project files, so each must read back as the value that wrote it.
TEST(LedgerWords, ReadBackAsTheValueThatWroteThem) {
  for (const auto kind : {PointKind::kDevice, PointKind::kHand})
    EXPECT_EQ(*ParsePointKind(ToText(kind)), kind);
  for (const auto to : {DischargeTo::kUnknown, DischargeTo::kGround, DischargeTo::kStormDrain,
                        DischargeTo::kCreek, DischargeTo::kSewer, DischargeTo::kRoad, DischargeTo::kUse}) {
    EXPECT_EQ(*ParseDischargeTo(ToText(to)), to);
  }
  for (const auto d : {Disinfectant::kFreeChlorine, Disinfectant::kChloramine}) {
    EXPECT_EQ(*ParseDisinfectant(ToText(d)), d);
  }
  for (const auto kind : {SettingsKind::kPlanned, SettingsKind::kAsLeft, SettingsKind::kAsFound}) {
    EXPECT_EQ(*ParseSettingsKind(ToText(kind)), kind);
  }
  for (const auto a : {Analyte::kFreeChlorine, Analyte::kTotalChlorine, Analyte::kMonochloramine,
                       Analyte::kFreeAmmonia, Analyte::kNitrite}) {
    EXPECT_EQ(*ParseAnalyte(ToText(a)), a);
  }
  for (const auto by : {MeasuredBy::kMeter, MeasuredBy::kDrum, MeasuredBy::kPitot, MeasuredBy::kEstimate}) {
    EXPECT_EQ(*ParseMeasuredBy(ToText(by)), by);
  }
  for (const auto b : {Byproduct::kTotalTrihalomethanes, Byproduct::kHaloaceticAcids5}) {
    EXPECT_EQ(*ParseByproduct(ToText(b)), b);
  }
}

TEST(LedgerWords, AnUnknownWordIsRefusedWithTheWordsThereAre) {
  const auto kind = ParseSettingsKind("keyed");
  ASSERT_FALSE(kind.ok());
  EXPECT_EQ(kind.error().ToString(),
            "value 'keyed': the kind of a settings record is one of planned, as-left, as-found");
}

TEST(Limits, AreDescribedInWords) {
  EXPECT_EQ(Describe(LimitRule(ForbiddenHours{435, 540, {0x1F}})),
            "not from 07:15 to 09:00, Monday, Tuesday, Wednesday, Thursday and Friday");
  EXPECT_EQ(Describe(LimitRule(MostFlow{Flow::LitresPerSecond(2.5)})), "at most 2.5 L/s");
  EXPECT_EQ(Describe(LimitRule(LeastResidual{Concentration::MilligramsPerLitre(0.4)})),
            "residual at least 0.4 mg/L");
  // 20 psi is 14.06 m of water [NIST SP 811].
  EXPECT_EQ(Describe(LimitRule(LeastPressure{Pressure::PoundsPerSquareInch(20)})),
            "pressure at least 14.1 m of water");
  EXPECT_EQ(Describe(LimitRule(MostTogether{1})), "at most 1 device open at once");
  EXPECT_EQ(Describe(LimitRule(MostTogether{3})), "at most 3 devices open at once");
  EXPECT_EQ(Describe(LimitRule(LeastTankLevel{"Hill Tank", Length::Metres(2.5)})),
            "level in Hill Tank at least 2.5 m");
  EXPECT_EQ(Describe(LimitRule(FrostMonths{11, 3, {}})), "not from November to March");
  EXPECT_EQ(Describe(LimitRule(FrostMonths{1, 1, DischargeTo::kRoad})),
            "not in January, where water goes to: road");
  EXPECT_EQ(Describe(LimitRule(DroughtStage{2, Volume::CubicMetres(94.6)})),
            "in drought stage 2 at most 94.6 m3 a day");
  EXPECT_EQ(Describe(LimitRule(MostVolumeBetweenRefills{Volume::CubicMetres(60)})),
            "at most 60 m3 between refills of the dechlorination");
  EXPECT_EQ(Describe(LimitRule(LeastFlushEvery{30})), "flushed at least every 30 days");
  EXPECT_EQ(Describe(LimitRule(LeastFlushEvery{1})), "flushed at least every day");
}

TEST(Limits, AreForWhatTheirKindCanBeFor) {
  for (const LimitRule& rule : {LimitRule(LeastPressure{}), LimitRule(MostTogether{}),
                                LimitRule(LeastTankLevel{}), LimitRule(DroughtStage{})}) {
    EXPECT_TRUE(CheckScope(rule, LimitScope::kSystem).ok()) << Describe(rule);
    EXPECT_TRUE(CheckScope(rule, LimitScope::kZone).ok()) << Describe(rule);
    EXPECT_FALSE(CheckScope(rule, LimitScope::kPoint).ok()) << Describe(rule);
  }
  EXPECT_TRUE(CheckScope(MostVolumeBetweenRefills{}, LimitScope::kPoint).ok());
  EXPECT_FALSE(CheckScope(MostVolumeBetweenRefills{}, LimitScope::kZone).ok());
  for (const LimitScope scope : {LimitScope::kSystem, LimitScope::kZone, LimitScope::kPoint}) {
    EXPECT_EQ(*ParseLimitScope(ToText(scope)), scope);
    EXPECT_TRUE(CheckScope(MostFlow{}, scope).ok());
    EXPECT_TRUE(CheckScope(FrostMonths{}, scope).ok());
    EXPECT_TRUE(CheckScope(LeastFlushEvery{}, scope).ok());
  }
}

TEST(Limits, OfAZoneOrTheSystemMayBeKeptByDevicesTogether) {
  EXPECT_TRUE(IsKeptTogether({{}, LimitScope::kZone, "North", MostVolumeADay{}, "me"}));
  EXPECT_TRUE(IsKeptTogether({{}, LimitScope::kSystem, "", DroughtStage{}, "me"}));
  EXPECT_FALSE(IsKeptTogether({{}, LimitScope::kPoint, "D01", MostVolumeADay{}, "me"}));
  EXPECT_FALSE(IsKeptTogether({{}, LimitScope::kSystem, "", LeastFlushEvery{}, "me"}));
}

TEST(Limits, BindThePointsWithinTheirScopeAndFrostThoseOfItsDischarge) {
  FlushPoint point;
  point.code = PointCode("D01");
  point.supply_zone = "North";
  point.discharge = DischargeTo::kRoad;
  const auto binds = [&](LimitScope scope, const char* subject, const LimitRule& rule) {
    return Binds({{}, scope, subject, rule, "me"}, point);
  };
  EXPECT_TRUE(binds(LimitScope::kSystem, "", MostFlow{}));
  EXPECT_TRUE(binds(LimitScope::kZone, "North", MostFlow{}));
  EXPECT_FALSE(binds(LimitScope::kZone, "South", MostFlow{}));
  EXPECT_TRUE(binds(LimitScope::kPoint, "D01", MostFlow{}));
  EXPECT_FALSE(binds(LimitScope::kPoint, "D02", MostFlow{}));
  EXPECT_TRUE(binds(LimitScope::kSystem, "", FrostMonths{11, 3, DischargeTo::kRoad}));
  EXPECT_FALSE(binds(LimitScope::kSystem, "", FrostMonths{11, 3, DischargeTo::kCreek}));
  EXPECT_FALSE(binds(LimitScope::kZone, "South", FrostMonths{11, 3, DischargeTo::kRoad}));
}

TEST(Months, ReachOverTheNewYear) {
  for (int month = 1; month <= 12; ++month) {
    EXPECT_EQ(IsMonthWithin(month, 11, 3), month >= 11 || month <= 3) << MonthWord(month);
    EXPECT_EQ(IsMonthWithin(month, 4, 9), month >= 4 && month <= 9) << MonthWord(month);
    EXPECT_EQ(IsMonthWithin(month, 5, 5), month == 5) << MonthWord(month);
  }
}

TEST(Trips, FallIntoTheirMonths) {
  using std::chrono::year;
  const Trip monthly{{}, LimitScope::kSystem, "", kEveryMonth, "meter reads"};
  const Trip twice{{}, LimitScope::kPoint, "D01", Months{(1U << 2U) | (1U << 8U)}, "battery"};
  const Trip once{{}, LimitScope::kZone, "North", *ParseDate("2027-04-14"), "hydrants"};
  for (unsigned month = 1; month <= 12; ++month) {
    EXPECT_TRUE(FallsInto(monthly, year(2027) / std::chrono::month(month)));
    EXPECT_EQ(FallsInto(twice, year(2027) / std::chrono::month(month)), month == 3 || month == 9);
    EXPECT_EQ(FallsInto(once, year(2027) / std::chrono::month(month)), month == 4);
  }
  EXPECT_FALSE(FallsInto(once, year(2028) / 4));
  EXPECT_EQ(Describe(monthly.time), "every month");
  EXPECT_EQ(Describe(twice.time), "March and September");
  EXPECT_EQ(Describe(TripTime(Months{7})), "January, February and March");
  EXPECT_EQ(Describe(once.time), "on 2027-04-14");
}

TEST(Records, WithLessInThemKeepWhatWasThereBefore) {
  const Origin old{OriginKind::kTyped, "a", {}, "old"}, now{OriginKind::kTyped, "b", {}, "new"};
  const MonthWater before{"North", 7, {{Temperature::Celsius(24), old}}, {{1.3, old}}, {}};
  MonthWater sheet{"North", 7, {{Temperature::Celsius(25), now}}, {}, {}};
  const MonthWater both = FilledFrom(sheet, before);
  EXPECT_EQ(both.temperature, sheet.temperature);
  EXPECT_EQ(both.use_factor, before.use_factor);
  EXPECT_FALSE(both.upstream_residual.has_value());
  const Prices prices = FilledFrom({"", {{1.5, now}}, {}}, {"EUR", {{1.2, old}}, {{60, old}}});
  EXPECT_EQ(prices, (Prices{"EUR", {{1.5, now}}, {{60, old}}}));
}

}  // namespace
}  // namespace lastreach
