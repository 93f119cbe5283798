// Household pulses against data/published/zhang_2023/: the law's numbers as published, its moments, and a
// sample of households that has them.
#include <gtest/gtest.h>

#include <cmath>

#include "core/quantity.h"
#include "network/csv_table.h"
#include "published_table.h"
#include "quality/household_pulses.h"

namespace lastreach {
namespace {

std::map<std::string, Printed> Household() {
  static constexpr std::string_view kColumns[] = {"quantity", "value", "unit"};
  const auto table = CsvTable::Read("data/published/zhang_2023/household.csv", kColumns, {});
  EXPECT_TRUE(table.ok());
  std::map<std::string, Printed> rows;
  for (std::size_t i = 0; table.ok() && i < table->size(); ++i) {
    rows[table->Cell(i, "quantity")] = ReadPrinted(table->Cell(i, "value")).value();
  }
  return rows;
}

TEST(Zhang2023, TheDefaultLawIsThePublishedHousehold) {
  const auto household = Household();
  const PulseLaw law;
  EXPECT_EQ(law.per_household_per_day, household.at("pulses per day").value);
  EXPECT_NEAR(law.intensity_mean_m3_per_s * kSecondsPerHour, household.at("intensity mean").value, 1e-15);
  EXPECT_NEAR(law.intensity_deviation_m3_per_s * kSecondsPerHour, household.at("intensity deviation").value,
              1e-15);
  EXPECT_EQ(law.duration_mean_s, household.at("duration mean").value);
  EXPECT_EQ(law.duration_deviation_s, household.at("duration deviation").value);
}

TEST(Zhang2023, ItsMomentsAreThoseOfThePoissonPulses) {
  const auto household = Household();
  const PulseMoments moments = HouseholdMoments({});
  const auto expect = [&](const char* name, double ours) {
    EXPECT_NEAR(ours, household.at(name).value, household.at(name).half_digit * 1.01) << name;
  };
  expect("mean flow", moments.mean_m3_per_s * 1000 * kSecondsPerDay);
  expect("variance of flow", moments.variance_m6_per_s2 * 1e6);
  expect("share of time without flow", moments.no_flow_share);
}

// Water drawn by 300 households in 30 days: lambda E[D] E[I] on average; the variance of what one draws in a
// time T is lambda T E[D^2] E[I^2].
TEST(Zhang2023, ManyHouseholdsDrawTheirMean) {
  constexpr int kHouseholds = 300;
  const PulseLaw law;
  const double mean = HouseholdMoments(law).mean_m3_per_s;
  const std::vector<double> time_s{0, 30 * kSecondsPerDay};
  const std::vector<double> factor{1};
  double drawn_m3 = 0;
  for (uint64_t k = 0; k < kHouseholds; ++k) {
    for (const Pulse& pulse : DrawPulses(law, mean, time_s, factor, "published", k)) {
      drawn_m3 += pulse.flow_m3_per_s * (pulse.end_s - pulse.begin_s);
    }
  }
  const double squares = (40.0 * 40 + 55.0 * 55) * (0.346 * 0.346 + 0.292 * 0.292) / 3600 / 3600;
  const double error = std::sqrt(91.0 * 30 * squares * kHouseholds);
  EXPECT_LT(std::abs(drawn_m3 - mean * 30 * kSecondsPerDay * kHouseholds), 4.5 * error);
  EXPECT_LT(error, 0.005 * drawn_m3);
}

}  // namespace
}  // namespace lastreach
