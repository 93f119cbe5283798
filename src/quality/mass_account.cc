#include "quality/mass_account.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "quality/flow_history.h"
#include "quality/passage.h"

namespace lastreach {
namespace {

// One end of a piece of water: what it was when it entered the branch [mg/L] and what it has lost.
struct Residual {
  double started_mg_per_l;
  double log_loss;
};

// Mean over x in [0, 1] of (s0 + (s1 - s0) x) exp(-(l0 + (l1 - l0) x)): `started` and `log_loss` straight
// lines.
double MeanResidual(Residual begin, Residual end) {
  const double d = end.log_loss - begin.log_loss;
  double level = 0;  // (1 - e^-d) / d
  double ramp = 0;   // (1 - (1 + d) e^-d) / d^2
  if (std::abs(d) < 1e-2) {
    level = 1 + d * (-1.0 / 2 + d * (1.0 / 6 + d * (-1.0 / 24 + d * (1.0 / 120 - d / 720))));
    ramp = 1.0 / 2 + d * (-1.0 / 3 + d * (1.0 / 8 + d * (-1.0 / 30 + d * (1.0 / 144 - d / 840))));
  } else {
    level = -std::expm1(-d) / d;
    ramp = (level - std::exp(-d)) / d;
  }
  return std::exp(-begin.log_loss) *
         (begin.started_mg_per_l * level + (end.started_mg_per_l - begin.started_mg_per_l) * ramp);
}

// The root's residual at times asked for in ascending order.
class RootReader {
 public:
  explicit RootReader(const FlowHistory& flows) : flows_(flows) {}

  double At(double time) {
    const std::span<const double> time_s = flows_.time_s();
    while (step_ + 1 < flows_.steps() && time_s[step_ + 1] <= time) ++step_;
    const double share = (time - time_s[step_]) / (time_s[step_ + 1] - time_s[step_]);
    return std::lerp(flows_.root_mg_per_l()[step_], flows_.root_mg_per_l()[step_ + 1], share);
  }

 private:
  const FlowHistory& flows_;
  std::size_t step_ = 0;
};

// Residual at each breakpoint of a passage.
std::vector<Residual> Residuals(const FlowHistory& flows, const Passage& passage, double initial_mg_per_l) {
  std::vector<Residual> residuals;
  residuals.reserve(passage.points.size());
  RootReader root(flows);
  for (std::size_t m = 0; m < passage.points.size(); ++m) {
    const Breakpoint& point = passage.points[m];
    residuals.push_back({m < passage.initial ? initial_mg_per_l : root.At(point.entered_s), point.log_loss});
  }
  return residuals;
}

Residual Between(Residual a, Residual b, double share) {
  return {std::lerp(a.started_mg_per_l, b.started_mg_per_l, share), std::lerp(a.log_loss, b.log_loss, share)};
}

// One segment's part of the account.
class SegmentAccount {
 public:
  SegmentAccount(const FlowHistory& flows, const SegmentHistory& segment, double initial_mg_per_l)
      : flows_(flows), segment_(segment), initial_{initial_mg_per_l, 0} {}

  // Water that left: what taps and device took, and what it had lost in the segment.
  void AddLeft(const Passage& outlet, const Passage& inlet, const Entries& entries, double tap_demand,
               std::span<const SideDraw> side_draws, bool is_last, std::size_t number, MassAccount& account);
  // Water still in the segment at the end of the drive.
  void AddHeld(const Passage& inlet, const Entries& entries, MassAccount& account);

 private:
  const FlowHistory& flows_;
  const SegmentHistory& segment_;
  Residual initial_;
};

void SegmentAccount::AddLeft(const Passage& outlet, const Passage& inlet, const Entries& entries,
                             double tap_demand, std::span<const SideDraw> side_draws, bool is_last,
                             std::size_t number, MassAccount& account) {
  const std::vector<Residual> out = Residuals(flows_, outlet, initial_.started_mg_per_l);
  const std::vector<Residual> in = Residuals(flows_, inlet, initial_.started_mg_per_l);
  const std::span<const Entry> entered = entries.points;
  std::size_t step = 0;
  std::size_t piece = 0;
  for (std::size_t m = 0; m + 1 < outlet.points.size(); ++m) {
    const double span = outlet.points[m + 1].time_s - outlet.points[m].time_s;
    if (span <= 0) continue;
    const double middle = outlet.points[m].time_s + span / 2;
    while (step + 1 < flows_.steps() && flows_.time_s()[step + 1] <= middle) ++step;
    const double flow = segment_.instants()[step].flow_m3_per_s;
    if (flow == 0) continue;
    const double mean = MeanResidual(out[m], out[m + 1]);
    const double drawn = tap_demand * flows_.demand_factor()[step] * span;
    account.left_at_taps_g[number] += drawn * mean;
    account.water_out_m3 += drawn;
    for (std::size_t k = 0; k < side_draws.size(); ++k) {
      if (side_draws[k].segment != number) continue;
      const double aside = side_draws[k].flow_m3_per_s[step] * span;
      account.left_by_side_draws_g[k] += aside * mean;
      account.water_out_m3 += aside;
    }
    if (is_last) {
      account.left_at_end_g += flows_.end_flow_m3_per_s()[step] * span * mean;
      account.water_out_m3 += flows_.end_flow_m3_per_s()[step] * span;
    }

    const double since = outlet.points[m].time_s - flows_.time_s()[step];
    const double begin = segment_.instants()[step].volume_m3 + flow * since - segment_.segment_volume_m3();
    const double end = begin + flow * span;
    double entered_mean = initial_.started_mg_per_l;
    if ((begin + end) / 2 > 0) {
      while (piece + 2 < entered.size() && entered[piece + 1].volume_m3 <= (begin + end) / 2) ++piece;
      const double per_m3 = 1 / (entered[piece + 1].volume_m3 - entered[piece].volume_m3);
      entered_mean =
          MeanResidual(Between(in[piece], in[piece + 1], (begin - entered[piece].volume_m3) * per_m3),
                       Between(in[piece], in[piece + 1], (end - entered[piece].volume_m3) * per_m3));
    }
    account.decayed_g += flow * span * (entered_mean - mean);
  }
}

void SegmentAccount::AddHeld(const Passage& inlet, const Entries& entries, MassAccount& account) {
  const double lost_by_end = segment_.instants().back().log_loss;
  const double oldest = segment_.instants().back().volume_m3 - segment_.segment_volume_m3();
  if (oldest < 0) {
    const double held = initial_.started_mg_per_l * std::exp(-lost_by_end);
    account.held_at_end_g += -oldest * held;
    account.decayed_g += -oldest * (initial_.started_mg_per_l - held);
  }
  const std::vector<Residual> in = Residuals(flows_, inlet, initial_.started_mg_per_l);
  const std::span<const Entry> entered = entries.points;
  for (std::size_t m = 0; m + 1 < entered.size(); ++m) {
    const double width = entered[m + 1].volume_m3 - entered[m].volume_m3;
    if (width <= 0 || entered[m + 1].volume_m3 <= oldest) continue;
    const double from = std::max(0.0, (oldest - entered[m].volume_m3) / width);
    const Residual begin = Between(in[m], in[m + 1], from);
    const auto now = [&](std::size_t at) {
      return Residual{in[at].started_mg_per_l, entered[at].base + lost_by_end};
    };
    const double held = MeanResidual(Between(now(m), now(m + 1), from), now(m + 1));
    account.held_at_end_g += width * (1 - from) * held;
    account.decayed_g += width * (1 - from) * (MeanResidual(begin, in[m + 1]) - held);
  }
}

}  // namespace

double MassAccount::imbalance_g() const {
  return held_at_start_g + entered_g - std::accumulate(left_at_taps_g.begin(), left_at_taps_g.end(), 0.0) -
         std::accumulate(left_by_side_draws_g.begin(), left_by_side_draws_g.end(), 0.0) - left_at_end_g -
         decayed_g - held_at_end_g;
}

MassAccount AccountForMass(const Branch& branch, const BranchDrive& drive, const Kinetics& kinetics) {
  FlowHistory flows;
  flows.Build(branch, drive, kinetics);
  MassAccount account;
  account.left_at_taps_g.assign(branch.segments.size(), 0);
  account.left_by_side_draws_g.assign(drive.side_draws.size(), 0);
  Passage inlet, outlet;
  Entries entries;
  SegmentHistory segment;
  PassRoot(flows, inlet);
  for (std::size_t j = 0; j < branch.segments.size(); ++j) {
    segment.Build(flows, branch.segments[j], j);
    if (j == 0) {
      for (std::size_t i = 0; i < flows.steps(); ++i) {
        const double water = segment.instants()[i + 1].volume_m3 - segment.instants()[i].volume_m3;
        account.water_in_m3 += water;
        account.entered_g += water * (flows.root_mg_per_l()[i] + flows.root_mg_per_l()[i + 1]) / 2;
      }
    }
    account.held_at_start_g += segment.segment_volume_m3() * drive.initial_mg_per_l;
    PassSegment(segment, {}, inlet, entries, outlet);
    SegmentAccount part(flows, segment, drive.initial_mg_per_l);
    part.AddLeft(outlet, inlet, entries, branch.segments[j].tap_demand_m3_per_s, drive.side_draws,
                 j + 1 == branch.segments.size(), j, account);
    part.AddHeld(inlet, entries, account);
    std::swap(inlet, outlet);
  }
  return account;
}

}  // namespace lastreach
