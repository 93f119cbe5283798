#include "map/serve.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>
#include <random>
#include <set>

#include "map/hand_map.h"
#include "map/map_index.h"
#include "map/street_name.h"

namespace lastreach {
namespace {

using testing::HasSubstr;
using testing::SizeIs;

//   Elm Street along y = 0, Oak Street along x = 0; a transmission main along y = -30.
Network Corner() {
  return HandNetwork(
      {{"A", 0, 0}, {"B", 300, 0}, {"C", 0, 300}, {"D", -300, -30}, {"E", 300, -30}},
      {{"elm", "A", "B", "ELM STREET"}, {"oak", "A", "C", "Oak St"}, {"big", "D", "E", "Elm Street", 0.6}});
}

DrawnService Service(double x_m, double y_m, const std::string& street = "") {
  DrawnService service;
  service.at = Spot(x_m, y_m);
  service.street = street;
  static int made = 0;
  service.key = {"services", std::to_string(++made)};
  return service;
}

Drawing Of(std::vector<DrawnService> services) {
  Drawing drawing;
  drawing.services = std::move(services);
  return drawing;
}

double Sum(const Network& network) {
  double sum = 0;
  for (const Connection& connection : network.connections) sum += connection.demand_m3_per_s.value;
  return sum;
}
double AtNodes(const Network& network) {
  double sum = 0;
  for (const Node& node : network.nodes) sum += node.demand_m3_per_s;
  return sum;
}

std::string LinkOf(const Network& network, size_t connection) {
  return network[network.connections.at(connection).link].id;
}

TEST(Serve, TheNearestMainServes) {
  Network network = Corner();
  const auto summary = ServeCustomers(network, Of({Service(100, 20)}));
  ASSERT_TRUE(summary.ok());
  ASSERT_THAT(network.connections, SizeIs(1));
  EXPECT_EQ(LinkOf(network, 0), "elm");
  EXPECT_NEAR(network.connections[0].along_m, 100, 1e-2);
  EXPECT_EQ(network.connections[0].demand_m3_per_s.origin.kind, OriginKind::kAssumed);
}

TEST(Serve, ACornerHouseIsServedFromTheStreetOfItsAddress) {
  Network network = Corner();
  const auto summary =
      ServeCustomers(network, Of({Service(25, 15, "3 Oak Street"), Service(25, 15, "4 Elm St.")}));
  ASSERT_TRUE(summary.ok());
  EXPECT_EQ(LinkOf(network, 0), "elm");
  EXPECT_EQ(LinkOf(network, 1), "oak");
  EXPECT_EQ(summary->by_street, 1);
}

TEST(Serve, AStreetMuchFartherDoesNot) {
  Network network = Corner();
  // Nearest 15 m; 2.5 x 15 + 10 = 47.5 m.
  const auto summary =
      ServeCustomers(network, Of({Service(48, 15, "3 Oak St"), Service(47, 15, "5 Oak St")}));
  ASSERT_TRUE(summary.ok());
  EXPECT_EQ(LinkOf(network, 0), "elm");
  EXPECT_EQ(LinkOf(network, 1), "oak");
}

TEST(Serve, ATransmissionMainServesOnlyWhereNothingElseIsInReach) {
  Network network = Corner();
  const auto summary = ServeCustomers(network, Of({Service(100, -28), Service(-200, -25)}));
  ASSERT_TRUE(summary.ok());
  EXPECT_EQ(LinkOf(network, 0), "elm");
  EXPECT_EQ(LinkOf(network, 1), "big");
  EXPECT_EQ(summary->by_transmission, 1);
}

TEST(Serve, ShutLinksAndPumpsServeNobody) {
  Network network = Corner();
  network[LinkNamed(network, "elm")].kind = LinkKind::kPump;
  const auto summary = ServeCustomers(network, Of({Service(50, 20)}));
  ASSERT_TRUE(summary.ok());
  EXPECT_EQ(LinkOf(network, 0), "oak");
}

// Common practice, no source: nobody taps the few metres of pipe that are a hydrant's own.
TEST(Serve, AHydrantsOwnPipeServesNobodyAndTakesNothingByLength) {
  Network network =
      HandNetwork({{"A", 0, 0}, {"B", 100, 0}, {"C", 200, 0}, {"H", 100, 6}},
                  {{"elm", "A", "B", "Elm St"}, {"far", "B", "C", "Elm St"}, {"lead", "B", "H", "Elm St"}});
  network[NodeNamed(network, "H")].has_hydrant = true;
  ASSERT_TRUE(ServeCustomers(network, Of({Service(99, 14, "4 Elm St")})).ok());
  ASSERT_THAT(network.connections, SizeIs(1));
  EXPECT_EQ(LinkOf(network, 0), "elm");
  ASSERT_TRUE(ServeCustomers(network, {}).ok());
  ASSERT_THAT(network.connections, SizeIs(2));
  EXPECT_EQ(LinkOf(network, 0), "elm");
  EXPECT_EQ(LinkOf(network, 1), "far");
  network[NodeNamed(network, "H")].has_hydrant = false;  // then it is a short main like any other
  ASSERT_TRUE(ServeCustomers(network, Of({Service(99, 14, "4 Elm St")})).ok());
  EXPECT_EQ(LinkOf(network, 0), "lead");
}

TEST(Serve, FarServicesAreNotedAndFartherOnesListed) {
  Network network = Corner();
  const auto summary = ServeCustomers(network, Of({Service(100, 100), Service(300, 149), Service(300, 151)}));
  ASSERT_TRUE(summary.ok());
  ASSERT_THAT(summary->far, SizeIs(2));
  EXPECT_NEAR(*summary->far[0].distance_m, 100, 1e-2);
  ASSERT_THAT(summary->unserved, SizeIs(1));
  EXPECT_NEAR(*summary->unserved[0].distance_m, 151, 1e-2);
  EXPECT_NEAR(Sum(network) + summary->unserved_m3_per_s, 3 * ServeOptions{}.demand_per_service_m3_per_s,
              1e-15);
}

TEST(Serve, MeteredUseGoesInAsItIs) {
  Network network = Corner();
  DrawnService metered = Service(100, 20);
  metered.count = 3;
  metered.use = Sourced<Flow>{Flow::CubicMetresPerDay(2), {OriginKind::kMeasured, "meter", {}, ""}};
  const auto summary = ServeCustomers(network, Of({metered, Service(120, 20)}));
  ASSERT_TRUE(summary.ok());
  EXPECT_EQ(summary->connections, 4);
  EXPECT_NEAR(network.connections[0].demand_m3_per_s.value * 86400, 2, 1e-12);
  EXPECT_EQ(network.connections[0].demand_m3_per_s.origin.by, "meter");
  // 150 US gal a day.
  EXPECT_NEAR(network.connections[1].demand_m3_per_s.value * 86400, 0.567812, 1e-6);
}

TEST(Serve, AnInflowIsSharedOutToTheLastDrop) {
  Network network = Corner();
  DrawnService metered = Service(100, 20);
  metered.use = Sourced<Flow>{Flow::CubicMetresPerDay(4), {}};
  ServeOptions options;
  options.system_inflow_m3_per_s = 10 / kSecondsPerDay;
  options.losses_share = 0.2;
  const auto summary = ServeCustomers(network, Of({metered, Service(120, 20), Service(150, 20)}), options);
  ASSERT_TRUE(summary.ok());
  EXPECT_NEAR(summary->losses_m3_per_s * kSecondsPerDay, 2, 1e-12);
  EXPECT_NEAR(AtNodes(network) * kSecondsPerDay, 2, 1e-12);
  EXPECT_NEAR(Sum(network) * kSecondsPerDay, 8, 1e-12);
  EXPECT_NEAR(summary->unmetered_factor, 2 / 0.567812, 1e-5);
  EXPECT_NEAR((Sum(network) + AtNodes(network)) * kSecondsPerDay, 10, 1e-12);
}

TEST(Serve, MoreMeteredThanPutInIsRefused) {
  Network network = Corner();
  DrawnService metered = Service(100, 20);
  metered.use = Sourced<Flow>{Flow::CubicMetresPerDay(11), {}};
  ServeOptions options;
  options.system_inflow_m3_per_s = 10 / kSecondsPerDay;
  const auto summary = ServeCustomers(network, Of({metered}), options);
  ASSERT_FALSE(summary.ok());
  EXPECT_EQ(summary.error().code, ErrorCode::kBadInput);
  EXPECT_THAT(summary.error().ToString(), HasSubstr("11 m3/d"));
}

TEST(Serve, LittleLeftIsSharedByLossesAndTheUnmetered) {
  Network network = Corner();
  DrawnService metered = Service(100, 20);
  metered.use = Sourced<Flow>{Flow::CubicMetresPerDay(9.5), {}};
  ServeOptions options;
  options.system_inflow_m3_per_s = 10 / kSecondsPerDay;
  const auto summary = ServeCustomers(network, Of({metered, Service(120, 20)}), options);
  ASSERT_TRUE(summary.ok());
  EXPECT_GT(summary->unmetered_factor, 0);
  EXPECT_GT(summary->losses_m3_per_s, 0);
  EXPECT_NEAR((Sum(network) + AtNodes(network)) * kSecondsPerDay, 10, 1e-12);
}

TEST(Serve, WithoutServicesDemandGoesByLength) {
  Network network = Corner();
  ServeOptions options;
  options.system_inflow_m3_per_s = 10 / kSecondsPerDay;
  options.losses_share = 0;
  const auto summary = ServeCustomers(network, {}, options);
  ASSERT_TRUE(summary.ok());
  EXPECT_TRUE(summary->by_length);
  ASSERT_THAT(network.connections, SizeIs(2));  // two streets of 300 m; the transmission main has none
  EXPECT_NEAR(network.connections[0].demand_m3_per_s.value * kSecondsPerDay, 5, 1e-3);
  EXPECT_EQ(network.connections[0].count, 0);
  EXPECT_EQ(network.connections[0].demand_m3_per_s.origin.kind, OriginKind::kAssumed);
}

// A square of named streets with some wide mains, customers anywhere, against a look at every main for each.
TEST(Serve, EveryServiceIsServedAsBySlowSearchOrListed) {
  std::vector<HandNode> nodes;
  std::vector<HandMain> mains;
  const auto name = [](int i, int j) { return std::to_string(i) + "/" + std::to_string(j); };
  for (int i = 0; i < 10; ++i) {
    for (int j = 0; j < 10; ++j) {
      nodes.push_back({name(i, j), i * 100.0 + j, j * 100.0 - 2 * i});
      const double wide_m = (i + j) % 6 == 0 ? 0.5 : 0.15;
      if (i > 0)
        mains.push_back({"h" + name(i, j), name(i - 1, j), name(i, j), "Row " + name(j, 0) + " St", wide_m});
      if (j > 0)
        mains.push_back(
            {"v" + name(i, j), name(i, j - 1), name(i, j), "Column " + name(i, 0) + " Rd", wide_m});
    }
  }
  Network network = HandNetwork(nodes, mains);
  std::mt19937 random(5);
  std::uniform_real_distribution<double> anywhere(-250, 1150);
  Drawing drawing;
  for (int i = 0; i < 3000; ++i) {
    const std::string street = i % 3 == 0   ? ""
                               : i % 3 == 1 ? "Row " + name(i % 10, 0) + " Street"
                                            : "COLUMN " + name(i % 10, 0) + " ROAD";
    drawing.services.push_back(Service(anywhere(random), anywhere(random), street));
    if (i % 4 == 0) drawing.services.back().use = Sourced<Flow>{Flow::CubicMetresPerDay(0.3), {}};
  }
  const auto summary = ServeCustomers(network, drawing);
  ASSERT_TRUE(summary.ok());
  std::map<std::string, const Connection*> by_service;
  for (const Connection& connection : network.connections) {
    EXPECT_TRUE(by_service.emplace(connection.service.key, &connection).second);
  }
  std::set<size_t> unserved;
  for (const ServiceDistance& one : summary->unserved) unserved.insert(one.service);
  EXPECT_EQ(by_service.size() + unserved.size(), drawing.services.size());
  const Plane plane = PlaneOf(network);
  for (size_t i = 0; i < drawing.services.size(); ++i) {
    const DrawnService& service = drawing.services[i];
    const double kNone = std::numeric_limits<double>::infinity();
    double local_m = kNone, wide_m = kNone;
    std::vector<double> distances_m;
    for (const Link& link : network.links) {
      distances_m.push_back(DistanceToLine_m(plane.To(service.at), link.line, plane));
      double& least_m = link.inner_diameter_m->value > 0.4 ? wide_m : local_m;
      least_m = std::min(least_m, distances_m.back());
    }
    double expected_m = local_m;
    if (local_m > 60 && (wide_m <= 60 || local_m > 150)) {
      expected_m = wide_m;
    } else if (!service.street.empty()) {
      double same_m = kNone;
      for (size_t k = 0; k < network.links.size(); ++k) {
        const Link& link = network.links[k];
        if (link.inner_diameter_m->value > 0.4 || PlainStreet(link.street) != PlainStreet(service.street))
          continue;
        same_m = std::min(same_m, distances_m[k]);
      }
      if (same_m <= 2.5 * local_m + 10 && same_m <= (local_m <= 60 ? 60 : 150)) expected_m = same_m;
    }
    if (expected_m > 150) {
      EXPECT_TRUE(unserved.contains(i));
      continue;
    }
    const auto found = by_service.find(service.key.key);
    ASSERT_NE(found, by_service.end()) << expected_m;
    EXPECT_NEAR(distances_m[At(found->second->link)], expected_m, 1e-9);
  }
  double in = 0;
  for (const DrawnService& service : drawing.services) {
    in += service.use ? service.use->value.cubic_metres_per_second()
                      : ServeOptions{}.demand_per_service_m3_per_s;
  }
  EXPECT_NEAR(Sum(network) + summary->unserved_m3_per_s, in, 1e-12);
  EXPECT_NEAR(summary->metered_m3_per_s + summary->unmetered_m3_per_s, in, 1e-12);
}

}  // namespace
}  // namespace lastreach
