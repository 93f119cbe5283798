#include "evidence/test_flush.h"

#include <gtest/gtest.h>

#include <cmath>

#include "quality/transport.h"

namespace lastreach {
namespace {

constexpr double kFlow_m3_per_s = 0.003;
constexpr double kMain_mg_per_l = 1.0;

FlushReading ReadAt(double minutes, double mg_per_l) {
  FlushReading reading;
  reading.after = Duration::Minutes(minutes);
  reading.residual = Concentration::MilligramsPerLitre(mg_per_l);
  return reading;
}

TestFlushFacts FactsWith(std::vector<FlushReading> readings, double volume_m3) {
  TestFlushFacts facts;
  facts.flush.readings = std::move(readings);
  facts.flush.upstream = Concentration::MilligramsPerLitre(kMain_mg_per_l);
  facts.flow = MeasuredFlow{kFlow_m3_per_s, 0.035, MeasuredBy::kMeter};
  facts.volume_m3 = volume_m3;
  return facts;
}

// A reach of 150 mm main, flushed through a day before and then again: what the transport gives at its
// outlet. `services` of them draw along it in between.
struct Flushed {
  double volume_m3 = 0;
  std::vector<FlushReading> readings;
};
Flushed FlushOf(double length_m, int services, double demand_m3_per_day, double every_min, double until_min) {
  Branch branch;
  const int parts = std::max(1, services);
  for (int i = 0; i < parts; ++i) {
    BranchSegment segment;
    segment.length_m = length_m / parts;
    segment.diameter_m = 0.15;
    segment.tap_demand_m3_per_s = services > 0 ? demand_m3_per_day / services / kSecondsPerDay : 0;
    segment.bulk_per_s = 0.9 / kSecondsPerDay;
    branch.segments.push_back(segment);
  }
  Flushed flushed;
  for (const BranchSegment& segment : branch.segments) flushed.volume_m3 += segment.volume_m3();
  const double run_s = 3 * flushed.volume_m3 / kFlow_m3_per_s;
  const double opened_s = run_s + kSecondsPerDay;
  BranchDrive drive;
  drive.time_s = {0, run_s, opened_s, opened_s + until_min * 60 + 1};
  drive.demand_factor = {1, 1, 1};
  drive.end_flow_m3_per_s = {kFlow_m3_per_s, 0, kFlow_m3_per_s};
  drive.root_mg_per_l.assign(4, kMain_mg_per_l);
  std::vector<double> times;
  for (double t = every_min; t <= until_min; t += every_min) times.push_back(opened_s + t * 60);
  const std::vector<double> residuals = ResidualsAt(branch, drive, branch.segments.size() - 1, times);
  for (std::size_t i = 0; i < times.size(); ++i)
    flushed.readings.push_back(ReadAt((times[i] - opened_s) / 60, residuals[i]));
  return flushed;
}

TEST(ReadTestFlush, AStubGivesItsVolumeWhereFreshWaterComes) {
  const Flushed flushed = FlushOf(300, 0, 0, 2, 40);
  TestFlushFacts facts = FactsWith(flushed.readings, flushed.volume_m3);
  facts.pipe_lengths_m = {300};
  facts.pipe_volumes_m3 = {flushed.volume_m3};
  const TestFlushReading read = ReadTestFlush(facts);
  ASSERT_TRUE(read.plateau && read.came_most_m3 && read.breakthrough_m3);
  EXPECT_EQ(read.advice, FlushAdvice::kFlat);
  EXPECT_EQ(read.arrives, PlateauVerdict::kAsTheMain);
  EXPECT_EQ(read.volume, VolumeVerdict::kMapRight);
  EXPECT_LE(*read.came_least_m3, flushed.volume_m3);
  EXPECT_GE(*read.came_most_m3, flushed.volume_m3);
  EXPECT_NEAR(*read.breakthrough_m3, flushed.volume_m3, kFlow_m3_per_s * 120);  // readings are 2 min apart
  // What came out first had stood at the end, and lost e^-0.9 in its day.
  EXPECT_NEAR(read.profile.front().mg_per_l, std::exp(-0.9), 0.05);
  EXPECT_NEAR(*read.profile.front().distance_m, kFlow_m3_per_s * 120 / (flushed.volume_m3 / 300), 1e-6);
}

// With customers the front wears off into a slope; the bounds must still hold the volume.
TEST(ReadTestFlush, BoundsHoldTheVolumeWhateverTheCustomersDraw) {
  int bounded = 0;
  for (const double demand : {0.5, 1.0, 2.0, 4.0}) {
    for (const double length : {150.0, 300.0, 450.0}) {
      const Flushed flushed = FlushOf(length, 8, demand, 1.5, 60);
      const TestFlushReading read = ReadTestFlush(FactsWith(flushed.readings, flushed.volume_m3));
      if (!read.came_most_m3) continue;  // hardly anything was lost: there is no front to see
      ++bounded;
      EXPECT_LE(*read.came_least_m3, flushed.volume_m3 * 1.001) << demand << " m3/d, " << length << " m";
      EXPECT_EQ(read.volume, VolumeVerdict::kMapRight) << demand << " m3/d, " << length << " m";
    }
  }
  EXPECT_GE(bounded, 9);
}

TEST(ReadTestFlush, SaysWhenTheMapHasTooMuchOrTooLittle) {
  const Flushed flushed = FlushOf(300, 0, 0, 2, 60);
  EXPECT_EQ(ReadTestFlush(FactsWith(flushed.readings, 2 * flushed.volume_m3)).volume,
            VolumeVerdict::kLessThanMap);
  EXPECT_EQ(ReadTestFlush(FactsWith(flushed.readings, flushed.volume_m3 / 2)).volume,
            VolumeVerdict::kMoreThanMap);
}

TEST(ReadTestFlush, StaleWaterThatIsLevelIsNoPlateau) {
  const TestFlushFacts facts = FactsWith({ReadAt(1, 0.2), ReadAt(3, 0.2), ReadAt(5, 0.2)}, 5.3);
  const TestFlushReading read = ReadTestFlush(facts);
  EXPECT_FALSE(read.plateau);
  EXPECT_EQ(read.advice, FlushAdvice::kGoOn);
  EXPECT_NE(read.advice_words.find("25 min"), std::string::npos) << read.advice_words;  // (5.3 - 0.9) / 0.18
}

TEST(ReadTestFlush, LevelBelowTheMainAfterAllHasRunIsSomethingElse) {
  const TestFlushFacts facts =
      FactsWith({ReadAt(5, 0.2), ReadAt(20, 0.3), ReadAt(35, 0.55), ReadAt(40, 0.6), ReadAt(45, 0.6)}, 5.3);
  const TestFlushReading read = ReadTestFlush(facts);
  EXPECT_EQ(read.arrives, PlateauVerdict::kBelowTheMain);
  EXPECT_EQ(read.advice, FlushAdvice::kFlatButWeak);
  EXPECT_FALSE(read.minutes);
}

TEST(ReadTestFlush, StopsWhereNothingArrives) {
  const TestFlushFacts facts = FactsWith(
      {ReadAt(20, 0.1), ReadAt(40, 0.25), ReadAt(60, 0.1), ReadAt(80, 0.3), ReadAt(100, 0.15)}, 5.3);
  const TestFlushReading read = ReadTestFlush(facts);
  EXPECT_EQ(read.advice, FlushAdvice::kNothingArrives);
  EXPECT_EQ(read.volume, VolumeVerdict::kNeverCame);
}

TEST(ReadTestFlush, AdviceFollowsTheReadingsAsTheyCome) {
  const std::vector<FlushReading> all = {ReadAt(5, 0.3),  ReadAt(15, 0.3),  ReadAt(25, 0.4), ReadAt(32, 0.95),
                                         ReadAt(36, 1.0), ReadAt(40, 0.95), ReadAt(44, 1.0)};
  for (std::size_t so_far = 0; so_far <= all.size(); ++so_far) {
    const std::vector<FlushReading> readings(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(so_far));
    const FlushAdvice advice = ReadTestFlush(FactsWith(readings, 5.3)).advice;
    EXPECT_EQ(advice, so_far < 6 ? FlushAdvice::kGoOn : FlushAdvice::kFlat) << so_far;
  }
}

TEST(ReadTestFlush, OneBadReadingMovesNothing) {
  std::vector<FlushReading> readings = {ReadAt(10, 0.3), ReadAt(25, 0.4), ReadAt(32, 1.0), ReadAt(35, 0.95),
                                        ReadAt(38, 1.0), ReadAt(41, 1.0), ReadAt(44, 1.05)};
  const TestFlushReading good = ReadTestFlush(FactsWith(readings, 5.3));
  readings[4].residual = Concentration::MilligramsPerLitre(0.2);  // a dirty cell
  const TestFlushReading bad = ReadTestFlush(FactsWith(readings, 5.3));
  ASSERT_TRUE(good.plateau && bad.plateau);
  EXPECT_EQ(good.plateau->first, bad.plateau->first);
  EXPECT_NEAR(good.plateau->mg_per_l, bad.plateau->mg_per_l, 0.05);
  EXPECT_EQ(good.minutes, bad.minutes);
}

TEST(ReadTestFlush, VolumeIsTheFlowAsItWasReadSummedUp) {
  TestFlush flush;
  flush.readings = {ReadAt(10, 0.5), ReadAt(20, 0.5), ReadAt(30, 0.5)};
  flush.readings[0].flow = Flow::LitresPerSecond(4);
  flush.readings[1].flow = Flow::LitresPerSecond(2);
  const std::vector<CurvePoint> curve = CurveOf(flush, std::nullopt);
  EXPECT_NEAR(*curve[0].volume_m3, 0.004 * 600, 1e-12);
  EXPECT_NEAR(*curve[1].volume_m3, 0.004 * 600 + 0.003 * 600, 1e-12);
  EXPECT_NEAR(*curve[2].volume_m3, 0.004 * 600 + 0.003 * 600 + 0.002 * 600, 1e-12);
}

// Flat from 32 min on; a tenth more and half a minute: 35.7, up to 36. At half the flow twice as long.
TEST(ReadTestFlush, MinutesHaveAMarginAndFollowTheFlowOfTheDevice) {
  TestFlushFacts facts =
      FactsWith({ReadAt(10, 0.3), ReadAt(28, 0.3), ReadAt(32, 1), ReadAt(36, 1), ReadAt(40, 1)}, 5.3);
  EXPECT_EQ(ReadTestFlush(facts).minutes, 36);
  facts.device_flow_m3_per_s = kFlow_m3_per_s / 2;
  EXPECT_EQ(ReadTestFlush(facts).minutes, 71);
}

TEST(ReadTestFlush, ASampleAfterHoursClosedIsTheLossItself) {
  TestFlushFacts facts = FactsWith({ReadAt(32, 1), ReadAt(36, 1), ReadAt(40, 1)}, 5.3);
  facts.resample = {8 * 3600.0, std::exp(-0.9 / 3)};
  const TestFlushReading read = ReadTestFlush(facts);
  ASSERT_TRUE(read.loss);
  EXPECT_NEAR(read.loss->per_day, 0.9, 1e-9);
  EXPECT_GT(read.loss->sd_per_day, 0.15);  // 0.05 of 0.74 is 7 %, over a third of a day
}

TEST(ReadTestFlush, StopsForPressureAndGoesOnForCloudyWater) {
  TestFlushFacts facts = FactsWith({ReadAt(32, 1), ReadAt(36, 1), ReadAt(40, 1)}, 5.3);
  facts.flush.readings.back().turbidity_ntu = 4;
  EXPECT_EQ(ReadTestFlush(facts).advice, FlushAdvice::kGoOn);
  facts.flush.readings.back().pressure = Pressure::PoundsPerSquareInch(15);
  facts.least_pressure_pa = Pressure::PoundsPerSquareInch(20).pascals();
  EXPECT_EQ(ReadTestFlush(facts).advice, FlushAdvice::kPressureTooLow);
}

TEST(ReadTestFlush, AFlowThatHasFallenIsTold) {
  TestFlushFacts facts = FactsWith({ReadAt(32, 1), ReadAt(36, 1), ReadAt(40, 1)}, 5.3);
  const auto told = [&] {
    for (const std::string& reason : ReadTestFlush(facts).reasons)
      if (reason.find("of the last test") != std::string::npos) return true;
    return false;
  };
  facts.last_tested = MeasuredFlow{1.1 * kFlow_m3_per_s, 0.035, MeasuredBy::kMeter};
  EXPECT_FALSE(told());
  facts.last_tested = MeasuredFlow{2 * kFlow_m3_per_s, 0.035, MeasuredBy::kMeter};
  EXPECT_TRUE(told());
}

TEST(ReadTestFlush, SaysNothingOfWhatIsNotKnown) {
  TestFlushFacts facts;
  facts.flush.readings = {ReadAt(5, 0.2), ReadAt(20, 0.7), ReadAt(25, 0.7), ReadAt(30, 0.7)};
  const TestFlushReading read = ReadTestFlush(facts);
  ASSERT_TRUE(read.plateau);
  EXPECT_EQ(read.arrives, PlateauVerdict::kMainNotKnown);
  EXPECT_EQ(read.volume, VolumeVerdict::kNotKnown);
  EXPECT_FALSE(read.breakthrough_m3);
  EXPECT_TRUE(read.profile.empty());
}

}  // namespace
}  // namespace lastreach
