#include "evidence/likelihood.h"

#include <gtest/gtest.h>

#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

namespace lastreach {
namespace {

TEST(StudentResidual, HalfItsSquareIsTheNegativeLogLikelihood) {
  const boost::math::students_t student(4);
  for (const double e : {-9.0, -2.0, -0.3, 0.0, 0.7, 5.0}) {
    const PseudoResidual r = StudentResidual(0.5 + 0.05 * e, 0.5, 0.05, 4);
    const double expected = std::log(boost::math::pdf(student, 0.0) / boost::math::pdf(student, e));
    EXPECT_NEAR(r.value * r.value / 2, expected, 1e-12 + 1e-9 * expected) << e;
    EXPECT_EQ(r.value < 0, e < 0);
  }
}

// With many degrees of freedom Student's is the normal distribution.
TEST(CensoredResidual, IsTheChanceOfBeingBelow) {
  const boost::math::normal normal;
  for (const double u : {-2.0, -0.5, 0.0, 1.0, 3.0}) {
    const PseudoResidual r = CensoredResidual(0.1, 0.1 - 0.05 * u, 0.05, 1e7);
    EXPECT_NEAR(r.value * r.value / 2, -std::log(boost::math::cdf(normal, u)), 1e-6) << u;
  }
}

TEST(CensoredResidual, AMixedUpBottlePullsLittleHoweverFarOff) {
  const auto pull = [](double predicted) {
    const PseudoResidual r = CensoredResidual(0.1, predicted, 0.05, 4);
    return r.value * r.slope;
  };
  EXPECT_LT(pull(2), 0.3 * pull(0.4));
  EXPECT_GT(pull(2), 0);
  EXPECT_LT(CensoredResidual(0.1, 2, 0.05, 4).weight, 0.01);
}

TEST(PseudoResidual, SlopesAreThoseOfTheValue) {
  constexpr double kStep = 1e-6;
  for (const double predicted : {0.02, 0.1, 0.3, 0.31, 0.6, 0.9}) {
    const auto student = [](double p) { return StudentResidual(0.3, p, 0.05, 4); };
    const auto censored = [](double p) { return CensoredResidual(0.1, p, 0.05, 4); };
    const double by_student =
        (student(predicted + kStep).value - student(predicted - kStep).value) / (2 * kStep);
    EXPECT_NEAR(student(predicted).slope, by_student, 1e-4 * std::abs(by_student)) << predicted;
    const double by_censored =
        (censored(predicted + kStep).value - censored(predicted - kStep).value) / (2 * kStep);
    EXPECT_NEAR(censored(predicted).slope, by_censored, 1e-3 * std::abs(by_censored) + 1e-3) << predicted;
  }
}

// Fisher's information is the mean of the squared score, here by summing over what may be read.
TEST(PseudoResidual, InformationIsTheMeanSquareOfTheScore) {
  const boost::math::students_t student(4);
  double mean = 0;
  double told = 0;
  constexpr double kStep = 0.001;
  for (double e = -60; e < 60; e += kStep) {
    const PseudoResidual r = StudentResidual(0.5 + 0.05 * e, 0.5, 0.05, 4);
    const double density = boost::math::pdf(student, e) * kStep;
    mean += std::pow(r.value * r.slope, 2) * density;
    told += r.information * density;
  }
  EXPECT_NEAR(mean, 5.0 / 7 / (0.05 * 0.05), 0.01 * mean);
  EXPECT_LT(told, mean);        // the cap on weights errs to the careful side,
  EXPECT_GT(told, 0.8 * mean);  // and not by much
}

}  // namespace
}  // namespace lastreach
