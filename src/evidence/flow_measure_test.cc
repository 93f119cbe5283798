#include "evidence/flow_measure.h"

#include <gtest/gtest.h>

#include <cmath>

namespace lastreach {
namespace {

double PitotGpm(double inches, double coefficient, double psi) {
  const auto flow = FlowByPitot(Diameter::Inches(inches), coefficient, Pressure::PoundsPerSquareInch(psi));
  EXPECT_TRUE(flow.ok());
  return flow.ok() ? Flow::CubicMetresPerSecond(flow->flow_m3_per_s).gallons_per_minute() : 0;
}

// Rows of the theoretical table, c = 1 (NFPA 291 table 4.10.1, from memory): to the gallon, and half a gallon
// more for 29.838 against the printed 29.84.
TEST(PitotFlow, PrintsTheTheoreticalTable) {
  constexpr double kPressures_psi[] = {1, 2, 5, 10, 20, 30, 40, 50, 60};
  const struct {
    double inches;
    int gpm[9];
  } rows[] = {{1.00, {30, 42, 67, 94, 133, 163, 189, 211, 231}},
              {2.00, {119, 169, 267, 377, 534, 654, 755, 844, 925}},
              {2.25, {151, 214, 338, 478, 676, 827, 955, 1068, 1170}},
              {2.50, {186, 264, 417, 590, 834, 1022, 1180, 1319, 1445}},
              {4.00, {477, 675, 1068, 1510, 2135, 2615, 3020, 3376, 3698}},
              {4.50, {604, 855, 1351, 1911, 2702, 3310, 3822, 4273, 4681}}};
  for (const auto& row : rows) {
    for (int i = 0; i < 9; ++i) {
      EXPECT_NEAR(PitotGpm(row.inches, 1, kPressures_psi[i]), row.gpm[i], 1.0)
          << row.inches << " in at " << kPressures_psi[i] << " psi";
    }
  }
}

// Worked pairs with the older constant 29.83: 1061.22 and, less a pumper outlet's 0.83, 1127.44 gal/min.
TEST(PitotFlow, AgreesWithWorkedPairs) {
  EXPECT_NEAR(PitotGpm(2.5, 0.9, 40), 1061.22, 1061.22 * 0.0005);
  EXPECT_NEAR(PitotGpm(4, 0.9, 10) * 0.83, 1127.44, 1127.44 * 0.0005);
}

// Qm [L/min] = 0.0667 c d^2 sqrt(P), d in mm and P in kPa.
TEST(PitotFlow, AgreesWithTheMetricForm) {
  const auto flow = FlowByPitot(Diameter::Millimetres(65), 0.9, Pressure::Kilopascals(250));
  ASSERT_TRUE(flow.ok());
  EXPECT_NEAR(flow->flow_m3_per_s * 60000, 0.0667 * 0.9 * 65 * 65 * std::sqrt(250.0), 2.0);
}

// 400 gal/min for 20 min is 8,000 gal.
TEST(MeterFlow, IsVolumeOverTime) {
  const auto flow = FlowByMeter(Volume::Gallons(120000), Volume::Gallons(128000), Duration::Minutes(20));
  ASSERT_TRUE(flow.ok());
  EXPECT_NEAR(Flow::CubicMetresPerSecond(flow->flow_m3_per_s).gallons_per_minute(), 400, 1e-9);
  EXPECT_NEAR(flow->log_sd, 0.02, 1e-4);
}

TEST(MeterFlow, ACoarseDialIsWorthLittleOverASmallVolume) {
  const auto sd = [](double gallons) {
    const auto flow = FlowByMeter({}, Volume::Gallons(gallons), Duration::Minutes(10), Volume::Gallons(100));
    return flow.ok() ? flow->log_sd : -1;
  };
  EXPECT_NEAR(sd(100), std::hypot(0.02, std::sqrt(2.0 / 12)), 1e-3);
  EXPECT_GT(sd(200), sd(2000));
}

TEST(DrumFlow, IsWorthLessTheFasterItFills) {
  const auto slow = FlowByDrum(Volume::Gallons(55), Duration::Seconds(66));
  const auto fast = FlowByDrum(Volume::Gallons(5), Duration::Seconds(2));
  ASSERT_TRUE(slow.ok() && fast.ok());
  EXPECT_NEAR(Flow::CubicMetresPerSecond(slow->flow_m3_per_s).gallons_per_minute(), 50, 1e-9);
  EXPECT_NEAR(slow->log_sd, 0.05, 0.001);
  EXPECT_NEAR(fast->log_sd, std::hypot(0.05, 0.25), 1e-9);
}

TEST(MeasuredFlow, MethodsRankAsTheTradeRanksThem) {
  EXPECT_LT(UsualLogSd(MeasuredBy::kMeter), UsualLogSd(MeasuredBy::kDrum));
  EXPECT_LT(UsualLogSd(MeasuredBy::kDrum), UsualLogSd(MeasuredBy::kPitot));
  EXPECT_LT(UsualLogSd(MeasuredBy::kPitot), UsualLogSd(MeasuredBy::kEstimate));
}

TEST(MeasuredFlow, FollowsTheRootOfThePressure) {
  EXPECT_DOUBLE_EQ(FlowAtPressure_m3_per_s(0.004, Pressure::Bar(1), Pressure::Bar(4)), 0.008);
}

TEST(MeasuredFlow, RefusesWhatMakesNoFlow) {
  EXPECT_FALSE(FlowByMeter(Volume::Gallons(5), Volume::Gallons(5), Duration::Minutes(1)).ok());
  EXPECT_FALSE(FlowByDrum(Volume::Gallons(5), Duration::Seconds(0)).ok());
  EXPECT_FALSE(FlowByPitot(Diameter::Inches(0), 0.9, Pressure::Bar(1)).ok());
  EXPECT_FALSE(FlowByPitot(Diameter::Inches(2), 9, Pressure::Bar(1)).ok());
  EXPECT_FALSE(FlowByPitot(Diameter::Inches(2), 0.9, Pressure::Bar(-1)).ok());
}

}  // namespace
}  // namespace lastreach
