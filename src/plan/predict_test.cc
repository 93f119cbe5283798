#include "plan/predict.h"

#include <gtest/gtest.h>

#include <cmath>

#include "plan/test_devices.h"

namespace lastreach {
namespace {

LowPrediction Predicted(const DeviceFacts& facts) {
  const auto prediction = PredictLowest(facts, FourWeeks());
  EXPECT_TRUE(prediction.ok());
  return prediction.ok() ? *prediction : LowPrediction{};
}

TEST(Predict, BandIsInOrderAndNotAbovePlainUpstream) {
  const LowPrediction low = Predicted(MadeUpDevice(10, 200));
  EXPECT_LE(low.low_mg_per_l, low.middle_mg_per_l);
  EXPECT_LE(low.middle_mg_per_l, low.high_mg_per_l);
  EXPECT_GT(low.high_mg_per_l, low.low_mg_per_l);
  EXPECT_LT(low.middle_mg_per_l, 1.0);
}

TEST(Predict, ALongerReachHoldsLess) {
  double before = 1;
  for (const double length_m : {50.0, 100.0, 200.0, 400.0}) {
    const double now = Predicted(MadeUpDevice(10, length_m)).middle_mg_per_l;
    EXPECT_LT(now, before) << length_m;
    before = now;
  }
}

TEST(Predict, MoreCustomersHoldMore) {
  double before = -1;
  for (const int services : {4, 8, 16, 32}) {
    const double now = Predicted(MadeUpDevice(services, 200)).middle_mg_per_l;
    EXPECT_GT(now, before) << services;
    before = now;
  }
}

// A single customer at the end of V = 1.77 m3 drawing q = 3.46 m3/d: water is V/q old, half a day, on
// average, and C = C0 exp(-k V / q) with k = 0.4 1/d at 20 C, 0.614 at 25 C (E/R = 7500 K). The lowest of the
// day comes after the small hours, so it lies below that, by no more than half a day's loss.
TEST(Predict, OneCustomerGetsWaterAsOldAsTheVolumeOverItsUse) {
  DeviceFacts facts = MadeUpDevice(1, 100);
  facts.supply.demand_per_service = Measured(Flow::CubicMetresPerDay(3.456));
  const double volume_m3 = 3.14159265 / 4 * 0.15 * 0.15 * 100;
  const double k_per_day = 0.4 * std::exp(7500 * (1 / 293.15 - 1 / 298.15));
  const double average = std::exp(-k_per_day * volume_m3 / 3.456);
  const double low = Predicted(facts).middle_mg_per_l;
  EXPECT_LT(low, average);
  EXPECT_GT(low, average * std::exp(-k_per_day * 0.5));
}

TEST(Predict, FlushingRaisesTheLowest) {
  DeviceFacts facts = MadeUpDevice(4, 300);
  const double without = Predicted(facts).middle_mg_per_l;
  TimerSettings settings;
  Programme programme;
  programme.starts_min = {60, 720};
  programme.minutes = 40;
  programme.days = kEveryWeekday;
  settings.programmes = {programme};
  facts.present = settings;
  EXPECT_GT(Predicted(facts).middle_mg_per_l, without + 0.1);
  facts.point.flow.reset();
  EXPECT_FALSE(PredictLowest(facts, FourWeeks()).ok());
}

TEST(Predict, NeedsNeitherTargetNorFlowWhereNothingIsFlushed) {
  DeviceFacts facts = MadeUpDevice(4, 100);
  facts.supply.target_residual.reset();
  facts.point.flow.reset();
  EXPECT_TRUE(PredictLowest(facts, FourWeeks()).ok());
  facts.supply.upstream_residual.reset();
  EXPECT_FALSE(PredictLowest(facts, FourWeeks()).ok());
}

TEST(Predict, AStubWithoutACustomerHasNothingLeft) {
  EXPECT_EQ(Predicted(MadeUpDevice(0, 100)).high_mg_per_l, 0);
}

TEST(Predict, TheSameTwiceIsTheSame) {
  const DeviceFacts facts = MadeUpDevice(6, 150);
  EXPECT_EQ(Predicted(facts).low_mg_per_l, Predicted(facts).low_mg_per_l);
}

}  // namespace
}  // namespace lastreach
