#include "network/roughness.h"

#include <gtest/gtest.h>

namespace lastreach {
namespace {

TEST(Roughness, KnowsTheWordsOfMaps) {
  using enum PipeMaterial;
  const std::pair<const char*, PipeMaterial> kWords[] = {{"DIP", kLinedIron},
                                                         {"di", kLinedIron},
                                                         {"Ductile Iron", kLinedIron},
                                                         {"CAS", kCastIron},
                                                         {"CI", kCastIron},
                                                         {"C.I.", kCastIron},
                                                         {"cast iron", kCastIron},
                                                         {"Cast Iron - Cement Lined", kLinedIron},
                                                         {"CI unlined", kCastIron},
                                                         {"PVC", kPlastic},
                                                         {"PVC C900", kPlastic},
                                                         {"HDPE", kPlastic},
                                                         {"PE", kPlastic},
                                                         {"AC", kAsbestosCement},
                                                         {"Asbestos Cement", kAsbestosCement},
                                                         {"Transite", kAsbestosCement},
                                                         {"COP", kCopper},
                                                         {"GALV", kGalvanized},
                                                         {"Galvanized steel", kGalvanized},
                                                         {"STL", kSteel},
                                                         {"RCP", kConcrete},
                                                         {"UNK", kUnknown},
                                                         {"", kUnknown},
                                                         {"bamboo", kUnknown}};
  for (const auto& [word, material] : kWords) EXPECT_EQ(ReadMaterial(word), material) << word;
}

TEST(Roughness, TellsNothingSaidFromAWordItDoesNotKnow) {
  for (const char* word : {"", " ", "UNK", "Unknown", "N/A", "?", "none"})
    EXPECT_TRUE(IsNoMaterial(word)) << word;
  for (const char* word : {"bamboo", "DIP", "wood stave"}) EXPECT_FALSE(IsNoMaterial(word)) << word;
}

// Fair, Geyer & Okun, Water and Wastewater Engineering, 3rd ed. 2010, table 5.1 (p. 169): new / age not
// known.
TEST(Roughness, IsThatOfFairGeyerAndOkunsTable) {
  using enum PipeMaterial;
  const struct {
    PipeMaterial material;
    double new_c, any_age_c;
  } kRows[] = {{kCastIron, 130, 100}, {kLinedIron, 130, 130},      {kSteel, 140, 100},
               {kConcrete, 140, 130}, {kAsbestosCement, 140, 130}, {kPlastic, 140, 130}};
  for (const auto& row : kRows) {
    EXPECT_EQ(HazenWilliamsC(row.material, 0).value, row.new_c) << ToText(row.material);
    EXPECT_EQ(HazenWilliamsC(row.material, {}).value, row.any_age_c) << ToText(row.material);
    EXPECT_NE(HazenWilliamsC(row.material, {}).source, "");
  }
}

// Ranges at engineeringtoolbox.com/d_798; Lindeburg 1986 has 110 at 10 and 90 at 20 years.
TEST(Roughness, OfCastIronFallsWithinThePublishedRanges) {
  const double kRanges[][3] = {{10, 107, 113}, {20, 89, 100}, {30, 75, 90}, {40, 64, 83}};
  for (const auto& [age, low, high] : kRanges) {
    const double c = HazenWilliamsC(PipeMaterial::kCastIron, age).value;
    EXPECT_GE(c, low);
    EXPECT_LE(c, high);
  }
  double last = 131;
  for (double age = 0; age < 150; age += 0.5) {
    const double c = HazenWilliamsC(PipeMaterial::kCastIron, age).value;
    EXPECT_LE(c, last);
    EXPECT_LE(last - c, age == 0 ? 1 : 1.01);  // no jump: at most two units a year
    last = c;
  }
  EXPECT_EQ(last, 40);
}

// lmnoeng.com/surface.htm.
TEST(Roughness, HeightsAreThoseOfTheTable) {
  EXPECT_EQ(RoughnessHeight_m(PipeMaterial::kPlastic).value, 0);
  EXPECT_EQ(RoughnessHeight_m(PipeMaterial::kSteel).value, 4.5e-5);
  EXPECT_EQ(RoughnessHeight_m(PipeMaterial::kCastIron).value, 2.6e-4);
  EXPECT_EQ(RoughnessHeight_m(PipeMaterial::kGalvanized).value, 1.5e-4);
}

// Law from memory; the slope follows from it: ten times the height costs 37.2.
TEST(Roughness, GrowthCostsTheSameForEveryTenfoldHeight) {
  const double c = CByGrowth(0.3, 0, 50);
  EXPECT_NEAR(c, 18 + 37.2 * std::log10(0.3 / 0.00018), 1e-12);
  EXPECT_NEAR(CByGrowth(0.3, 9 * 0.00018 / 50, 50), c - 37.2, 1e-9);
  EXPECT_GT(CByGrowth(0.6, 0.0003, 30), CByGrowth(0.15, 0.0003, 30));
}

}  // namespace
}  // namespace lastreach
