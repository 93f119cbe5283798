// Month-end arithmetic against data/published/ (each folder's SOURCE.md says what is published and what is
// computed), to the last digit given.
#include <gtest/gtest.h>

#include <limits>

#include "core/quantity.h"
#include "month/dechlorination.h"
#include "month/detection.h"
#include "month/running_average.h"
#include "month/samples_needed.h"
#include "published_table.h"

namespace lastreach {
namespace {

using std::chrono::month;
using std::chrono::year;

TEST(Cfr141, UndetectedResidualsAreCountedByTheFormula) {
  for (const PublishedRow& row :
       ReadPublished("cfr_141/undetected.csv", {"a", "b", "c", "d", "e", "percent"})) {
    const auto count = [&](const char* letter) { return static_cast<int>(row.at(letter).value); };
    const DetectionCounts counts{count("a"), count("b"), count("c"), count("d"), count("e")};
    const double percent = UndetectedPercent(counts);
    EXPECT_NEAR(percent, row.at("percent").value, row.at("percent").half_digit * 1e-6);
    // Exactly 5 % still passes; more must be in two months running.
    EXPECT_EQ(IsOverInBoth(percent, 100), row.at("percent").value > 5);
    EXPECT_FALSE(IsOverInBoth(percent, 5));
    EXPECT_FALSE(IsOverInBoth(percent, std::numeric_limits<double>::quiet_NaN()));
  }
}

TEST(Cfr141, LocationalAverageAndEvaluationLevelFollowTheQuarters) {
  for (const PublishedRow& row :
       ReadPublished("cfr_141/quarters.csv",
                     {"q1", "q2", "q3", "q4", "evaluation_level_at_q3", "locational_average"})) {
    std::vector<DatedValue> samples;
    unsigned in_month = 2;
    for (const char* quarter : {"q1", "q2", "q3", "q4"}) {
      // Two samples a quarter that average to it, in different months of it.
      samples.push_back({year(2025) / month(in_month) / 3, row.at(quarter).value - 0.01});
      samples.push_back({year(2025) / month(in_month + 1) / 9, row.at(quarter).value + 0.01});
      in_month += 3;
    }
    const double most = MostAverage_mg_per_l(Byproduct::kTotalTrihalomethanes);
    const auto at_third = FourQuarters(samples, year(2025) / 9, most);
    ASSERT_TRUE(at_third.evaluation_level_mg_per_l);
    EXPECT_NEAR(*at_third.evaluation_level_mg_per_l, row.at("evaluation_level_at_q3").value, 1e-12);
    EXPECT_GT(*at_third.evaluation_level_mg_per_l, most);
    EXPECT_FALSE(at_third.over_already);
    const auto at_fourth = FourQuarters(samples, year(2025) / 10, most);
    ASSERT_TRUE(at_fourth.mean);
    EXPECT_EQ(at_fourth.mean->parts, 4);
    EXPECT_NEAR(at_fourth.mean->mg_per_l, row.at("locational_average").value, 1e-12);
    EXPECT_LE(at_fourth.mean->mg_per_l, most);
  }
}

TEST(Cfr141, SamplesNeededFollowThePopulation) {
  for (const PublishedRow& row :
       ReadPublished("cfr_141/samples_a_month.csv", {"population_from", "population_to", "samples"})) {
    const auto samples = static_cast<int>(row.at("samples").value);
    EXPECT_EQ(SamplesNeeded(static_cast<int64_t>(row.at("population_from").value)), samples);
    if (row.contains("population_to")) {
      EXPECT_EQ(SamplesNeeded(static_cast<int64_t>(row.at("population_to").value)), samples);
    }
  }
}

TEST(Dechlorination, DosesAreThoseOfTheReactions) {
  const auto rows =
      ReadPublished("dechlorination/agents.csv",
                    {"molar_mass_g", "mol_per_mol_cl2", "stoichiometric_mg_per_mg", "field_mg_per_mg"});
  const auto agents = DechlorinationAgents();
  ASSERT_EQ(rows.size(), agents.size());
  for (size_t i = 0; i < rows.size(); ++i) {
    EXPECT_NEAR(agents[i].molar_mass_g, rows[i].at("molar_mass_g").value, 1e-9) << agents[i].name;
    const Printed dose = rows[i].at("stoichiometric_mg_per_mg");
    EXPECT_NEAR(StoichiometricDose_mg_per_mg(agents[i]), dose.value, dose.half_digit * 1.01)
        << agents[i].name;
    // Field doses are the reaction's plus about a tenth at most.
    if (!rows[i].contains("field_mg_per_mg")) continue;
    EXPECT_NEAR(rows[i].at("field_mg_per_mg").value / StoichiometricDose_mg_per_mg(agents[i]), 1.05, 0.06);
  }
}

TEST(Dechlorination, AnHourOfDischargeTakesSoMuch) {
  for (const PublishedRow& row : ReadPublished(
           "dechlorination/discharge.csv",
           {"flow_gal_per_min", "residual_mg_per_l", "chlorine_kg_per_h", "sodium_sulfite_kg_per_h"})) {
    const Volume hour = Flow::GallonsPerMinute(row.at("flow_gal_per_min").value) * Duration::Hours(1);
    const double chlorine_kg = ChlorineMass_kg(hour.cubic_metres(), row.at("residual_mg_per_l").value);
    const Printed chlorine = row.at("chlorine_kg_per_h");
    const Printed sulfite = row.at("sodium_sulfite_kg_per_h");
    EXPECT_NEAR(chlorine_kg, chlorine.value, chlorine.half_digit * 1.01);
    EXPECT_NEAR(chlorine_kg * StoichiometricDose_mg_per_mg(*FindAgent("sodium sulphite tablets")),
                sulfite.value, sulfite.half_digit * 1.01);
  }
}

TEST(WaterBalance, OneFlushIsItsFlowTimesItsTime) {
  for (const PublishedRow& row :
       ReadPublished("water_balance/event.csv", {"flow_gal_per_min", "minutes", "volume_gal", "volume_m3"})) {
    const Volume event =
        Flow::GallonsPerMinute(row.at("flow_gal_per_min").value) * Duration::Minutes(row.at("minutes").value);
    EXPECT_NEAR(event.gallons(), row.at("volume_gal").value, 1e-6);
    EXPECT_NEAR(event.cubic_metres(), row.at("volume_m3").value, row.at("volume_m3").half_digit * 1.01);
  }
}

}  // namespace
}  // namespace lastreach
