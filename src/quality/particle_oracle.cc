#include "quality/particle_oracle.h"

#include <array>
#include <cmath>
#include <numbers>
#include <random>

#include "quality/still_water.h"

namespace lastreach {
namespace {

struct Parcel {
  std::size_t segment = 0;
  double metres = 0;  // from the segment's upstream end
  double released_s = 0;
  double log_loss = 0;
};

// What the segments do during one short piece of time.
struct Moment {
  std::vector<double> velocity_m_per_s;
  std::vector<double> loss_per_s;  // of moving water
  std::vector<double> still_loss;  // over the whole piece, of standing water, wall only
};

void Push(const Branch& branch, const BranchDrive& drive, std::size_t step, const Moment& moment,
          double begin_s, double span_s, Parcel& parcel, std::vector<Crossing>& crossings, bool& gone) {
  double left_s = span_s;
  while (left_s > 0) {
    const BranchSegment& segment = branch.segments[parcel.segment];
    const double velocity = moment.velocity_m_per_s[parcel.segment];
    if (velocity == 0) {
      const double bulk = drive.bulk_factor.empty() ? 1 : drive.bulk_factor[step];
      parcel.log_loss += segment.bulk_per_s * bulk * left_s + moment.still_loss[parcel.segment];
      return;
    }
    const double to_tap_s = (segment.length_m - parcel.metres) / velocity;
    if (to_tap_s > left_s) {
      parcel.metres += velocity * left_s;
      parcel.log_loss += moment.loss_per_s[parcel.segment] * left_s;
      return;
    }
    left_s -= to_tap_s;
    parcel.log_loss += moment.loss_per_s[parcel.segment] * to_tap_s;
    crossings.push_back({parcel.segment, begin_s + span_s - left_s, parcel.released_s, parcel.log_loss,
                         velocity * std::numbers::pi / 4 * segment.diameter_m * segment.diameter_m});
    parcel.metres = 0;
    ++parcel.segment;
    if (parcel.segment == branch.segments.size() || moment.velocity_m_per_s[parcel.segment] == 0) {
      gone = true;
      return;
    }
  }
}

}  // namespace

std::vector<Crossing> PushParcels(const Branch& branch, const BranchDrive& drive, double interval_s,
                                  const Kinetics& kinetics) {
  const std::size_t n = branch.segments.size();
  std::vector<double> beyond(n + 1, 0);
  for (std::size_t j = n; j-- > 0;) beyond[j] = beyond[j + 1] + branch.segments[j].tap_demand_m3_per_s;
  std::vector<StillWater> still;
  for (const BranchSegment& s : branch.segments) {
    still.emplace_back(s.wall_m_per_s * s.diameter_m / 2 / kinetics.diffusivity_m2_per_s);
  }
  std::vector<double> rested_s(n, 0);
  std::vector<Parcel> parcels;
  std::vector<Crossing> crossings;
  for (std::size_t i = 0; i < drive.steps(); ++i) {
    const double step_s = drive.time_s[i + 1] - drive.time_s[i];
    const int pieces = static_cast<int>(std::ceil(step_s / interval_s));
    const double span_s = step_s / pieces;
    for (int p = 0; p < pieces; ++p) {
      const double begin_s = drive.time_s[i] + p * span_s;
      Moment moment{std::vector<double>(n), std::vector<double>(n), std::vector<double>(n)};
      for (std::size_t j = 0; j < n; ++j) {
        const BranchSegment& s = branch.segments[j];
        double flow = drive.demand_factor[i] * beyond[j] + drive.end_flow_m3_per_s[i];
        for (const SideDraw& draw : drive.side_draws) flow += draw.segment >= j ? draw.flow_m3_per_s[i] : 0;
        moment.velocity_m_per_s[j] = flow / (std::numbers::pi / 4 * s.diameter_m * s.diameter_m);
        if (flow > 0) {
          rested_s[j] = 0;
          moment.loss_per_s[j] =
              s.bulk_per_s * (drive.bulk_factor.empty() ? 1 : drive.bulk_factor[i]) +
              FlowingWallRate_per_s(s.length_m, s.diameter_m, flow, s.wall_m_per_s, kinetics);
        } else {
          const double per_s = kinetics.diffusivity_m2_per_s * 4 / (s.diameter_m * s.diameter_m);
          moment.still_loss[j] =
              still[j].LogLoss(per_s * (rested_s[j] + span_s)) - still[j].LogLoss(per_s * rested_s[j]);
          rested_s[j] += span_s;
        }
      }
      if (moment.velocity_m_per_s[0] > 0) parcels.push_back({.released_s = begin_s});
      std::size_t kept = 0;
      for (Parcel& parcel : parcels) {
        bool gone = false;
        Push(branch, drive, i, moment, begin_s, span_s, parcel, crossings, gone);
        if (!gone) parcels[kept++] = parcel;
      }
      parcels.resize(kept);
    }
  }
  return crossings;
}

RandomCase MakeRandomCase(uint64_t seed, bool round, bool side_draws) {
  std::mt19937_64 random(seed);
  const auto chance = [&](double share) { return std::bernoulli_distribution(share)(random); };
  const auto number = [&](double low, double high) {
    return std::uniform_real_distribution<>(low, high)(random);
  };
  const auto whole = [&](int low, int high) { return std::uniform_int_distribution<>(low, high)(random); };
  const auto spread = [&](double low, double high) {
    return std::exp(number(std::log(low), std::log(high)));
  };

  RandomCase made;
  const int segments = whole(1, 6);
  const bool walls = chance(0.5);
  const bool one_material = chance(0.4);
  for (int j = 0; j < segments; ++j) {
    BranchSegment s;
    s.diameter_m = one_material ? 0.1 : std::array{0.05, 0.1, 0.15}[static_cast<std::size_t>(whole(0, 2))];
    const double volume_m3 = round ? 0.06 * whole(1, 8) : spread(0.02, 1.5);
    s.length_m = volume_m3 / (std::numbers::pi / 4 * s.diameter_m * s.diameter_m);
    if (chance(0.7)) s.tap_demand_m3_per_s = round ? 1e-5 * whole(1, 5) : spread(1e-6, 1e-4);
    s.bulk_per_s = one_material ? 2e-5 : (chance(0.1) ? 0 : spread(1e-7, 1e-4));
    if (walls) s.wall_m_per_s = one_material ? 5e-7 : (chance(0.2) ? 0 : spread(1e-7, 1e-5));
    made.branch.segments.push_back(s);
  }
  BranchDrive& drive = made.drive;
  const int steps = whole(6, 40);
  const bool warms = chance(0.4);
  const bool moving_root = chance(0.5);
  double root = 1;
  drive.time_s.push_back(round ? 0 : number(-1e5, 1e5));
  drive.root_mg_per_l.push_back(root);
  for (int i = 0; i < steps; ++i) {
    drive.time_s.push_back(drive.time_s.back() + (round ? 600 * whole(1, 6) : spread(60, 7200)));
    drive.demand_factor.push_back(chance(0.25) ? 0 : (round ? whole(1, 4) : number(0.1, 3)));
    drive.end_flow_m3_per_s.push_back(chance(0.6) ? 0 : (round ? 1e-4 * whole(1, 5) : spread(1e-5, 2e-3)));
    if (warms) drive.bulk_factor.push_back(number(0.5, 1.5));
    if (moving_root) root = number(0.1, 1.2);
    drive.root_mg_per_l.push_back(root);
  }
  drive.initial_mg_per_l = chance(0.5) ? 0.4 : 0;
  for (int k = side_draws ? whole(1, 3) : 0; k > 0; --k) {
    SideDraw draw{.segment = static_cast<std::size_t>(whole(0, segments - 1)), .flow_m3_per_s = {}};
    for (int i = 0; i < steps; ++i) {
      draw.flow_m3_per_s.push_back(chance(0.6) ? 0 : (round ? 1e-4 * whole(1, 5) : spread(1e-5, 2e-3)));
    }
    drive.side_draws.push_back(std::move(draw));
  }
  return made;
}

}  // namespace lastreach
