#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <cmath>
#include <map>

#include "ends/quiet_places.h"
#include "map/test_network.h"

namespace lastreach {
namespace {

constexpr double kM3PerDay = 1.0 / 86400;
constexpr double kPi = 3.14159265358979323846;

struct SlowEnd {
  double length_m = 0, volume_m3 = 0, demand_m3_per_s = 0, tail_m = 0, days = -1;
  int services = 0, services_beyond = 0;
};

// A random tree from node 0, the source, by parent of each node; houses on any link.
struct RandomTree {
  Network network;
  std::vector<unsigned> parent{0};  // link i - 1 joins node i to it
};

RandomTree AnyTree() {
  RandomTree tree;
  const auto count = *rc::gen::inRange<unsigned>(2, 16);
  tree.network.nodes.resize(count);
  tree.network.nodes[0].kind = NodeKind::kSource;
  for (unsigned i = 1; i < count; ++i) {
    tree.parent.push_back(*rc::gen::inRange<unsigned>(0, i));
    Link link;
    const bool down = *rc::gen::arbitrary<bool>();
    link.from = NodeIndex(down ? tree.parent[i] : i);
    link.to = NodeIndex(down ? i : tree.parent[i]);
    link.length_m.value = *rc::gen::inRange(20, 300);
    link.inner_diameter_m = Sourced<double>{*rc::gen::element(0.05, 0.1, 0.15), {}};
    tree.network.links.push_back(link);
    for (int k = *rc::gen::inRange(0, 3); k > 0; --k) {
      Connection house;
      house.link = LinkIndex(i - 1);
      house.along_m = link.length_m.value * k / 4;
      house.demand_m3_per_s.value = *rc::gen::inRange(1, 8) * kM3PerDay;
      tree.network.connections.push_back(house);
    }
  }
  std::stable_sort(tree.network.connections.begin(), tree.network.connections.end(),
                   [](const Connection& a, const Connection& b) {
                     return std::make_pair(a.link, a.along_m) < std::make_pair(b.link, b.along_m);
                   });
  return tree;
}

// Cuts every link into pieces between houses and asks of each piece, house by house, who draws beyond it.
SlowEnd SlowReach(const RandomTree& tree, unsigned end, const EndOptions& options) {
  const Network& network = tree.network;
  const auto is_below = [&](unsigned node, unsigned of) {
    while (node != of && node != 0) node = tree.parent[node];
    return node == of;
  };
  const auto from_top_m = [&](const Connection& house) {  // along its link, from the source's side
    const Link& link = network[house.link];
    const bool down = At(link.to) == At(house.link) + 1;
    return down ? house.along_m : link.length_m.value - house.along_m;
  };
  // What passes the place so far down the link above `node`.
  const auto flow_at = [&](unsigned node, double top_m) {
    double flow = 0;
    for (const Connection& house : network.connections) {
      const auto bottom = static_cast<unsigned>(At(house.link)) + 1;
      const bool beyond = bottom == node ? from_top_m(house) > top_m : is_below(bottom, node);
      if (beyond) flow += house.demand_m3_per_s.value;
    }
    return flow;
  };
  std::vector<unsigned> way{end};
  while (way.back() != 0) {
    const unsigned top = tree.parent[way.back()];
    if (top != 0) {
      const Link& above = network.links[top - 1];
      const double d = above.inner_diameter_m->value;
      const double flow = flow_at(top, above.length_m.value);
      const bool fast = flow / (kPi / 4 * d * d) * 86400 >= options.fast_m_per_day;
      if (fast && flow_at(way.back(), -1) <= options.branch_share * flow * (1 + 1e-9)) break;
    }
    way.push_back(top);
    if (top == 0) break;
  }
  if (way.back() == 0) way.pop_back();
  SlowEnd slow;
  double time_s = 0;
  double last_m = 0;
  for (size_t i = way.size(); i-- > 0;) {
    const unsigned node = way[i];
    const Link& link = network.links[node - 1];
    const double area = kPi / 4 * std::pow(link.inner_diameter_m->value, 2);
    std::map<double, int> places;  // of houses down this link
    for (const Connection& house : network.connections) {
      const auto bottom = static_cast<unsigned>(At(house.link)) + 1;
      if (bottom == node) {
        ++places[from_top_m(house)];
        ++slow.services;
      } else if (i > 0 && is_below(bottom, node) && !is_below(bottom, way[i - 1])) {
        places[link.length_m.value] += 0;
        ++slow.services_beyond;
      }
    }
    double at_m = 0;
    for (const auto& [to_m, count] : places) {
      if (to_m > at_m) time_s += area * (to_m - at_m) / flow_at(node, (at_m + to_m) / 2);
      at_m = to_m;
      slow.days = time_s / 86400;
      last_m = slow.length_m + to_m;
    }
    const double rest_m = link.length_m.value - at_m;
    if (rest_m > 0) time_s += area * rest_m / flow_at(node, at_m + rest_m / 2);
    slow.length_m += link.length_m.value;
    slow.volume_m3 += area * link.length_m.value;
  }
  slow.demand_m3_per_s = flow_at(way.back(), -1);
  slow.tail_m = slow.length_m - last_m;
  return slow;
}

TEST(Ends, ReachesOfTreesAreThoseFoundByAskingOfEveryHouse) {
  EXPECT_TRUE(rc::check([] {
    const RandomTree tree = AnyTree();
    EndOptions options;
    options.fast_m_per_day = *rc::gen::element(200.0, 1000.0, 4000.0);
    std::vector<int> ways(tree.network.nodes.size(), 0);
    for (unsigned i = 1; i < tree.parent.size(); ++i) {
      ++ways[i];
      ++ways[tree.parent[i]];
    }
    std::vector<char> expected(ways.size(), 0);
    for (size_t i = 1; i < ways.size(); ++i) expected[i] = ways[i] == 1 ? 1 : 0;
    for (const QuietPlace& place : FindQuietPlaces(tree.network, options)) {
      const auto end = static_cast<unsigned>(At(*place.node));
      RC_ASSERT(expected[end] == 1);
      expected[end] = 0;
      const SlowEnd slow = SlowReach(tree, end, options);
      RC_ASSERT(std::abs(place.length_m - slow.length_m) < 1e-9);
      RC_ASSERT(std::abs(place.volume_m3 - slow.volume_m3) < 1e-9);
      RC_ASSERT(place.services == slow.services);
      RC_ASSERT(place.services_beyond == slow.services_beyond);
      RC_ASSERT(std::abs(place.demand_m3_per_s - slow.demand_m3_per_s) < 1e-15);
      RC_ASSERT(std::abs(place.tail_m - slow.tail_m) < 1e-9);
      RC_ASSERT(place.days_to_last_customer.has_value() == (slow.days >= 0));
      if (slow.days >= 0)
        RC_ASSERT(std::abs(*place.days_to_last_customer - slow.days) < 1e-9 * (1 + slow.days));
    }
    RC_ASSERT(std::count(expected.begin(), expected.end(), 1) == 0);
  }));
}

}  // namespace
}  // namespace lastreach
