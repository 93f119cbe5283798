#include "quality/dispersed_branch.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numbers>
#include <numeric>

#include "quality/dispersion.h"

namespace lastreach {
namespace {

double Area_m2(const BranchSegment& segment) {
  return std::numbers::pi / 4 * segment.diameter_m * segment.diameter_m;
}

double Biot(const BranchSegment& segment, const Kinetics& kinetics) {
  return segment.wall_m_per_s * segment.diameter_m / 2 / kinetics.diffusivity_m2_per_s;
}

constexpr DispersedLow kNothingMet{.lowest_mg_per_l = std::numeric_limits<double>::infinity()};

}  // namespace

DispersedBranch::DispersedBranch(const Branch& branch, const DispersionOptions& options,
                                 const Kinetics& kinetics, double initial_mg_per_l)
    : segments_(branch.segments),
      options_(options),
      kinetics_(kinetics),
      flow_m3_per_s_(segments_.size()),
      wall_per_s_(segments_.size()),
      rest_s_(segments_.size()),
      turbulent_m2_per_s_(segments_.size()),
      still_(segments_.size()),
      lows_(segments_.size()) {
  std::map<double, std::shared_ptr<const StillWater>> tables;
  for (std::size_t j = 0; j < segments_.size(); ++j) {
    const BranchSegment& segment = segments_[j];
    const double cells = std::max(1.0, std::round(segment.length_m / options.cell_length_m));
    columns_.emplace_back(segment.volume_m3(), segment.volume_m3() / cells,
                          WaterCell{.mg_per_l = initial_mg_per_l});
    if (segment.wall_m_per_s == 0) continue;
    std::shared_ptr<const StillWater>& table = tables[Biot(segment, kinetics)];
    if (!table) table = std::make_shared<const StillWater>(Biot(segment, kinetics));
    still_[j] = table;
  }
  held_at_start_g_ = held_g();
  BeginSpan();
}

// Powers only where the flow is another than before.
void DispersedBranch::SetFlows(const DispersedStep& step) {
  double flow = step.end_flow_m3_per_s;
  for (std::size_t j = segments_.size(); j-- > 0;) {
    flow += step.draw_m3_per_s[j];
    if (flow == flow_m3_per_s_[j]) continue;
    const BranchSegment& segment = segments_[j];
    flow_m3_per_s_[j] = flow;
    rest_s_[j] = 0;
    wall_per_s_[j] = turbulent_m2_per_s_[j] = 0;
    if (flow == 0) continue;
    wall_per_s_[j] =
        FlowingWallRate_per_s(segment.length_m, segment.diameter_m, flow, segment.wall_m_per_s, kinetics_);
    const double velocity = flow / Area_m2(segment);
    const double reynolds = velocity * segment.diameter_m / kinetics_.viscosity_m2_per_s;
    if (reynolds >= kLaminarReynolds) {
      turbulent_m2_per_s_[j] =
          TurbulentDispersion_m2_per_s(segment.diameter_m / 2, velocity, SmoothFrictionFactor(reynolds));
    }
  }
}

double DispersedBranch::LongestStep_s() const {
  double longest_s = options_.longest_step_s;
  for (std::size_t j = 0; j < segments_.size(); ++j) {
    if (flow_m3_per_s_[j] > 0) longest_s = std::min(longest_s, segments_[j].volume_m3() / flow_m3_per_s_[j]);
  }
  return longest_s;
}

void DispersedBranch::Advance(const DispersedStep& step) {
  SetFlows(step);
  const double parts = std::ceil(step.seconds / LongestStep_s());
  const double part_s = step.seconds / parts;
  const double begin_s = now_s_;
  for (double part = 0; part < parts; ++part) {
    const auto root_at = [&](double share) {
      return std::lerp(step.root_mg_per_l, step.root_after_mg_per_l, (part + share) / parts);
    };
    // Water that comes in during a half move is treated by half of the loss on either side of it: its mean.
    for (const double share : {0.25, 0.75}) {
      AgeAndLose(part_s / 4, step.bulk_factor);
      Move(part_s / 2, root_at(share));
      AgeAndLose(part_s / 4, step.bulk_factor);
      if (share == 0.25 && options_.along_the_pipe) Disperse(part_s, root_at(0.5));
    }
    now_s_ = begin_s + step.seconds * (part + 1) / parts;
    for (std::size_t j = 0; j < segments_.size(); ++j) Judge(j, columns_[j].outlet());
  }
}

void DispersedBranch::AdvanceAlong(const BranchDrive& drive) {
  std::vector<double> draw_m3_per_s(segments_.size());
  for (std::size_t i = 0; i < drive.steps(); ++i) {
    for (std::size_t j = 0; j < segments_.size(); ++j) {
      draw_m3_per_s[j] = drive.demand_factor[i] * segments_[j].tap_demand_m3_per_s;
    }
    Advance({.seconds = drive.time_s[i + 1] - drive.time_s[i],
             .draw_m3_per_s = draw_m3_per_s,
             .end_flow_m3_per_s = drive.end_flow_m3_per_s[i],
             .bulk_factor = drive.bulk_factor.empty() ? 1 : drive.bulk_factor[i],
             .root_mg_per_l = drive.root_mg_per_l[i],
             .root_after_mg_per_l = drive.root_mg_per_l[i + 1]});
  }
}

void DispersedBranch::AgeAndLose(double seconds, double bulk_factor) {
  for (std::size_t j = 0; j < segments_.size(); ++j) {
    const BranchSegment& segment = segments_[j];
    double log_loss = segment.bulk_per_s * bulk_factor * seconds;
    const double radius_m = segment.diameter_m / 2;
    if (flow_m3_per_s_[j] > 0) {
      log_loss += wall_per_s_[j] * seconds;
    } else {
      const double fourier_per_s = kinetics_.diffusivity_m2_per_s / (radius_m * radius_m);
      if (still_[j]) {
        log_loss += still_[j]->LogLoss(fourier_per_s * (rest_s_[j] + seconds)) -
                    still_[j]->LogLoss(fourier_per_s * rest_s_[j]);
      }
      rest_s_[j] += seconds;
    }
    // ShearedLength_m is linear in what was sheared before: two of its values give them all.
    const double velocity = flow_m3_per_s_[j] / Area_m2(segment);
    const bool mixes = turbulent_m2_per_s_[j] > 0;
    const auto sheared_m = [&](double before_m) {
      return mixes ? 0
                   : ShearedLength_m(before_m, radius_m, velocity, kinetics_.diffusivity_m2_per_s, seconds);
    };
    const double fresh_m = sheared_m(0);
    const double kept = sheared_m(1) - fresh_m;
    const double left = std::exp(-log_loss);
    const double lost = -std::expm1(-log_loss);
    double lost_g = 0;
    for (WaterCell& cell : columns_[j].cells()) {
      lost_g += cell.volume_m3 * cell.mg_per_l * lost;
      cell.mg_per_l *= left;
      cell.age_s += seconds;
      cell.sheared_m = fresh_m + kept * cell.sheared_m;
    }
    decayed_g_ += lost_g;
  }
}

void DispersedBranch::Move(double seconds, double root_mg_per_l) {
  if (flow_m3_per_s_[0] == 0) return;
  const double let_in_m3 = flow_m3_per_s_[0] * seconds;
  entered_g_ += let_in_m3 * root_mg_per_l;
  columns_[0].PushIn({let_in_m3, root_mg_per_l, 0, 0});
  for (std::size_t j = 0; j < segments_.size() && flow_m3_per_s_[j] > 0; ++j) {
    const bool last = j + 1 == segments_.size();
    const double flow = flow_m3_per_s_[j];
    const double on = last ? 0 : flow_m3_per_s_[j + 1] / flow;
    const bool as_sheared = !last && segments_[j + 1].diameter_m == segments_[j].diameter_m;
    columns_[j].TakeOut(flow * seconds, [&](const WaterCell& water) {
      Judge(j, water);
      left_g_ += water.volume_m3 * (1 - on) * water.mg_per_l;
      if (last || on == 0) return;
      columns_[j + 1].PushIn(
          {water.volume_m3 * on, water.mg_per_l, water.age_s, as_sheared ? water.sheared_m : 0});
    });
  }
}

void DispersedBranch::Disperse(double seconds, double root_mg_per_l) {
  exchange_.Clear();
  mg_per_l_.clear();
  age_s_.clear();
  double volume_before_m3 = 0;
  double resistance_before = 0;  // of half a cell [s/m3]
  // From the end to the root: each cell's exchange is known once the next one is.
  for (std::size_t j = segments_.size(); j-- > 0;) {
    const double area_m2 = Area_m2(segments_[j]);
    const double velocity = flow_m3_per_s_[j] / area_m2;
    for (const WaterCell& cell : columns_[j].cells()) {
      const double rate_m2_per_s =
          turbulent_m2_per_s_[j] > 0 ? turbulent_m2_per_s_[j] : velocity * cell.sheared_m;
      const double resistance = cell.volume_m3 / (2 * area_m2 * area_m2 * rate_m2_per_s);
      if (!mg_per_l_.empty()) exchange_.Add(volume_before_m3, 1 / (resistance_before + resistance));
      mg_per_l_.push_back(cell.mg_per_l);
      age_s_.push_back(cell.age_s);
      volume_before_m3 = cell.volume_m3;
      resistance_before = resistance;
    }
  }
  exchange_.Add(volume_before_m3, 0);
  const double outside_m3_per_s = options_.exchange_at_root ? 1 / resistance_before : 0;
  entered_g_ += exchange_.Apply(seconds, outside_m3_per_s, root_mg_per_l, mg_per_l_);
  exchange_.Apply(seconds, outside_m3_per_s, 0, age_s_);
  std::size_t i = 0;
  for (std::size_t j = segments_.size(); j-- > 0;) {
    for (WaterCell& cell : columns_[j].cells()) {
      cell.mg_per_l = std::max(mg_per_l_[i], 0.0);
      cell.age_s = age_s_[i++];
    }
  }
}

void DispersedBranch::BeginSpan() {
  std::fill(lows_.begin(), lows_.end(), kNothingMet);
  for (std::size_t j = 0; j < segments_.size(); ++j) Judge(j, columns_[j].outlet());
}

void DispersedBranch::Judge(std::size_t tap, const WaterCell& water) {
  DispersedLow& low = lows_[tap];
  low.greatest_age_s = std::max(low.greatest_age_s, water.age_s);
  if (water.mg_per_l >= low.lowest_mg_per_l) return;
  low.lowest_mg_per_l = water.mg_per_l;
  low.when_s = now_s_;
}

double DispersedBranch::held_g() const {
  double held_g = 0;
  for (const CellColumn& column : columns_) {
    for (const WaterCell& cell : column.cells()) held_g += cell.volume_m3 * cell.mg_per_l;
  }
  return held_g;
}

}  // namespace lastreach
