#pragma once

#include <cmath>
#include <numbers>
#include <random>
#include <string>
#include <vector>

#include "network/structure.h"
#include "plan/reach_model.h"
#include "plan/test_devices.h"
#include "quality/kinetics.h"
#include "together/planning_network.h"
#include "town_week.h"

namespace lastreach {

// For benchmarks: a town of town_like.h in districts, with devices at the ends of streets of its own: each of
// 100 to 600 m in 150 mm with 3 to 24 services, a piece of main to a service as a map cut at its services has
// it. Every tenth leaves the street of the one before half way. Hilly; one water; keyed now to half an hour a
// night. The same every time.
struct TownWithDevices {
  PlanningNetwork network;
  std::vector<DeviceFacts> facts;
};

// The water of one season.
struct SeasonWater {
  const char* name;
  Date from, to;
  double temperature_c = 20;
  double use_factor = 1;
};

class TownWithDevicesMaker {
 public:
  // REQUIRES: links well above 16 a device.
  TownWithDevices Make(int links, int devices) {
    std::vector<int> services;
    int pieces = 0;
    for (int d = 0; d < devices; ++d) {
      services.push_back(3 + static_cast<int>(In(0, 22)));
      pieces += services.back();
    }
    town_.network.network = TownWeek(links - pieces, false, true);
    Network& network = town_.network.network;
    network.runs.clear();
    network.patterns = {{"day", {kHouseholdHours, kHouseholdHours + 24}}};
    LayHills(network);
    const Adjacency adjacency(network);
    const std::vector<char> on_loop = LinksOnLoops(adjacency);
    std::vector<NodeIndex> fed;
    for (const Link& link : network.links) {
      if (on_loop[static_cast<size_t>(&link - network.links.data())] != 0) fed.push_back(link.from);
    }
    for (int d = 0; d < devices; ++d) {
      const auto at = static_cast<size_t>(In(0, static_cast<double>(fed.size())));
      AddDevice(d, fed[at], services[static_cast<size_t>(d)]);
    }
    return std::move(town_);
  }

 private:
  double In(double low, double high) { return std::uniform_real_distribution<double>(low, high)(random_); }

  void LayHills(Network& network) {
    const int side = static_cast<int>(std::sqrt(static_cast<double>(network.nodes.size())));
    for (size_t i = 0; i < network.nodes.size(); ++i) {
      const double row = static_cast<double>(i) / side;
      const double column = static_cast<double>(i % static_cast<size_t>(side));
      network.nodes[i].elevation_m =
          Sourced<double>{20 + 10 * std::sin(row / 11) + 10 * std::cos(column / 17), {}};
      if (network.nodes[i].kind == NodeKind::kSource) {
        network.nodes[i].head_m = 75;
        network.nodes[i].chlorine_mg_per_l = 1.1;
      }
    }
  }

  void AddDevice(int number, NodeIndex root, int services) {
    const bool shares = number % 10 == 9;
    const double length_m = In(100, 600);
    const double use_m3_per_s = In(1e-6, 4e-6);
    const double flow_m3_per_s = In(1.5e-3, 4e-3);
    const std::string name = "D" + std::to_string(number);
    PlacedDevice placed;
    placed.device = static_cast<size_t>(number);
    placed.root = root;
    std::vector<ReachPipe> pipes;
    std::vector<std::string> ids;
    NodeIndex at = root;
    if (shares) {
      const PlacedDevice& before = town_.network.placed.back();
      DeviceFacts& owner = town_.facts.back();
      placed.root = before.root;
      SplitInTwo(owner);
      pipes = {owner.reach.pipes.front()};
      ids = {owner.pipe_ids.front()};
      const auto trunk = static_cast<size_t>(pipes.front().services.value);
      placed.judged.assign(before.judged.begin(), before.judged.begin() + static_cast<std::ptrdiff_t>(trunk));
      at = placed.judged.back();
    }
    pipes.push_back(Pipe(length_m, services, use_m3_per_s));
    ids.push_back(name);
    for (int s = 0; s < services; ++s) {
      at = AddPiece(at, length_m / services, use_m3_per_s);
      placed.judged.push_back(at);
    }
    placed.node = at;
    town_.network.placed.push_back(placed);
    DeviceFacts facts = MadeUpDevice(services, length_m);
    facts.point.code = PointCode(name);
    facts.point.flow = Measured(Flow::CubicMetresPerSecond(flow_m3_per_s));
    if (number % 3 == 1) facts.form = FormOfOneProgramme();
    facts.reach.pipes = std::move(pipes);
    facts.pipe_ids = std::move(ids);
    facts.supply.bulk_per_day_at_20c = Measured(kBulkPerDayAt20C);
    facts.supply.upstream_residual.reset();
    facts.supply.target_residual = Typed(Concentration::MilligramsPerLitre(0.3));
    facts.present = TimerSettings{};
    facts.present->programmes.push_back({{120 + number % 4 * 60}, 30, kEveryWeekday, {}});
    town_.facts.push_back(std::move(facts));
  }

  static ControllerForm FormOfOneProgramme() {
    ControllerForm form = RichForm();
    form.programmes = 1;
    form.start_step_minutes = 30;
    form.minutes_step = 5;
    form.minutes_min = 5;
    return form;
  }

  static ReachPipe Pipe(double length_m, int services, double use_m3_per_s) {
    ReachPipe pipe;
    pipe.length = Measured(Length::Metres(length_m));
    pipe.inner_diameter = Measured(Diameter::Millimetres(150));
    pipe.material = "PVC";
    pipe.services = Typed(services);
    pipe.demand = Measured(Flow::CubicMetresPerSecond(services * use_m3_per_s));
    return pipe;
  }

  // A reach of one pipe becomes one of two, cut after half of its services.
  static void SplitInTwo(DeviceFacts& facts) {
    const ReachPipe whole = facts.reach.pipes.back();
    const int services = whole.services.value;
    const double use_m3_per_s = whole.demand->value.cubic_metres_per_second() / services;
    const double piece_m = whole.length.value.metres() / services;
    const int first = services / 2;
    facts.reach.pipes = {Pipe(first * piece_m, first, use_m3_per_s),
                         Pipe((services - first) * piece_m, services - first, use_m3_per_s)};
    facts.pipe_ids = {facts.pipe_ids.front() + " trunk", facts.pipe_ids.front()};
  }

  NodeIndex AddPiece(NodeIndex from, double length_m, double use_m3_per_s) {
    Network& network = town_.network.network;
    Node node;
    node.id = "S" + std::to_string(network.nodes.size());
    node.demand_m3_per_s = use_m3_per_s;
    node.pattern = "day";
    node.elevation_m = network[from].elevation_m;
    network.nodes.push_back(node);
    const auto to = NodeIndex(static_cast<uint32_t>(network.nodes.size() - 1));
    Link link;
    link.id = "P" + std::to_string(network.links.size());
    link.from = from;
    link.to = to;
    link.length_m.value = length_m;
    link.inner_diameter_m = Sourced<double>{0.15, {}};
    link.roughness = Sourced<double>{120, {}};
    network.links.push_back(link);
    return to;
  }

 public:
  static constexpr double kBulkPerDayAt20C = 0.3;

 private:
  TownWithDevices town_;
  std::mt19937_64 random_{20261126};
};

// The same town with the water and the use of a season.
inline TownWithDevices InSeason(TownWithDevices town, const SeasonWater& water) {
  town.network.network.options.bulk_per_day =
      TownWithDevicesMaker::kBulkPerDayAt20C * RateFactor(7500, Temperature::Celsius(water.temperature_c));
  for (Node& node : town.network.network.nodes) node.demand_m3_per_s *= water.use_factor;
  for (DeviceFacts& facts : town.facts) {
    facts.supply.worst_week = Measured(Temperature::Celsius(water.temperature_c));
    for (ReachPipe& pipe : facts.reach.pipes) {
      pipe.demand->value =
          Flow::CubicMetresPerSecond(pipe.demand->value.cubic_metres_per_second() * water.use_factor);
    }
  }
  return town;
}

}  // namespace lastreach
