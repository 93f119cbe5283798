#include "map/fill_in.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogr_spatialref.h>

#include <algorithm>
#include <random>

#include "map/hand_map.h"

namespace lastreach {
namespace {

using testing::Contains;
using testing::HasSubstr;

//   A --1-- B --2-- C --3-- D     Elm Street, and Oak Street off B
//           |
//           4
Network Street() {
  Network network = HandNetwork({{"A", 0, 0}, {"B", 100, 0}, {"C", 200, 0}, {"D", 300, 0}, {"E", 100, 400}},
                                {{"1", "A", "B", "Elm St", 0.2},
                                 {"2", "B", "C", "ELM STREET", 0},
                                 {"3", "C", "D", "Elm St", 0.2},
                                 {"4", "B", "E", "Oak St", 0.3}});
  return network;
}
Link& Named(Network& network, const std::string& id) { return network[LinkNamed(network, id)]; }

TEST(FillIn, TheSameStreetSaysTheDiameterBeforeALongerNeighbour) {
  Network network = Street();
  const auto summary = FillIn(network, {});
  ASSERT_TRUE(summary.ok());
  const auto& diameter = Named(network, "2").inner_diameter_m;
  ASSERT_TRUE(diameter);
  EXPECT_EQ(diameter->value, 0.2);
  EXPECT_EQ(diameter->origin.kind, OriginKind::kAssumed);
  EXPECT_EQ(diameter->origin.by, "filled in from neighbours");
  EXPECT_THAT(diameter->origin.note, HasSubstr("as 1, 3, the same street"));
  EXPECT_EQ(summary->diameter.filled_links, 1);
  EXPECT_NEAR(summary->diameter.filled_m, 100, 1e-3);
  EXPECT_NEAR(summary->diameter.length_m, 700, 1e-2);
  EXPECT_THAT(summary->notes, Contains("diameter: 0.1 km of 0.7 km of main filled in"));
}

TEST(FillIn, WithoutAStreetMostLengthOfTheNearestNeighboursDecides) {
  Network network = Street();
  for (Link& link : network.links) link.street.clear();
  ASSERT_TRUE(FillIn(network, {}).ok());
  EXPECT_EQ(Named(network, "2").inner_diameter_m->value, 0.3);  // 400 m against two of 100 m
}

//   A loop A B C D of wide mains, with two branches off it: 5 is known, 6 is not, and 7 goes on from 6.
Network LoopWithBranches() {
  return HandNetwork({{"A", 0, 0},
                      {"B", 200, 0},
                      {"C", 200, 200},
                      {"D", 0, 200},
                      {"E", 300, 0},
                      {"F", 200, 300},
                      {"G", 200, 400}},
                     {{"1", "A", "B", "", 0.3},
                      {"2", "B", "C", "", 0.3},
                      {"3", "C", "D", "", 0.3},
                      {"4", "D", "A", "", 0.3},
                      {"5", "B", "E", "", 0.15},
                      {"6", "C", "F", "Oak St", 0},
                      {"7", "F", "G", "", 0}});
}

// Common practice, no source: a dead end is rarely as wide as the main that feeds it.
TEST(FillIn, ABranchToAnEndAsksOtherBranchesAndNotTheMainItLeaves) {
  Network network = LoopWithBranches();
  ASSERT_TRUE(FillIn(network, {}).ok());
  EXPECT_EQ(Named(network, "6").inner_diameter_m->value, 0.15);
  EXPECT_EQ(Named(network, "6").inner_diameter_m->origin.note, "as 5, branches to ends like it");
  EXPECT_EQ(Named(network, "7").inner_diameter_m->value, 0.15);
  FillOptions options;
  options.rings = 1;
  network = LoopWithBranches();
  ASSERT_TRUE(FillIn(network, {}, options).ok());
  EXPECT_EQ(Named(network, "6").inner_diameter_m->value, 0.15);
  EXPECT_EQ(Named(network, "6").inner_diameter_m->origin.note, "the commonest of branches to ends");
}

TEST(FillIn, ABranchAsksItsOwnStreetFirstAndEverybodyIfNoBranchIsKnown) {
  Network network = LoopWithBranches();
  Named(network, "3").street = "Oak Street";
  ASSERT_TRUE(FillIn(network, {}).ok());
  EXPECT_EQ(Named(network, "6").inner_diameter_m->value, 0.3);
  network = LoopWithBranches();
  Named(network, "5").inner_diameter_m.reset();
  ASSERT_TRUE(FillIn(network, {}).ok());
  EXPECT_EQ(Named(network, "6").inner_diameter_m->value, 0.3);
}

TEST(FillIn, AMainOfALoopAsksAllItsNeighbours) {
  Network network = LoopWithBranches();
  for (const char* id : {"2", "3", "4"}) Named(network, id).inner_diameter_m.reset();
  Named(network, "1").inner_diameter_m.reset();
  ASSERT_TRUE(FillIn(network, {}).ok());
  EXPECT_EQ(Named(network, "2").inner_diameter_m->value, 0.15);
}

TEST(FillIn, FarNeighboursDoNotCountAndTheCommonestOfTheNetworkDoes) {
  Network network = Street();
  FillOptions options;
  options.rings = 0;
  ASSERT_TRUE(FillIn(network, {}, options).ok());
  EXPECT_EQ(Named(network, "2").inner_diameter_m->value, 0.3);
  EXPECT_EQ(Named(network, "2").inner_diameter_m->origin.note, "the commonest of the network");
  Network blank = Street();
  for (Link& link : blank.links) link.inner_diameter_m.reset();
  ASSERT_TRUE(FillIn(blank, {}).ok());
  EXPECT_EQ(blank.links[0].inner_diameter_m->value, 0.1524);  // 6 in
}

TEST(FillIn, OrderOfMainsChangesNothing) {
  std::mt19937 random(17);
  std::vector<HandNode> nodes;
  std::vector<HandMain> mains;
  const auto name = [](int i, int j) { return std::to_string(i) + "/" + std::to_string(j); };
  for (int i = 0; i < 8; ++i) {
    for (int j = 0; j < 8; ++j) {
      nodes.push_back({name(i, j), i * 100.0, j * 90.0});
      const double diameters[] = {0, 0, 0.1, 0.15, 0.2};
      if (i > 0)
        mains.push_back(
            {"h" + name(i, j), name(i - 1, j), name(i, j), "R" + name(j, 0), diameters[random() % 5]});
      if (j > 0) mains.push_back({"v" + name(i, j), name(i, j - 1), name(i, j), "", diameters[random() % 5]});
    }
  }
  Network first = HandNetwork(nodes, mains);
  std::shuffle(mains.begin(), mains.end(), random);
  Network second = HandNetwork(nodes, mains);
  ASSERT_TRUE(FillIn(first, {}).ok());
  ASSERT_TRUE(FillIn(second, {}).ok());
  for (const Link& link : first.links) {
    const Link& other = Named(second, link.id);
    ASSERT_TRUE(link.inner_diameter_m);
    EXPECT_EQ(link.inner_diameter_m, other.inner_diameter_m);
  }
}

TEST(FillIn, MaterialFollowsNeighboursOfLikeAge) {
  Network network = Street();
  Named(network, "1").material = "PVC";
  Named(network, "1").year_laid = 1995;
  Named(network, "3").material = "PVC";
  Named(network, "3").year_laid = 1990;
  Named(network, "4").material = "CAS";
  Named(network, "4").year_laid = 1931;
  Named(network, "2").material = "UNK";
  Named(network, "2").year_laid = 1935;
  const auto summary = FillIn(network, {});
  ASSERT_TRUE(summary.ok());
  EXPECT_EQ(Named(network, "2").material, "CAS");
  EXPECT_TRUE(Named(network, "2").material_assumed);
  EXPECT_FALSE(Named(network, "1").material_assumed);
  EXPECT_EQ(summary->material.filled_links, 1);
  Named(network, "2").material.clear();
  Named(network, "2").year_laid.reset();
  ASSERT_TRUE(FillIn(network, {}).ok());
  EXPECT_EQ(Named(network, "2").material, "PVC");  // no year: the same street
}

// Fair, Geyer & Okun, table 5.1, and cast iron at 40 years within 64 to 83 (engineeringtoolbox.com/d_798).
TEST(FillIn, RoughnessComesFromMaterialAndAge) {
  Network network = Street();
  Named(network, "1").material = "PVC";
  Named(network, "1").year_laid = 2000;
  Named(network, "3").material = "CAS";
  Named(network, "3").year_laid = 1980;
  Named(network, "4").roughness = Sourced<double>{111, {OriginKind::kMeasured, "test", {}, ""}};
  FillOptions options;
  options.reference_year = 2020;
  const auto summary = FillIn(network, {}, options);
  ASSERT_TRUE(summary.ok());
  EXPECT_EQ(Named(network, "1").roughness->value, 140);
  EXPECT_EQ(Named(network, "3").roughness->value, 73.5);
  EXPECT_EQ(Named(network, "4").roughness->value, 111);
  EXPECT_THAT(Named(network, "1").roughness->origin.note, HasSubstr("Fair, Geyer & Okun"));
  EXPECT_EQ(summary->roughness.filled_links, 3);
}

TEST(FillIn, RoughnessIsAHeightWithDarcyWeisbachAndMayGrowByChoice) {
  Network network = Street();
  network.options.head_loss = HeadLoss::kDarcyWeisbach;
  Named(network, "1").material = "CI";
  ASSERT_TRUE(FillIn(network, {}).ok());
  EXPECT_EQ(Named(network, "1").roughness->value, 2.6e-4);
  Network grown = Street();
  Named(grown, "1").material = "CI";
  Named(grown, "1").year_laid = 1970;
  FillOptions options;
  options.reference_year = 2020;
  options.growth_m_per_year = 1e-4;
  ASSERT_TRUE(FillIn(grown, {}, options).ok());
  EXPECT_NEAR(Named(grown, "1").roughness->value, 18.0 - 37.2 * std::log10((0.18e-3 + 50 * 1e-4) / 0.2),
              1e-9);
}

TEST(FillIn, ElevationsComeFromTheGroundAndSayFromWhich) {
  Network network = Street();
  network.nodes[0].elevation_m = Sourced<double>{1, {OriginKind::kMeasured, "", {}, ""}};
  OGRSpatialReference reference;
  reference.importFromEPSG(4326);
  char* wkt = nullptr;
  reference.exportToWkt(&wkt);
  ElevationGrid grid;
  grid.name = "dem";
  grid.crs_wkt = wkt;
  CPLFree(wkt);
  grid.width = grid.height = 2;
  grid.metres = {50, 50, 50, 50};
  const Position corner = Spot(-50, 250);
  const double degrees[6] = {corner.longitude_deg, 0.01, 0, corner.latitude_deg, 0, -0.01};
  std::copy_n(degrees, 6, grid.geo_transform);
  Drawing drawing;
  drawing.elevations.push_back(grid);
  const auto summary = FillIn(network, drawing);
  ASSERT_TRUE(summary.ok()) << summary.error().ToString();
  EXPECT_EQ(network.nodes[0].elevation_m->value, 1);
  EXPECT_EQ(network.nodes[1].elevation_m->value, 50);
  EXPECT_EQ(network.nodes[1].elevation_m->origin.kind, OriginKind::kEstimated);
  EXPECT_EQ(network.nodes[1].elevation_m->origin.note, "dem");
  EXPECT_FALSE(network.nodes[4].elevation_m);  // 400 m north, off the grid
  EXPECT_EQ(summary->elevations_filled, 3);
  EXPECT_EQ(summary->elevations_missing, 1);
}

}  // namespace
}  // namespace lastreach
