// Dispersion in laminar flow against data/published/laminar_dispersion/ (computed, see SOURCE.md), to the
// last digit given.
#include <gtest/gtest.h>

#include "published_table.h"
#include "quality/dispersion.h"

namespace lastreach {
namespace {

void ExpectPrinted(double ours, const Printed& printed) {
  EXPECT_NEAR(ours, printed.value, printed.half_digit * 1.01);
}

TEST(LaminarDispersion, SharesOfTaylorsLimitAreThoseOfTheTable) {
  const std::vector<std::string_view> columns{"fourier", "exact", "lee", "exact_mean", "lee_mean"};
  for (const PublishedRow& row : ReadPublished("laminar_dispersion/share.csv", columns)) {
    const double fourier = row.at("fourier").value;
    SCOPED_TRACE(fourier);
    ExpectPrinted(ExactShareOfLimit(fourier), row.at("exact"));
    ExpectPrinted(LeeShareOfLimit(fourier), row.at("lee"));
    ExpectPrinted(ExactMeanShareOfLimit(fourier), row.at("exact_mean"));
    ExpectPrinted(LeeMeanShareOfLimit(fourier), row.at("lee_mean"));
  }
}

// Also by the sheared length that a branch with dispersion carries along.
TEST(LaminarDispersion, OfThreePipesIsThatOfTheTable) {
  constexpr double kDiffusivity = 1.2e-9;
  const std::vector<std::string_view> columns{"diameter_m", "velocity_m_per_s", "seconds",
                                              "dispersion_m2_per_s"};
  for (const PublishedRow& row : ReadPublished("laminar_dispersion/mains.csv", columns)) {
    const double radius = row.at("diameter_m").value / 2;
    const double velocity = row.at("velocity_m_per_s").value;
    const Printed rate = row.at("dispersion_m2_per_s");
    const double limit = TaylorArisDispersion_m2_per_s(radius, velocity, kDiffusivity);
    if (!row.contains("seconds")) {
      ExpectPrinted(limit, rate);
      continue;
    }
    const double seconds = row.at("seconds").value;
    ExpectPrinted((limit - kDiffusivity) * LeeShareOfLimit(kDiffusivity * seconds / (radius * radius)), rate);
    ExpectPrinted(velocity * ShearedLength_m(0, radius, velocity, kDiffusivity, seconds), rate);
  }
}

}  // namespace
}  // namespace lastreach
