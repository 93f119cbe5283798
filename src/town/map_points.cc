#include "town/map_points.h"

#include <array>
#include <cstdio>

#include "core/quantity.h"
#include "town/hand_ends_sheet.h"
#include "town/seeded.h"
#include "town/town_ends.h"
#include "town/town_ground.h"
#include "town/town_lines.h"
#include "town/true_network.h"

namespace lastreach {
namespace {

std::string Numbered(const char* form, size_t number) {
  std::array<char, 24> text{};
  std::snprintf(text.data(), text.size(), form, static_cast<int>(number));
  return text.data();
}

// The first half of a crescent: with its valve shut, both its legs are dead ends.
const TruePipe& ForgottenPipe() {
  const TrueNetwork& network = TheTrueNetwork();
  for (const TruePipe& pipe : network.pipes) {
    if (StreetPlan()[pipe.street].kind == StreetKind::kCrescent) return pipe;
  }
  return network.pipes.front();
}

}  // namespace

std::vector<MapValve> DrawValves(std::vector<MapFault>& faults) {
  constexpr double kFromJoint_m = 2;
  Seeded seeded(20260515);
  std::vector<MapValve> valves;
  const auto add = [&](TownPoint at, const PlannedStreet& street, double diameter_in, const char* state) {
    valves.push_back({Numbered("V-%04d", valves.size() + 1), at, street.name, diameter_in, state});
  };
  for (const TownPoint at : BoundaryValves()) {
    for (const PlannedStreet& street : StreetPlan()) {
      if (street.zone == kMillrace && Distance_m(at, street.line.back()) < 1e-6)
        add(at, street, street.pipes.back().diameter_in, "closed");
    }
  }
  const TruePipe& forgotten = ForgottenPipe();
  const TrueNetwork& network = TheTrueNetwork();
  for (const TruePipe& pipe : network.pipes) {
    const PlannedStreet& street = StreetPlan()[pipe.street];
    if (street.kind == StreetKind::kHydrantLead) continue;
    for (const bool at_from : {true, false}) {
      const bool wanted = seeded.Unit() < 0.45;
      const bool looked = seeded.Unit() < 0.85;
      const double aside_m = 0.3 * (seeded.Unit() - 0.5);
      const bool shut = &pipe == &forgotten && at_from;
      const TrueNode& node = network.nodes[at_from ? pipe.from : pipe.to];
      if ((!wanted && !shut) || node.pipes < 3) continue;
      const double along_m = at_from ? pipe.from_m + kFromJoint_m : pipe.to_m - kFromJoint_m;
      const PlaceOnLine place = PlaceAt(street.line, along_m);
      add(place.at + aside_m * LeftOf(place.ahead), street, pipe.diameter_in,
          shut     ? "closed"
          : looked ? "open"
                   : "");
      if (shut)
        faults.push_back(
            {"valve somebody forgot shut", "valves", valves.back().id, valves.back().at, 0, street.name});
    }
  }
  return valves;
}

std::vector<MapHydrant> DrawHydrants() {
  constexpr double kEvery_m = 160, kAside_m = 4;
  std::vector<MapHydrant> hydrants;
  const std::vector<std::string> outlets = HandEndOutlets();
  for (const std::vector<TownEnd>& ends : {Devices(), HandEnds()}) {
    for (size_t i = 0; i < ends.size(); ++i) {
      const bool by_hand = ends[i].code.front() == 'H';
      hydrants.push_back(
          {ends[i].code, by_hand ? outlets[i] : "blow-off", StreetOf(ends[i]).line.back(), ends[i].street});
    }
  }
  size_t number = 0;
  for (const PlannedStreet& street : StreetPlan()) {
    const auto add = [&](TownPoint at) {
      hydrants.push_back({Numbered("HY-%04d", ++number), "hydrant", at, street.name});
    };
    if (street.kind == StreetKind::kHydrantLead) add(street.line.back());
    if (street.kind != StreetKind::kLocal && street.kind != StreetKind::kThrough) continue;
    const double length_m = LineLength_m(street.line);
    for (double along_m = kEvery_m / 2; along_m < length_m - 20; along_m += kEvery_m) {
      const PlaceOnLine place = PlaceAt(street.line, along_m);
      add(place.at - kAside_m * LeftOf(place.ahead));
    }
  }
  return hydrants;
}

std::vector<MapSewer> DrawSewers() {
  constexpr double kAside_m = 3, kCover_m = 2.4, kFall = 0.005;
  std::vector<MapSewer> sewers;
  const TrueNetwork& network = TheTrueNetwork();
  for (const TruePipe& pipe : network.pipes) {
    const PlannedStreet& street = StreetPlan()[pipe.street];
    const TownPoint from = network.nodes[pipe.from].at;
    const double length_m = pipe.to_m - pipe.from_m;
    const bool old_town = from.x_m >= 800 && from.x_m <= 3800 && from.y_m > 1200 && from.y_m <= 2200;
    if (!old_town || street.kind != StreetKind::kLocal || length_m < 30) continue;
    MapSewer sewer{Numbered("S-%04d", sewers.size() + 1), {}, street.name, 0, 0};
    for (double along_m = 8; along_m < length_m - 8; along_m += (length_m - 16) / 3.001) {
      const PlaceOnLine place = PlaceAt(street.line, pipe.from_m + along_m);
      sewer.line.push_back(place.at + kAside_m * LeftOf(place.ahead));
    }
    const double invert_m = GroundAt_m(sewer.line.front()) - kCover_m;
    sewer.up_invert_ft = Length::Metres(invert_m).feet();
    sewer.down_invert_ft = Length::Metres(invert_m - kFall * length_m).feet();
    sewers.push_back(sewer);
  }
  return sewers;
}

}  // namespace lastreach
