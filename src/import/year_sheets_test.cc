// Sheets about the whole system and the year: limits, who stays on, temperatures, trips, prices.
#include <gmock/gmock.h>

#include "import/month_words.h"
#include "import/sheet_import.h"

namespace lastreach {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

class YearSheets : public SheetImport {
 protected:
  void SetUp() override {
    SheetImport::SetUp();
    context_.known_zones = {"North", "High Hill"};
    context_.known_points[0].supply_zone = "North";
  }
};

TEST(MonthWords, AreReadAsPeopleWriteThem) {
  for (const char* text : {"Nov", "november", "NOV.", "11", "11.0", "Nov 2026", "2026-11", "Nov-26"})
    EXPECT_EQ(*ParseMonth(text), 11) << text;
  EXPECT_EQ(*ParseMonth("Sept"), 9);
  for (const char* text : {"", "13", "0", "1.5", "Novembre", "soon", "3 Nov 2026"})
    EXPECT_FALSE(ParseMonth(text).ok()) << text;
  for (const char* text :
       {"November to March", "Nov-Mar", "11 - 3", "Nov. through March", "from Nov until Mar"})
    EXPECT_EQ(*ParseMonthStretch(text), std::pair(11, 3)) << text;
  EXPECT_EQ(*ParseMonthStretch("January"), std::pair(1, 1));
  EXPECT_FALSE(ParseMonthStretch("winter").ok());
  EXPECT_EQ(*ParseMonths("monthly"), kEveryMonth);
  for (const char* text : {"March and September", "Mar, Sep", "3, 9", "Sep & Mar", "every March and Sept"})
    EXPECT_EQ(ParseMonths(text)->bits, (1U << 2U) | (1U << 8U)) << text;
  EXPECT_EQ(ParseMonths("Nov to Feb")->bits, 0xC03U);
  for (const char* text : {"quarterly", "2027-04-14", "14 Apr 2027", "yearly", ""})
    EXPECT_FALSE(ParseMonths(text).ok()) << text;
}

// SOURCE: 1 psi = 6894.757 Pa and 1 m of water = 9806.65 Pa [NIST SP 811]: 20 psi is 14.06 m.
TEST_F(YearSheets, LimitsOfTheSystemComeInInAnyUnit) {
  const ImportResult result =
      Import(TableKind::kLimits,
             "Applies to,Subject,Limit,Value,Tank,Source\n"
             ",,least pressure,20 psi,,state rule\n,north,pressure at least,1.4 bar,,us\n"
             "zone,North,least pressure,14 m,,us\n,,most devices at once,3,,us\n"
             "zone,High Hill,most open at once,2 devices,,us\n,,least tank level,10 ft,Hill Tank,fire\n"
             ",Hill Tank,tank level at least,3 m,,fire\n,,drought stage 2,\"25,000 gal\",,council\n"
             "point,FP-001,most volume between refills,18000 gal,,label\n");
  EXPECT_THAT(result.rejected, IsEmpty());
  ASSERT_EQ(result.limits.size(), 9U);
  const auto head_m = [&](size_t i) {
    return std::get<LeastPressure>(result.limits[i].rule).pressure.metres_of_water();
  };
  EXPECT_NEAR(head_m(0), 14.06, 0.005);
  EXPECT_EQ(result.limits[0].scope, LimitScope::kSystem);
  EXPECT_NEAR(head_m(1), 14.28, 0.005);
  EXPECT_EQ(result.limits[1].scope, LimitScope::kZone);
  EXPECT_EQ(result.limits[1].subject, "North");
  EXPECT_NEAR(head_m(2), 14, 1e-12);
  EXPECT_EQ(result.limits[3].rule, LimitRule(MostTogether{3}));
  EXPECT_EQ(result.limits[4].rule, LimitRule(MostTogether{2}));
  EXPECT_EQ(result.limits[5].rule, LimitRule(LeastTankLevel{"Hill Tank", Length::Feet(10)}));
  EXPECT_EQ(result.limits[6].rule, LimitRule(LeastTankLevel{"Hill Tank", Length::Metres(3)}));
  EXPECT_EQ(result.limits[6].scope, LimitScope::kSystem);
  const auto drought = std::get<DroughtStage>(result.limits[7].rule);
  EXPECT_EQ(drought.stage, 2);
  EXPECT_NEAR(drought.volume_a_day.gallons(), 25000, 1e-6);
  EXPECT_NEAR(std::get<MostVolumeBetweenRefills>(result.limits[8].rule).volume.gallons(), 18000, 1e-6);
}

TEST_F(YearSheets, LimitsThroughTheYearComeInInWords) {
  const ImportResult result = Import(
      TableKind::kLimits,
      "Applies to,Subject,Limit,Value,From,To,Discharge to,Stage,Source\n"
      "point,FP-001,no flushing in frost,Nov to March,,,,,crew\n"
      "system,,frost months,,December,February,curb,,crew\n"
      "system,,flush at least every,31 days,,,,,state\nzone,North,flush at least every,monthly,,,,,us\n"
      "point,FP-002,flush every,2 weeks,,,,,us\nsystem,,drought,15000 gal,,,,3,council\n");
  EXPECT_THAT(result.rejected, IsEmpty());
  ASSERT_EQ(result.limits.size(), 6U);
  EXPECT_EQ(result.limits[0].rule, LimitRule(FrostMonths{11, 3, {}}));
  EXPECT_EQ(result.limits[1].rule, LimitRule(FrostMonths{12, 2, DischargeTo::kRoad}));
  EXPECT_EQ(result.limits[2].rule, LimitRule(LeastFlushEvery{31}));
  EXPECT_EQ(result.limits[3].rule, LimitRule(LeastFlushEvery{30}));
  EXPECT_THAT(result.notes, ElementsAre(HasSubstr("a month is taken as 30 days")));
  EXPECT_EQ(result.limits[4].rule, LimitRule(LeastFlushEvery{14}));
  EXPECT_EQ(std::get<DroughtStage>(result.limits[5].rule).stage, 3);
}

TEST_F(YearSheets, ALimitThatCannotBeMeantIsRejectedWithItsReason) {
  const ImportResult result =
      Import(TableKind::kLimits,
             "Applies to,Subject,Limit,Value,Discharge to,Source\n"
             "point,FP-001,least pressure,20 psi,,us\nsystem,,least pressure,20,,us\n"
             "system,,most devices at once,half,,us\nsystem,,least tank level,3 m,,us\n"
             "system,,frost months,winter,,us\nsystem,,frost months,Nov to Mar,the moon,us\n"
             "system,,drought,5000 gal,,us\nzone,North,most volume between refills,5 m3,,us\n"
             "system,,flush at least every,now and then,,us\nsystem,,most devices at once,0,,us\n");
  EXPECT_THAT(result.limits, IsEmpty());
  ASSERT_EQ(result.rejected.size(), 10U);
  const char* const kReasons[] = {
      "for a zone or the system", "a unit is wanted: psi", "1 or more",     "name of its tank", "its months",
      "where the water goes is",  "which drought stage",   "for one point", "how many days",    "1 or more"};
  for (size_t i = 0; i < 10; ++i) EXPECT_THAT(result.rejected[i].reason, HasSubstr(kReasons[i]));
}

TEST_F(YearSheets, AFlowFromATankIsAFlow) {
  const ImportResult result =
      Import(TableKind::kLimits, "Limit,Value,Source\nmost flow from the tank,5 L/s,us\n");
  ASSERT_EQ(result.limits.size(), 1U);
  EXPECT_EQ(result.limits[0].rule, LimitRule(MostFlow{Flow::LitresPerSecond(5)}));
}

TEST_F(YearSheets, AZoneNobodyKnowsIsNotedOnALimit) {
  const ImportResult result =
      Import(TableKind::kLimits, "Subject,Limit,Value,Source\nNorht,most devices at once,2,us\n");
  ASSERT_EQ(result.limits.size(), 1U);
  EXPECT_THAT(result.notes, ElementsAre(HasSubstr("no zone 'Norht'")));
}

TEST_F(YearSheets, ADeviceSaysWhetherItStaysOnInADrought) {
  const ImportResult result = Import(TableKind::kDevices,
                                     "Code,Keep on,Drought rank,Adjustable flow\nD1,\"hospital, "
                                     "dialysis\",,no\nD2,no,2,yes\nD3,yes,,perhaps\n"
                                     "D4,,,\n");
  ASSERT_EQ(result.points.size(), 4U);
  EXPECT_TRUE(result.points[0].stays_on);
  EXPECT_EQ(result.points[0].stays_on_because, "hospital, dialysis");
  EXPECT_EQ(result.points[0].adjustable_flow, false);
  EXPECT_FALSE(result.points[1].stays_on);
  EXPECT_EQ(result.points[1].drought_rank, 2);
  EXPECT_EQ(result.points[1].adjustable_flow, true);
  EXPECT_TRUE(result.points[2].stays_on);
  EXPECT_EQ(result.points[2].stays_on_because, "");
  ASSERT_EQ(result.left_out.size(), 1U);
  EXPECT_EQ(result.left_out[0].value, "perhaps");
  EXPECT_FALSE(result.points[3].stays_on);
  EXPECT_FALSE(result.points[3].drought_rank.has_value());
  EXPECT_FALSE(result.points[3].adjustable_flow.has_value());
}

TEST_F(YearSheets, TemperaturesComeByMonth) {
  const ImportResult result =
      Import(TableKind::kTemperatures,
             "Zone,Month,Temp (F),Use (times average),Upstream residual (mg/L),Source\n"
             "north,July,about 77,1.4,0.9,plant log\nhigh hill,7,75,,,\nNorth,Jul,70,,,\n"
             "all,January,41,0.7,,\nEast,July,75,,,\n,July,75,,,\nNorth,Smarch,75,,,\n"
             "North,May,,,,\nNorth,June,hot,1.2,,\n");
  ASSERT_EQ(result.months.size(), 5U);
  const MonthWater& july = result.months[0];
  EXPECT_EQ(july.zone, "North");
  EXPECT_EQ(july.month, 7);
  EXPECT_NEAR(july.temperature->value.celsius(), 25, 1e-9);
  EXPECT_EQ(july.temperature->origin.kind, OriginKind::kEstimated);
  EXPECT_EQ(july.temperature->origin.note, "plant log; written about 77 F");
  EXPECT_EQ(july.use_factor->value, 1.4);
  EXPECT_EQ(july.use_factor->origin.note, "plant log");
  EXPECT_NEAR(july.upstream_residual->value.milligrams_per_litre(), 0.9, 1e-12);
  EXPECT_EQ(result.months[1].zone, "High Hill");
  EXPECT_FALSE(result.months[1].use_factor.has_value());
  EXPECT_EQ(result.months[2].zone, "North");
  EXPECT_EQ(result.months[3].zone, "High Hill");
  EXPECT_EQ(result.months[3].month, 1);
  EXPECT_EQ(result.months[4].month, 6);
  EXPECT_FALSE(result.months[4].temperature.has_value());
  ASSERT_EQ(result.rejected.size(), 5U);
  EXPECT_THAT(result.rejected[0].reason, HasSubstr("in line 2 already"));
  EXPECT_THAT(result.rejected[1].reason, HasSubstr("no such zone"));
  EXPECT_THAT(result.rejected[2].reason, HasSubstr("which zone is wanted"));
  EXPECT_THAT(result.rejected[3].reason, HasSubstr("by name or as a number"));
  EXPECT_THAT(result.rejected[4].reason, HasSubstr("no number for the month"));
  EXPECT_EQ(result.left_out.size(), 1U);
}

TEST_F(YearSheets, AMonthsOnlyNumberThatIsNoneIsTheCellAtFault) {
  const auto result = Import(TableKind::kTemperatures, "Zone,Month,Warmest week (F)\nNorth,August,hot\n");
  ASSERT_EQ(result.rejected.size(), 1U);
  EXPECT_EQ(result.rejected[0].line, 2);
  EXPECT_EQ(result.rejected[0].column, "Warmest week (F)");
  EXPECT_EQ(result.rejected[0].value, "hot");
}

TEST_F(YearSheets, DatedTemperaturesBecomeTheWarmestWeekOfTheirMonthAndSaySo) {
  std::string sheet = "Date,Place,Water temp,Zone,Month\n";
  for (int d = 1; d <= 20; ++d) {
    sheet += "2026-07-" + std::string(d < 10 ? "0" : "") + std::to_string(d) + ",FP-001," +
             (d >= 8 && d <= 14 ? "26 C" : "22 C") + ",,\n";
  }
  sheet += "2026-06-03,tap,19 C,High Hill,\n2026-06-20,tap,21 C,High Hill,\n2026-09-20,tap,21 C,North,\n";
  sheet += ",,24 C,High Hill,July\n2025-07-04,tap,23 C,High Hill,\n2026-06-21,tap,warm,North,\n";
  const ImportResult result = Import(TableKind::kTemperatures, sheet);
  ASSERT_EQ(result.rejected.size(), 2U);
  EXPECT_THAT(result.rejected[0].reason, HasSubstr("in the future"));
  EXPECT_EQ(result.rejected[1].reason, "this is not a number");
  ASSERT_EQ(result.months.size(), 3U);
  EXPECT_EQ(result.months[0].zone, "High Hill");
  EXPECT_NEAR(result.months[0].temperature->value.celsius(), 24, 1e-12);  // typed, so kept
  EXPECT_EQ(result.months[1].month, 6);
  EXPECT_NEAR(result.months[1].temperature->value.celsius(), 21, 1e-12);
  EXPECT_EQ(result.months[1].temperature->origin.note, "highest of 2 readings, 2026-06-20");
  EXPECT_EQ(result.months[2].zone, "North");
  EXPECT_NEAR(result.months[2].temperature->value.celsius(), 26, 1e-12);
  EXPECT_EQ(result.months[2].temperature->origin.kind, OriginKind::kMeasured);
  EXPECT_EQ(result.months[2].temperature->origin.note,
            "mean of the warmest 7 days, 2026-07-08 to 2026-07-14");
  EXPECT_THAT(
      result.notes,
      ElementsAre("High Hill, June: 21.0 C, highest of 2 readings, 2026-06-20",
                  "High Hill, July: 23.0 C, the one reading, 2025-07-04; the temperature typed for the "
                  "month is kept",
                  "North, July: 26.0 C, mean of the warmest 7 days, 2026-07-08 to 2026-07-14"));
}

TEST_F(YearSheets, TripsAreMonthlyInSomeMonthsOrOnADay) {
  const ImportResult result =
      Import(TableKind::kTrips,
             "Point or zone,When,Why\nall,monthly,meter reads\nfp 1,\"May, November\",battery\n"
             "north,4/14/27,hydrants\nNorth,4/13/27,hydrants\nfp 1,\"May, November\",battery\n"
             "fp 2,quarterly,reads\nfp 2,,reads\n");
  ASSERT_EQ(result.trips.size(), 4U);
  EXPECT_EQ(result.trips[0], (Trip{{}, LimitScope::kSystem, "", kEveryMonth, "meter reads"}));
  EXPECT_EQ(result.trips[1],
            (Trip{{}, LimitScope::kPoint, "FP-001", Months{(1U << 4U) | (1U << 10U)}, "battery"}));
  EXPECT_EQ(result.trips[2], (Trip{{}, LimitScope::kZone, "North", *ParseDate("2027-04-14"), "hydrants"}));
  ASSERT_EQ(result.rejected.size(), 3U);
  EXPECT_EQ(result.rejected[0].reason, "the trip is in line 3 already");
  EXPECT_THAT(result.rejected[1].reason, HasSubstr("nor months by name"));
  EXPECT_THAT(result.rejected[2].reason, HasSubstr("when is missing"));
}

// 1 US gal = 3.785411784 L [NIST SP 811]: 4.85 for 1000 gal is 1.2812 for 1 m3.
TEST_F(YearSheets, PricesComeInPerAnyVolume) {
  const ImportResult result =
      Import(TableKind::kPrices,
             "What,Price,Per,Source\nwater,$4.85,1000 gal,rate sheet\na visit,$65,,two people\n"
             "water,$5,m3,\nplumbing,$5,,\nwater,free,m3,\n");
  ASSERT_TRUE(result.prices.has_value());
  EXPECT_EQ(result.prices->currency, "$");
  EXPECT_NEAR(result.prices->water_per_m3->value, 1.2812, 5e-5);
  EXPECT_EQ(result.prices->water_per_m3->origin.note, "rate sheet; written $4.85 a 1000 gal");
  EXPECT_EQ(result.prices->visit->value, 65);
  ASSERT_EQ(result.rejected.size(), 3U);
  EXPECT_THAT(result.rejected[0].reason, HasSubstr("the price of water is in line 2 already"));
  EXPECT_THAT(result.rejected[1].reason, HasSubstr("of water or of a visit"));
  EXPECT_THAT(result.rejected[2].reason, HasSubstr("a price is wanted"));
}

TEST_F(YearSheets, APriceMaySayItAllInOneCell) {
  const ImportResult one = Import(TableKind::kPrices, "What,Price\nwater,1.2 EUR/m3\ntrip,60 EUR\n");
  ASSERT_TRUE(one.prices.has_value());
  EXPECT_EQ(one.prices->currency, "EUR");
  EXPECT_NEAR(one.prices->water_per_m3->value, 1.2, 1e-12);
  EXPECT_EQ(one.prices->visit->value, 60);
  const ImportResult mixed = Import(TableKind::kPrices, "What,Price,Per\nwater,1.2 EUR,m3\ntrip,$60,\n");
  ASSERT_EQ(mixed.rejected.size(), 1U);
  EXPECT_EQ(mixed.rejected[0].reason, "this is in $ and a row before in EUR");
  EXPECT_FALSE(mixed.prices->visit.has_value());
  const ImportResult bare = Import(TableKind::kPrices, "What,Price,Per\nwater,1.2,\n");
  EXPECT_FALSE(bare.prices.has_value());
  EXPECT_THAT(bare.rejected[0].reason, HasSubstr("how much water"));
}

}  // namespace
}  // namespace lastreach
