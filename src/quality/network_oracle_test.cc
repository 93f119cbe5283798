#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "quality/cell_oracle.h"
#include "quality/flow_script.h"

namespace lastreach {
namespace {

// Where water comes to a node in the last moments of a period; elsewhere the oracle has nothing to say.
bool IsPassed(const RandomTown& random, std::size_t period, std::size_t node) {
  const Network& network = random.town.network;
  double in = 0;
  for (std::size_t l = 0; l < network.links.size(); ++l) {
    const double flow = random.flows[period][l];
    if (At(network.links[l].to) == node && flow > 0) in += flow;
    if (At(network.links[l].from) == node && flow < 0) in -= flow;
  }
  return in > 0 && network.nodes[node].kind != NodeKind::kTank;
}

struct Apart {
  double age_s = 0, chlorine_mg_per_l = 0, share = 0;  // the mean over nodes and periods
};

// Loops, flows that turn, water put in, both kinds of tanks, walls, links without volume: parcels stirred at
// each step must come to the same as their step is made shorter, and do so in proportion to it. Fronts the
// parcels have smeared are met now and then, so it is means that are compared.
TEST(NetworkTransport, IsWhatParcelsComeToAsTheirStepsShorten) {
  Apart apart[3];
  double count = 0;
  for (uint64_t seed = 1; seed <= 10; ++seed) {
    SCOPED_TRACE(seed);
    const RandomTown random = MakeRandomTown(seed, seed % 2 == 0);
    const NetworkQualityOptions options{.source = NodeIndex{0}, .tolerance = 0};
    const auto age = RunTown(random, options, Quantity::kAge);
    const auto chlorine = RunTown(random, options, Quantity::kChlorine);
    const auto share = RunTown(random, options, Quantity::kSourceShare);
    int i = 0;
    for (const double step_s : {720.0, 240.0, 80.0}) {
      const auto cells = TrackCells(random, NodeIndex{0}, step_s);
      for (std::size_t p = 0; p < cells.size(); ++p) {
        for (std::size_t n = 0; n < cells[p].size(); ++n) {
          if (!IsPassed(random, p, n)) continue;
          apart[i].age_s += std::abs(cells[p][n].age_s - age[p][n]);
          apart[i].chlorine_mg_per_l += std::abs(cells[p][n].chlorine_mg_per_l - chlorine[p][n]);
          apart[i].share += std::abs(cells[p][n].share - share[p][n]);
          if (i == 0) ++count;
        }
      }
      ++i;
    }
  }
  ASSERT_GT(count, 300);
  for (Apart& one : apart) {
    one.age_s /= count;
    one.chlorine_mg_per_l /= count;
    one.share /= count;
  }
  for (int i = 0; i < 2; ++i) {
    EXPECT_LT(apart[i + 1].age_s, 0.5 * apart[i].age_s);
    EXPECT_LT(apart[i + 1].chlorine_mg_per_l, 0.5 * apart[i].chlorine_mg_per_l);
    EXPECT_LT(apart[i + 1].share, 0.5 * apart[i].share);
  }
  EXPECT_LT(apart[2].age_s, 90);
  EXPECT_LT(apart[2].chlorine_mg_per_l, 6e-3);
  EXPECT_LT(apart[2].share, 4e-3);
}

}  // namespace
}  // namespace lastreach
