#include "map/near_mains.h"

#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <cmath>

#include "map/test_network.h"

namespace lastreach {
namespace {

// A network of crooked lines within 400 m.
Network AnyLines() {
  Network network;
  const int count = *rc::gen::inRange(1, 12);
  for (int i = 0; i < count; ++i) {
    Link link;
    double length_m = 0;
    PlanePoint last;
    for (int k = *rc::gen::inRange(2, 5); k > 0; --k) {
      const PlanePoint next{*rc::gen::inRange(-200, 200) * 1.0, *rc::gen::inRange(-200, 200) * 1.0};
      if (!link.line.empty()) length_m += Distance_m(last, next);
      link.line.push_back(NetworkPlane().From(next));
      last = next;
    }
    link.length_m.value = length_m;
    network.links.push_back(link);
  }
  return network;
}

// The slow way: every line is walked in steps of a thousandth of its parts.
double SlowDistance_m(const Network& network, const Plane& plane, LinkIndex link, PlanePoint place) {
  double least = 1e300;
  const auto& line = network[link].line;
  for (size_t k = 1; k < line.size(); ++k) {
    const PlanePoint a = plane.To(line[k - 1]);
    const PlanePoint b = plane.To(line[k]);
    for (int i = 0; i <= 1000; ++i) {
      const double s = i / 1000.0;
      least = std::min(least, Distance_m(place, {a.x_m + s * (b.x_m - a.x_m), a.y_m + s * (b.y_m - a.y_m)}));
    }
  }
  return least;
}

constexpr double kStep_m = 0.6;  // a thousandth of the longest part that fits

TEST(NearMains, TheNearestIsTheNearestOfAllWalked) {
  EXPECT_TRUE(rc::check([] {
    const Network network = AnyLines();
    const NearMains near(network);
    const PlanePoint place{*rc::gen::inRange(-300, 300) * 1.0, *rc::gen::inRange(-300, 300) * 1.0};
    const auto hit = near.Nearest(place);
    RC_ASSERT(hit.has_value());
    double least = 1e300;
    for (size_t i = 0; i < network.links.size(); ++i) {
      least = std::min(least, SlowDistance_m(network, near.plane(), LinkIndex(i), place));
    }
    RC_ASSERT(hit->distance_m <= least + 1e-9);
    RC_ASSERT(hit->distance_m >= least - kStep_m);
    RC_ASSERT(std::abs(Distance_m(hit->at, place) - hit->distance_m) < 1e-9);
  }));
}

TEST(NearMains, WithinFindsEachLinkOnceAndNoneFarther) {
  EXPECT_TRUE(rc::check([] {
    const Network network = AnyLines();
    const NearMains near(network);
    const double radius_m = *rc::gen::inRange(1, 200);
    std::vector<int> times(network.links.size(), 0);
    for (const PlaceOnMain& hit : near.Within({0, 0}, radius_m)) {
      ++times[At(hit.link)];
      RC_ASSERT(hit.distance_m <= radius_m);
    }
    for (size_t i = 0; i < times.size(); ++i) {
      const double slow = SlowDistance_m(network, near.plane(), LinkIndex(i), {0, 0});
      RC_ASSERT(times[i] <= 1);
      if (slow <= radius_m) RC_ASSERT(times[i] == 1);
      if (slow > radius_m + kStep_m) RC_ASSERT(times[i] == 0);
    }
  }));
}

TEST(NearMains, TheNearestOfALineIsTheNearestOfAllItsPlaces) {
  EXPECT_TRUE(rc::check([] {
    const Network network = AnyLines();
    if (network.links.size() < 2) return;
    const NearMains near(network);
    const auto hit = near.NearestTo({LinkIndex(0)}, [](LinkIndex link) { return link != LinkIndex(0); });
    RC_ASSERT(hit.has_value());
    double least = 1e300;
    const auto& line = network.links[0].line;
    for (size_t k = 1; k < line.size(); ++k) {
      const PlanePoint a = near.plane().To(line[k - 1]);
      const PlanePoint b = near.plane().To(line[k]);
      for (int i = 0; i <= 1000; ++i) {
        const double s = i / 1000.0;
        const auto other = near.Nearest({a.x_m + s * (b.x_m - a.x_m), a.y_m + s * (b.y_m - a.y_m)},
                                        [](LinkIndex link) { return link != LinkIndex(0); });
        least = std::min(least, other->distance_m);
      }
    }
    RC_ASSERT(hit->distance_m <= least + 1e-9);
    RC_ASSERT(hit->distance_m >= least - kStep_m);
  }));
}

TEST(NearMains, SaysHowFarAlongTheLinkItIs) {
  const TestNetwork network("junction A 0 0\njunction B 200 0\npipe A-B 150\n");
  const NearMains near(network);
  const auto hit = near.Nearest(near.plane().To(NetworkPlane().From({50, 7})));
  ASSERT_TRUE(hit);
  EXPECT_NEAR(hit->along_m, 50, 1e-3);
  EXPECT_NEAR(hit->distance_m, 7, 1e-3);
}

}  // namespace
}  // namespace lastreach
