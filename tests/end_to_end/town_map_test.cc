// The network that the program makes of the invented town's layers, against the town as it lies in the
// ground.
#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <numeric>
#include <set>

#include "app/reach_from_map.h"
#include "tests/end_to_end/town_map.h"
#include "town/houses.h"
#include "town/town_ends.h"
#include "town/town_lines.h"
#include "town/true_network.h"

namespace lastreach {
namespace {

using TownNetwork = TownMap;

// Parts by repeated union, with or without what is shut.
int CountPartsOf(const Network& network, bool through_shut) {
  std::vector<size_t> part(network.nodes.size());
  std::iota(part.begin(), part.end(), 0U);
  const auto root = [&](size_t node) {
    while (part[node] != node) node = part[node];
    return node;
  };
  for (const Link& link : network.links) {
    if (link.kind != LinkKind::kClosed || through_shut) part[root(At(link.from))] = root(At(link.to));
  }
  std::set<size_t> roots;
  for (size_t i = 0; i < part.size(); ++i) roots.insert(root(i));
  return static_cast<int>(roots.size());
}

TEST_F(TownNetwork, IsOnePartAndTwoWatersWithTheShutValvesShut) {
  ASSERT_EQ(CountParts(TheTrueNetwork(), true), 1);
  ASSERT_EQ(CountParts(TheTrueNetwork(), false), 2);
  EXPECT_EQ(CountPartsOf(made_.network, true), 1);
  EXPECT_EQ(CountPartsOf(made_.network, false), 2);
  EXPECT_EQ(made_.joined.parts, 1);
}

TEST_F(TownNetwork, IsAsLongAsTheTruthToAThousandth) {
  double true_m = 0;
  for (const TruePipe& pipe : TheTrueNetwork().pipes) {
    std::vector<Position> line;
    for (const TownPoint point : PartOf(StreetPlan()[pipe.street].line, pipe.from_m, pipe.to_m)) {
      line.push_back(OnTheMap(point));
    }
    true_m += Ground_m(line);
  }
  double found_m = 0;
  for (const Link& link : made_.network.links) found_m += link.length_m.value;
  EXPECT_NEAR(found_m, true_m, 0.001 * true_m);
  RecordProperty("true_m", std::to_string(true_m));
  RecordProperty("found_m", std::to_string(found_m));
}

constexpr double kAtTheEnd_m = 3;

// How many of the places lie within a few metres of the point.
long CountNear(const std::vector<QuietPlace>& places, Position at, const std::set<QuietKind>& kinds) {
  return std::count_if(places.begin(), places.end(), [&](const QuietPlace& place) {
    return kinds.count(place.kind) > 0 && Ground_m(place.at, at) < kAtTheEnd_m;
  });
}

TEST_F(TownNetwork, EveryTrueEndOfAMainIsToldOnceAndNoOther) {
  const std::vector<size_t> ends = MainEnds(TheTrueNetwork());
  EXPECT_GT(ends.size(), 90U);
  for (const size_t end : ends) {
    const Position at = OnTheMap(TheTrueNetwork().nodes[end].at);
    EXPECT_EQ(CountNear(places_, at, {QuietKind::kDeadEnd, QuietKind::kStub}), 1)
        << at.longitude_deg << " " << at.latitude_deg;
  }
  const auto told = std::count_if(places_.begin(), places_.end(), [](const QuietPlace& place) {
    return place.kind == QuietKind::kDeadEnd || place.kind == QuietKind::kStub ||
           place.kind == QuietKind::kMaybeGap;
  });
  EXPECT_EQ(static_cast<size_t>(told), ends.size());
}

TEST_F(TownNetwork, EveryHydrantLeadIsToldAsOneAndNothingElseIs) {
  int leads = 0;
  for (const PlannedStreet& street : StreetPlan()) {
    if (street.kind != StreetKind::kHydrantLead) continue;
    ++leads;
    const Position at = OnTheMap(street.line.back());
    EXPECT_EQ(CountNear(places_, at, {QuietKind::kHydrantLead}), 1)
        << at.longitude_deg << " " << at.latitude_deg;
  }
  EXPECT_EQ(leads, 8);
  EXPECT_EQ(std::count_if(places_.begin(), places_.end(),
                          [](const QuietPlace& place) { return place.kind == QuietKind::kHydrantLead; }),
            leads);
}

// Either side of each of the five valves that are shut is an end of water.
TEST_F(TownNetwork, BothSidesOfEveryShutValveAreToldAndNothingElseIs) {
  std::vector<Position> valves;
  for (const TownPoint at : BoundaryValves()) valves.push_back(OnTheMap(at));
  for (const ListedFault& fault : FaultsOf("valve somebody forgot shut")) valves.push_back(fault.at);
  ASSERT_EQ(valves.size(), 5U);
  for (const Position at : valves) EXPECT_EQ(CountNear(places_, at, {QuietKind::kShutValve}), 2);
  EXPECT_EQ(std::count_if(places_.begin(), places_.end(),
                          [](const QuietPlace& place) { return place.kind == QuietKind::kShutValve; }),
            10);
}

TEST_F(TownNetwork, ServicesAreOnTheMainTheyBelongTo) {
  std::map<std::string, int> true_services, found;
  for (const House& house : Houses()) ++true_services[StreetPlan()[house.street].name];
  for (const Connection& connection : made_.network.connections) {
    found[made_.network[connection.link].street] += connection.count;
  }
  int streets = 0;
  for (const PlannedStreet& street : StreetPlan()) {
    if (street.kind != StreetKind::kFlushed && street.kind != StreetKind::kCulDeSac) continue;
    ++streets;
    EXPECT_EQ(found[street.name], true_services[street.name]) << street.name;
  }
  EXPECT_GT(streets, 90);
}

const QuietPlace* EndOf(const std::vector<QuietPlace>& places, const TownEnd& end) {
  return PlaceNear(places, OnTheMap(StreetOf(end).line.back()), kAtTheEnd_m);
}

TEST_F(TownNetwork, EveryFlushedReachHasTheServicesOfItsSheetButForThree) {
  int otherwise = 0;
  for (const std::vector<TownEnd>& ends : {Devices(), HandEnds()}) {
    for (const TownEnd& end : ends) {
      const QuietPlace* place = EndOf(places_, end);
      ASSERT_NE(place, nullptr) << end.code;
      EXPECT_EQ(place->services + place->services_beyond, end.services + HousesTheSheetsMiss(end.code))
          << end.code;
      otherwise += place->services != end.services ? 1 : 0;
    }
  }
  EXPECT_EQ(otherwise, 3);
}

// What stands in the pipes of a flushed street, by the truth.
double TrueVolume_m3(const TownEnd& end) {
  double volume_m3 = 0;
  for (const TownPipe& pipe : StreetOf(end).pipes) {
    const double diameter_m = Diameter::Inches(pipe.diameter_in).metres();
    volume_m3 += M_PI / 4 * diameter_m * diameter_m * pipe.length_m;
  }
  return volume_m3;
}

TEST_F(TownNetwork, EveryFlushedReachIsAsLongAsItsStreetAndHoldsItsWaterWhereTheWidthIsDrawn) {
  int drawn = 0, assumed = 0;
  for (const std::vector<TownEnd>& ends : {Devices(), HandEnds()}) {
    for (const TownEnd& end : ends) {
      const QuietPlace* place = EndOf(places_, end);
      ASSERT_NE(place, nullptr) << end.code;
      const double true_m = LineLength_m(StreetOf(end).line);
      EXPECT_NEAR(place->length_m, true_m, 0.002 * true_m + kAtTheEnd_m) << end.code;
      const bool guessed =
          std::any_of(place->reach.begin(), place->reach.end(), [&](const ReachPiece& piece) {
            return made_.network[piece.link].inner_diameter_m->origin.kind == OriginKind::kAssumed;
          });
      ++(guessed ? assumed : drawn);
      // A guess may be wrong; half a width out is four times the water.
      const double within = guessed ? 3 : 0.05;
      EXPECT_NEAR(place->volume_m3, TrueVolume_m3(end), within * TrueVolume_m3(end)) << end.code;
    }
  }
  EXPECT_GT(drawn, 50);
  EXPECT_GT(assumed, 3);
}

TEST_F(TownNetwork, EveryDevicesTracedReachHoldsWhatWasTypedFromItsLid) {
  int held_together = 0;
  for (const DeviceFacts& device : facts_.devices) {
    const auto typed_m3 = VolumeOf_m3(device.reach.pipes);
    const auto on_map = std::find_if(facts_.on_map.begin(), facts_.on_map.end(),
                                     [&](const OnMap& m) { return m.point == device.point.code; });
    ASSERT_NE(on_map, facts_.on_map.end()) << device.point.code.text();
    const auto traced_m3 = VolumeOf_m3(on_map->traced);
    ASSERT_TRUE(traced_m3) << device.point.code.text();
    if (on_map->used || !typed_m3) continue;
    ++held_together;
    EXPECT_NEAR(*traced_m3, *typed_m3, 0.3 * *typed_m3) << device.point.code.text();
  }
  EXPECT_EQ(held_together, 23);  // in Harrow Lane nobody knew the width, so the reach is the map's own
}

}  // namespace
}  // namespace lastreach
