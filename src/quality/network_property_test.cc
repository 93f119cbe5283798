#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "quality/flow_script.h"

// Over random towns; each failure prints the seed of its case.
namespace lastreach {
namespace {

constexpr uint64_t kCases = 40;
constexpr uint64_t kCasesWithNothingLeftOut = 14;  // each takes some tenths of a second

template <typename Claim>
void ForEachTown(const Claim& claim, uint64_t cases = kCases) {
  for (uint64_t seed = 1; seed <= cases; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    claim(MakeRandomTown(seed, seed % 2 == 0), seed);
    if (testing::Test::HasFailure()) return;
  }
}

NetworkTransport Fresh(const RandomTown& random, const NetworkQualityOptions& options) {
  return std::move(*NetworkTransport::Make(random.town.network, options));
}

double MostApart(const std::vector<std::vector<double>>& a, const std::vector<std::vector<double>>& b) {
  double most = 0;
  for (std::size_t p = 0; p < a.size(); ++p) {
    for (std::size_t n = 0; n < a[p].size(); ++n) most = std::max(most, std::abs(a[p][n] - b[p][n]));
  }
  return most;
}

TEST(NetworkTransport, ClosesTheAccountOfDisinfectant) {
  ForEachTown([](const RandomTown& random, uint64_t seed) {
    const NetworkQualityOptions options{.tolerance = seed % 3 == 0 ? 0.0 : 0.02,
                                        .initial_chlorine_mg_per_l = seed % 5 == 0 ? 0.4 : 0.0};
    NetworkTransport transport = Fresh(random, options);
    RunTown(random, options, Quantity::kChlorine, &transport);
    const NetworkMassAccount account = transport.Account();
    EXPECT_GT(account.entered_g, 0);
    EXPECT_GT(account.decayed_in_links_g, 0);
    EXPECT_NEAR(account.imbalance_g(), 0, 1e-9 * (account.entered_g + account.held_at_start_g));
  });
}

// Where some links take nearly all, traces of e-14 to e-1000 meet and are joined.
TEST(NetworkTransport, ClosesTheAccountWhereHardlyAnythingIsLeft) {
  ForEachTown([](const RandomTown& random, uint64_t seed) {
    RandomTown losing = random;
    double bulk_per_day = static_cast<double>(seed);
    for (Link& link : losing.town.network.links) {
      link.bulk_per_day = bulk_per_day;
      bulk_per_day = bulk_per_day > 2000 ? 1 : 3 * bulk_per_day;
    }
    NetworkTransport transport = Fresh(losing, {});
    for (const std::vector<double>& nodes : RunTown(losing, {}, Quantity::kChlorine, &transport)) {
      for (const double residual : nodes) EXPECT_GE(residual, 0);  // and is a number
    }
    const NetworkMassAccount account = transport.Account();
    EXPECT_NEAR(account.imbalance_g(), 0, 1e-9 * account.entered_g);
    EXPECT_TRUE(std::isfinite(transport.worst_error(Quantity::kChlorine)));
  });
}

// Water is a mix of what entered: ages between 0 and the time since the start, residuals between 0 and the
// highest that entered.
TEST(NetworkTransport, StaysBetweenWhatEntered) {
  ForEachTown([](const RandomTown& random, uint64_t) {
    double highest = 0;
    for (const Node& node : random.town.network.nodes) {
      highest = std::max(highest, node.chlorine_mg_per_l.value_or(0));
    }
    NetworkTransport transport = Fresh(random, {});
    for (const std::vector<double>& nodes : RunTown(random, {}, Quantity::kChlorine)) {
      for (const double residual : nodes) {
        EXPECT_GE(residual, 0);
        EXPECT_LE(residual, highest * 1.02);
      }
    }
    double now_s = 0;
    const auto ages = RunTown(random, {}, Quantity::kAge);
    for (std::size_t p = 0; p < ages.size(); ++p) {
      now_s += random.seconds[p];
      for (const double age_s : ages[p]) {
        EXPECT_GE(age_s, -0.02 * now_s - 60);
        EXPECT_LE(age_s, now_s * 1.02 + 60);
      }
    }
  });
}

// All water entered somewhere or was there at the start: the shares of all nodes where it enters, and of what
// was there (counted with the first), make one. Tanks are left out: what leaves a tank tracked is all its
// own.
TEST(NetworkTransport, SharesOfAllSourcesMakeOne) {
  for (uint64_t seed = 1; seed <= 40; ++seed) {
    SCOPED_TRACE(seed);
    const RandomTown random = MakeRandomTown(seed, false);
    std::vector<std::vector<double>> sum;
    for (uint32_t n = 0; n < random.town.network.nodes.size(); ++n) {
      const NetworkQualityOptions options{.age = false,
                                          .chlorine = false,
                                          .source = NodeIndex{n},
                                          .tolerance = 0,
                                          .initial_share = n == 0 ? 1.0 : 0.0};
      const auto read = RunTown(random, options, Quantity::kSourceShare);
      if (sum.empty()) {
        sum = read;
        continue;
      }
      for (std::size_t p = 0; p < sum.size(); ++p) {
        for (std::size_t m = 0; m < sum[p].size(); ++m) sum[p][m] += read[p][m];
      }
    }
    for (const auto& nodes : sum) {
      for (const double all : nodes) ASSERT_NEAR(all, 1, 1e-8);
    }
  }
}

// A period cut in parts is the same period. Where streams mix the parts put other lines through ln c.
TEST(NetworkTransport, DoesNotMindWherePeriodsAreCut) {
  ForEachTown(
      [](const RandomTown& random, uint64_t) {
        RandomTown cut = random;
        cut.seconds.clear();
        cut.flows.clear();
        for (std::size_t p = 0; p < random.seconds.size(); ++p) {
          for (const double share : {0.3, 0.6, 0.1}) {
            cut.seconds.push_back(share * random.seconds[p]);
            cut.flows.push_back(random.flows[p]);
          }
        }
        for (const Quantity quantity : {Quantity::kAge, Quantity::kChlorine}) {
          const auto whole = RunTown(random, {.tolerance = 0}, quantity);
          const auto parts = RunTown(cut, {.tolerance = 0}, quantity);
          for (std::size_t p = 0; p < whole.size(); ++p) {
            for (std::size_t n = 0; n < whole[p].size(); ++n) {
              ASSERT_NEAR(whole[p][n], parts[3 * p + 2][n], quantity == Quantity::kAge ? 1e-1 : 1e-6);
            }
          }
        }
      },
      kCasesWithNothingLeftOut);
}

// A link drawn the other way round with its flow reversed, and nodes in another order, are the same network.
TEST(NetworkTransport, DoesNotMindNumbersAndTheWayLinksAreDrawn) {
  ForEachTown(
      [](const RandomTown& random, uint64_t) {
        RandomTown turned = random;
        Network& network = turned.town.network;
        const auto last = static_cast<uint32_t>(network.nodes.size() - 1);
        std::reverse(network.nodes.begin(), network.nodes.end());
        for (std::size_t l = 0; l < network.links.size(); ++l) {
          Link& link = network.links[l];
          link.from = NodeIndex{last - static_cast<uint32_t>(At(link.from))};
          link.to = NodeIndex{last - static_cast<uint32_t>(At(link.to))};
          if (l % 2 == 0) std::swap(link.from, link.to);
        }
        std::reverse(network.links.begin(), network.links.end());
        for (auto& [tank, volume_m3] : turned.tanks_m3)
          tank = NodeIndex{last - static_cast<uint32_t>(At(tank))};
        for (std::vector<double>& flow : turned.flows) {
          for (std::size_t l = 0; l < flow.size(); l += 2) flow[l] = -flow[l];
          std::reverse(flow.begin(), flow.end());
        }
        for (const Quantity quantity : {Quantity::kAge, Quantity::kChlorine}) {
          auto mirrored = RunTown(turned, {.tolerance = 0}, quantity);
          for (std::vector<double>& nodes : mirrored) std::reverse(nodes.begin(), nodes.end());
          EXPECT_LT(MostApart(RunTown(random, {.tolerance = 0}, quantity), mirrored),
                    quantity == Quantity::kAge ? 1e-1 : 1e-6);
        }
      },
      kCasesWithNothingLeftOut);
}

// Against the answer that leaves nothing out.
TEST(NetworkTransport, IsWithinItsStatedErrorAndComesNearerWithTheTolerance) {
  double sum[3] = {};
  ForEachTown(
      [&](const RandomTown& random, uint64_t) {
        for (const Quantity quantity : {Quantity::kAge, Quantity::kChlorine}) {
          const auto exact = RunTown(random, {.tolerance = 0}, quantity);
          int i = 0;
          for (const double tolerance : {0.05, 0.01, 0.002}) {
            NetworkTransport transport = Fresh(random, {});
            const auto read = RunTown(random, {.tolerance = tolerance}, quantity, &transport);
            const double bound = transport.worst_error(quantity);
            double total = 0;
            for (std::size_t p = 0; p < read.size(); ++p) {
              for (std::size_t n = 0; n < read[p].size(); ++n) {
                const double apart = std::abs(read[p][n] - exact[p][n]);
                const double allowed = quantity == Quantity::kAge ? bound + 0.1 : bound * read[p][n] + 2e-6;
                ASSERT_LE(apart, allowed) << "period " << p << " node " << n;
                total += apart;
              }
            }
            if (quantity == Quantity::kAge) sum[i] += total;
            ++i;
          }
        }
      },
      kCasesWithNothingLeftOut);
  EXPECT_LT(sum[1], 0.4 * sum[0]);
  EXPECT_LT(sum[2], 0.4 * sum[1]);
}

}  // namespace
}  // namespace lastreach
