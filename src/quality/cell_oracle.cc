#include "quality/cell_oracle.h"

#include <algorithm>
#include <cmath>
#include <deque>
#include <map>

#include "quality/kinetics.h"
#include "quality/still_water.h"

namespace lastreach {
namespace {

constexpr double kDay_s = 86400;

struct Parcel {
  double volume_m3 = 0;
  CellReading water;
};
struct Stirred {
  double volume_m3 = 0;
  CellReading sum;  // times volume

  void Add(double volume, const CellReading& water) {
    volume_m3 += volume;
    sum.age_s += volume * water.age_s;
    sum.chlorine_mg_per_l += volume * water.chlorine_mg_per_l;
    sum.share += volume * water.share;
  }
  CellReading Mean() const {
    return {sum.age_s / volume_m3, sum.chlorine_mg_per_l / volume_m3, sum.share / volume_m3};
  }
};

void Take(std::deque<Parcel>& from, bool at_end, double volume, Stirred& into) {
  while (volume > 0 && !from.empty()) {
    Parcel& parcel = at_end ? from.back() : from.front();
    const double part = std::min(volume, parcel.volume_m3);
    into.Add(part, parcel.water);
    parcel.volume_m3 -= part;
    volume -= part;
    if (parcel.volume_m3 <= 1e-15) at_end ? from.pop_back() : from.pop_front();
  }
}

void Grow(std::deque<Parcel>& parcels, double seconds, double kept) {
  for (Parcel& parcel : parcels) {
    parcel.water.age_s += seconds;
    parcel.water.chlorine_mg_per_l *= kept;
  }
}

class CellTown {
 public:
  CellTown(const RandomTown& random, NodeIndex source)
      : network_(random.town.network),
        source_(source),
        pipe_(network_.links.size()),
        tank_(network_.nodes.size()),
        rested_s_(network_.links.size(), 0),
        at_(network_.nodes.size()) {
    for (std::size_t l = 0; l < pipe_.size(); ++l) {
      const double volume = VolumeOf_m3(network_.links[l]);
      if (volume > 0) pipe_[l].push_back({volume, {}});
    }
    for (const auto& [node, volume_m3] : random.tanks_m3) tank_[At(node)].push_back({volume_m3, {}});
  }

  void Step(const std::vector<double>& flow, double seconds) {
    Lose(flow, seconds);
    // Nodes whose inflows are all done, again and again; links of no volume hold what passes for a moment.
    std::vector<int> waits(network_.nodes.size(), 0);
    for (std::size_t l = 0; l < flow.size(); ++l) {
      if (flow[l] != 0) ++waits[Lower(l, flow)];
    }
    std::vector<std::size_t> ready;
    for (std::size_t n = 0; n < waits.size(); ++n) {
      if (waits[n] == 0) ready.push_back(n);
    }
    while (!ready.empty()) {
      const std::size_t node = ready.back();
      ready.pop_back();
      PassNode(node, flow, seconds);
      for (std::size_t l = 0; l < flow.size(); ++l) {
        if (flow[l] != 0 && Upper(l, flow) == node && --waits[Lower(l, flow)] == 0) {
          ready.push_back(Lower(l, flow));
        }
      }
    }
  }
  const std::vector<CellReading>& nodes() const { return at_; }

 private:
  std::size_t Upper(std::size_t l, const std::vector<double>& flow) const {
    return At(flow[l] > 0 ? network_.links[l].from : network_.links[l].to);
  }
  std::size_t Lower(std::size_t l, const std::vector<double>& flow) const {
    return At(flow[l] > 0 ? network_.links[l].to : network_.links[l].from);
  }

  void Lose(const std::vector<double>& flow, double seconds) {
    const NetworkOptions& options = network_.options;
    const Kinetics kinetics{.viscosity_m2_per_s = options.viscosity_m2_per_s,
                            .diffusivity_m2_per_s = options.diffusivity_m2_per_s};
    for (std::size_t l = 0; l < pipe_.size(); ++l) {
      const Link& link = network_.links[l];
      if (VolumeOf_m3(link) == 0) continue;
      double loss = link.bulk_per_day.value_or(options.bulk_per_day) / kDay_s * seconds;
      const double wall = link.wall_m_per_day.value_or(options.wall_m_per_day) / kDay_s;
      const double diameter = link.inner_diameter_m->value;
      if (flow[l] != 0) {
        rested_s_[l] = 0;
        loss +=
            seconds * FlowingWallRate_per_s(link.length_m.value, diameter, std::abs(flow[l]), wall, kinetics);
      } else if (wall > 0) {
        const double biot = wall * diameter / 2 / kinetics.diffusivity_m2_per_s;
        const StillWater& still = still_.try_emplace(biot, biot).first->second;
        const double per_s = kinetics.diffusivity_m2_per_s * 4 / (diameter * diameter);
        loss += still.LogLoss(per_s * (rested_s_[l] + seconds)) - still.LogLoss(per_s * rested_s_[l]);
        rested_s_[l] += seconds;
      }
      Grow(pipe_[l], seconds, std::exp(-loss));
    }
    for (std::deque<Parcel>& tank : tank_) {
      Grow(tank, seconds, std::exp(-options.bulk_per_day / kDay_s * seconds));
    }
  }

  void PassNode(std::size_t node, const std::vector<double>& flow, double seconds) {
    Stirred here;
    double net_in = 0;
    double out = 0;
    for (std::size_t l = 0; l < flow.size(); ++l) {
      if (flow[l] == 0) continue;
      if (Lower(l, flow) == node) {
        Take(pipe_[l], flow[l] > 0, std::abs(flow[l]) * seconds, here);
        net_in += std::abs(flow[l]);
      } else if (Upper(l, flow) == node) {
        net_in -= std::abs(flow[l]);
        out += std::abs(flow[l]);
      }
    }
    const Node& self = network_.nodes[node];
    const CellReading given{0, self.chlorine_mg_per_l.value_or(0), node == At(source_) ? 1.0 : 0.0};
    if (self.kind == NodeKind::kSource) {
      here = {};
      here.Add(1, given);
    } else if (self.tank) {
      PassTank(self, node, out * seconds, here);
    } else if (net_in < -1e-9) {
      here.Add(-net_in * seconds, given);
    }
    if (here.volume_m3 == 0) return;
    at_[node] = here.Mean();
    for (std::size_t l = 0; l < flow.size(); ++l) {
      if (flow[l] == 0 || Upper(l, flow) != node) continue;
      const Parcel parcel{std::abs(flow[l]) * seconds, at_[node]};
      flow[l] > 0 ? pipe_[l].push_front(parcel) : pipe_[l].push_back(parcel);
    }
  }

  void PassTank(const Node& self, std::size_t node, double out_m3, Stirred& here) {
    std::deque<Parcel>& tank = tank_[node];
    if (here.volume_m3 > 0) tank.push_front({here.volume_m3, here.Mean()});
    here = {};
    if (self.tank->mixing == TankMixing::kMixed) {
      for (const Parcel& parcel : tank) here.Add(parcel.volume_m3, parcel.water);
      tank.assign(1, {here.volume_m3 - out_m3, here.Mean()});
    } else if (out_m3 > 0) {
      Take(tank, true, out_m3, here);
    } else {
      here.Add(1, tank.back().water);
    }
    if (node == At(source_)) here.sum.share = here.volume_m3;
  }

  const Network& network_;
  NodeIndex source_;
  std::vector<std::deque<Parcel>> pipe_;  // from `from` to `to`
  std::vector<std::deque<Parcel>> tank_;  // newest first
  std::vector<double> rested_s_;
  std::map<double, StillWater> still_;  // by Biot number
  std::vector<CellReading> at_;
};

}  // namespace

std::vector<std::vector<CellReading>> TrackCells(const RandomTown& random, NodeIndex source,
                                                 double longest_s) {
  CellTown town(random, source);
  std::vector<std::vector<CellReading>> read;
  for (std::size_t p = 0; p < random.seconds.size(); ++p) {
    const double steps = std::ceil(random.seconds[p] / longest_s);
    for (double step = 0; step < steps; ++step) town.Step(random.flows[p], random.seconds[p] / steps);
    read.push_back(town.nodes());
  }
  return read;
}

}  // namespace lastreach
