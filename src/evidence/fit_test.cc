#include "evidence/fit.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "core/stated_spread.h"
#include "evidence/fit_posterior.h"
#include "evidence/test_fits.h"

namespace lastreach {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

FitOptions Options() {
  FitOptions options;
  options.today = FitDay(20);
  return options;
}

FitFacts OnePoint() {
  FitFacts facts;
  facts.points = {MadeUpPoint("A")};
  return facts;
}

const FittedNumber& NumberOf(const ZoneFit& fit, FittedKind kind) {
  for (const FittedNumber& number : fit.numbers)
    if (number.kind == kind) return number;
  ADD_FAILURE() << "no such number";
  return fit.numbers.front();
}

// Noise like that of the likelihood: Student's t with 4 degrees of freedom.
std::vector<double> StudentNoise(std::size_t count, uint64_t seed) {
  const std::vector<double> normals = Normals(5 * count, seed);
  std::vector<double> noise(count);
  for (std::size_t i = 0; i < count; ++i) {
    double chi_square = 0;
    for (std::size_t k = 1; k <= 4; ++k) chi_square += normals[5 * i + k] * normals[5 * i + k];
    noise[i] = normals[5 * i] / std::sqrt(chi_square / 4);
  }
  return noise;
}

// The truth, drawn as planning believes it, lies within 1.2816 stated standard deviations in 80 % of fits;
// three standard deviations of the binomial to either side, and a little more where Laplace's normal is wide.
TEST(FitZone, StatesSpreadsThatAreTrue) {
  constexpr int kCases = 220;
  FitFacts facts = OnePoint();
  AddGrab(facts.points[0], 0, 13 * 60 + 50, 0.5);
  AddGrab(facts.points[0], 3, 8 * 60, 0.5);
  AddFlush(facts.points[0], 6, {1, 4, 8, 12, 16, 20, 24, 28});
  FitOptions options = Options();
  options.most_taps = 2;
  const FitModel shape(facts, options);
  std::vector<int> within(shape.unknowns().size(), 0);
  for (uint64_t seed = 1; seed <= kCases; ++seed) {
    const std::vector<double> truth = Normals(within.size(), seed);
    Plant(facts, options, truth, StudentNoise(shape.readings(), 1000 + seed));
    const ZoneFit fit = FitZone(facts, options);
    for (std::size_t u = 0; u < within.size(); ++u) {
      const FittedNumber& number = fit.numbers[u];
      const double off = std::log(number.value / number.before) - number.before_log_sd * truth[u];
      if (std::abs(off) <= 1.2816 * number.log_sd) ++within[u];
    }
  }
  const double sd = std::sqrt(kCases * 0.8 * 0.2);
  for (std::size_t u = 0; u < within.size(); ++u) {
    EXPECT_GE(within[u], kCases * 0.8 - 3 * sd) << NameOf(shape.unknowns()[u].number);
    EXPECT_LE(within[u], kCases * 0.8 + 4 * sd) << NameOf(shape.unknowns()[u].number);
  }
}

TEST(FitZone, ManyGoodReadingsBringBackWhatWasPlanted) {
  FitFacts facts;
  facts.points = {MadeUpPoint("A"), MadeUpPoint("B"), MadeUpPoint("C")};
  for (FitPoint& point : facts.points) {
    for (int day = 0; day < 6; ++day) AddGrab(point, day, 60 * (6 + 2 * day), 0.5);
    AddFlush(point, 8, {1, 3, 6, 9, 12, 15, 18, 21, 24, 27});
  }
  FitOptions options = Options();
  options.kit_mg_per_l = 0.01;
  options.model_share = 0.005;
  options.main_swing = 0.01;
  const FitModel shape(facts, options);
  std::vector<double> truth(shape.unknowns().size(), 0);
  for (std::size_t u = 0; u < truth.size(); ++u) truth[u] = u % 2 == 0 ? 0.8 : -0.8;
  Plant(facts, options, truth, std::vector<double>(shape.readings(), 0));
  const ZoneFit fit = FitZone(facts, options);
  EXPECT_TRUE(fit.converged);
  EXPECT_LT(fit.misfit, 0.2);
  for (std::size_t u = 0; u < truth.size(); ++u) {
    const FittedNumber& number = fit.numbers[u];
    if (number.kind == FittedKind::kMainThatDay) continue;
    EXPECT_NEAR(std::log(number.value / number.before), number.before_log_sd * truth[u],
                2.5 * number.log_sd + 0.01)
        << NameOf(number);
  }
}

TEST(FitZone, OneBadReadingPullsLittle) {
  FitFacts facts = OnePoint();
  for (int day = 0; day < 5; ++day) AddGrab(facts.points[0], day, 13 * 60, 0.5);
  AddFlush(facts.points[0], 8, {1, 5, 10, 15, 20, 25});
  const FitOptions options = Options();
  const FitModel shape(facts, options);
  Plant(facts, options, std::vector<double>(shape.unknowns().size(), 0.5),
        std::vector<double>(shape.readings(), 0));
  const ZoneFit good = FitZone(facts, options);
  facts.points[0].samples[2].residual = Concentration::MilligramsPerLitre(3.5);
  const ZoneFit bad = FitZone(facts, options);
  const FittedNumber& before = NumberOf(good, FittedKind::kBulk);
  EXPECT_NEAR(std::log(NumberOf(bad, FittedKind::kBulk).value / before.value), 0, 0.5 * before.log_sd);
  EXPECT_LT(bad.readings[2].weight, 0.02);
  EXPECT_GT(bad.readings[0].weight, 0.5);
}

TEST(FitZone, BelowTheLimitIsAllThatIsKnownOfNotDetected) {
  FitFacts facts = OnePoint();
  for (int day = 0; day < 4; ++day) AddGrab(facts.points[0], day, 13 * 60, 0.1);
  for (Sample& sample : facts.points[0].samples) sample.below_detection = true;
  const ZoneFit fit = FitZone(facts, Options());
  facts.points[0].samples.clear();
  for (int day = 0; day < 4; ++day) AddGrab(facts.points[0], day, 13 * 60, 0.0);
  const ZoneFit zero = FitZone(facts, Options());
  const FittedNumber& bulk = NumberOf(fit, FittedKind::kBulk);
  EXPECT_GT(bulk.value, bulk.before);  // so little was left that more must be lost than was thought
  EXPECT_LT(bulk.value, NumberOf(zero, FittedKind::kBulk).value);
  for (const FittedReading& reading : fit.readings) EXPECT_LT(reading.predicted_mg_per_l, 0.45);
}

// Where nothing runs, a grab gives the product of loss and age.
TEST(FitZone, GrabsCannotTellLossFromAge) {
  FitFacts facts = OnePoint();
  facts.points[0].settings[0].settings.on = false;
  facts.points[0].facts.supply.bulk_per_day_at_20c->value = 0.3;
  for (int day = 0; day < 12; ++day) AddGrab(facts.points[0], day, 10 * 60, 0.5);
  FitOptions options = Options();
  const FitModel shape(facts, options);
  Plant(facts, options, std::vector<double>(shape.unknowns().size(), 0),
        std::vector<double>(shape.readings(), 0));
  const ZoneFit fit = FitZone(facts, options);
  EXPECT_THAT(fit.cannot_tell, Contains(HasSubstr("cannot tell the loss in the bulk from ")));
  EXPECT_GT(NumberOf(fit, FittedKind::kBulk).log_sd, 0.4 * NumberOf(fit, FittedKind::kBulk).before_log_sd);
}

// A timed flush says more of what an end holds than grabs, and a sample some hours
// after it more again.
TEST(FitZone, AFlushAndAReSampleSayMoreThanGrabs) {
  const auto sd = [](int grabs, bool flush, bool resample) {
    FitFacts facts = OnePoint();
    FitPoint& point = facts.points[0];
    point.settings[0].settings.on = false;  // nothing runs but the flush
    for (int day = 0; day < grabs; ++day) AddGrab(point, day, 12 * 60, 0.5);
    if (flush) AddFlush(point, 8, {1, 4, 8, 12, 16, 20, 24, 28});
    if (resample) {
      AddGrab(point, 8, 22 * 60, 0.5);
    }
    FitOptions options = Options();
    const FitModel shape(facts, options);
    const std::vector<double> middle(shape.unknowns().size(), 0);
    return PosteriorOf(shape, middle, options.nu).Sd(0);
  };
  const double by_grabs = sd(5, false, false);
  const double by_flush = sd(1, true, false);
  const double by_both = sd(1, true, true);
  EXPECT_LT(by_flush, by_grabs);
  EXPECT_LT(by_both, by_flush);
}

TEST(FitZone, TheSampleItAsksForTellsWhatItSays) {
  FitFacts facts = OnePoint();
  AddGrab(facts.points[0], 3, 9 * 60, 0.7);
  AddGrab(facts.points[0], 5, 9 * 60, 0.7);
  const ZoneFit before = FitZone(facts, Options());
  ASSERT_TRUE(before.worth);
  EXPECT_LT(before.worth->sd_then_mg_per_l, before.worth->sd_now_mg_per_l);
  ASSERT_EQ(before.ends.size(), 1U);
  EXPECT_LT(before.ends[0].sd_mg_per_l, before.ends[0].sd_before_mg_per_l);
}

TEST(FitZone, AnEarlierFitDoesNotCountAsAPrior) {
  FitFacts facts = OnePoint();
  for (int day = 0; day < 4; ++day) AddGrab(facts.points[0], day, 13 * 60, 0.5);
  auto& bulk = facts.points[0].facts.supply.bulk_per_day_at_20c;
  bulk->origin = {OriginKind::kEstimated, "fit", {}, LogSdNote(0.05)};
  EXPECT_GT(NumberOf(FitZone(facts, Options()), FittedKind::kBulk).before_log_sd, 0.3);
}

TEST(FitZone, SaysWhatItLeftOut) {
  FitFacts facts = OnePoint();
  AddGrab(facts.points[0], 1, 600, 0.5);
  facts.points[0].samples[0].analyte = Analyte::kTotalChlorine;
  AddGrab(facts.points[0], 90, 600, 0.5);
  const ZoneFit fit = FitZone(facts, Options());
  EXPECT_TRUE(fit.numbers.empty());
  EXPECT_THAT(fit.left_out, Contains(HasSubstr("total chlorine")));
  EXPECT_THAT(fit.left_out, Contains(HasSubstr("in the future")));
}

}  // namespace
}  // namespace lastreach
