#include "evidence/share_curve.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "quality/flow_history.h"

namespace lastreach {
namespace {

constexpr double kReach_sd = 5;  // beyond so many spreads nothing is felt

double NormalBelow(double x) { return 0.5 * std::erfc(-x / std::numbers::sqrt2); }

// INT phi(y) exp(-(loss + slope s y)) dy from low to high.
double Blurred(double loss, double slope_sd, double low, double high) {
  // Steeper than a front can be worked out so; then the piece is so thin that its ends say enough.
  constexpr double kSteepest = 8;
  if (std::abs(slope_sd) > kSteepest) {
    const double ends = (std::exp(-(loss + slope_sd * low)) + std::exp(-(loss + slope_sd * high))) / 2;
    return ends * (NormalBelow(high) - NormalBelow(low));
  }
  return std::exp(-loss + slope_sd * slope_sd / 2) *
         (NormalBelow(high + slope_sd) - NormalBelow(low + slope_sd));
}

}  // namespace

ShareCurve::ShareCurve(const Branch& branch, const BranchDrive& drive, const Kinetics& kinetics) {
  FlowHistory flows;
  flows.Build(branch, drive, kinetics);
  Passage inlet;
  Entries entries;
  SegmentHistory segment;
  PassRoot(flows, inlet);
  for (std::size_t j = 0; j < branch.segments.size(); ++j) {
    segment.Build(flows, branch.segments[j], j);
    PassSegment(segment, {}, inlet, entries, passage_);
    std::swap(inlet, passage_);
  }
  std::swap(inlet, passage_);
}

bool ShareCurve::IsInitialAt(double time_s) const {
  const auto after = std::upper_bound(passage_.points.begin(), passage_.points.end(), time_s,
                                      [](double time, const Breakpoint& p) { return time < p.time_s; });
  return after - passage_.points.begin() <= static_cast<std::ptrdiff_t>(passage_.initial);
}

double ShareCurve::ShareAt(const ShareQuery& query) const {
  const std::vector<Breakpoint>& points = passage_.points;
  const auto first_after = [&](double time_s) {
    return static_cast<std::size_t>(
        std::upper_bound(points.begin(), points.end(), time_s,
                         [](double time, const Breakpoint& p) { return time < p.time_s; }) -
        points.begin());
  };
  const auto slope = [&](std::size_t i) {
    const double span = points[i + 1].time_s - points[i].time_s;
    return span > 0 ? (points[i + 1].log_loss - points[i].log_loss) / span : 0.0;
  };
  if (!(query.spread_s > 0)) {
    const std::size_t after = first_after(query.time_s);
    if (after <= passage_.initial) return 0;
    const std::size_t i = after - 1;
    if (after == points.size()) return std::exp(-points[i].log_loss);
    return std::exp(-(points[i].log_loss + slope(i) * (query.time_s - points[i].time_s)));
  }
  const double s = query.spread_s;
  const double from = std::max(query.from_s, query.time_s - kReach_sd * s);
  const double to = std::min(query.to_s, query.time_s + kReach_sd * s);
  double blurred = 0;
  for (std::size_t i = std::max<std::size_t>(1, first_after(from)) - 1;
       i + 1 < points.size() && points[i].time_s < to; ++i) {
    if (i < passage_.initial) continue;
    const double low = std::max(from, points[i].time_s);
    const double high = std::min(to, points[i + 1].time_s);
    if (high <= low) continue;
    const double loss = points[i].log_loss + slope(i) * (query.time_s - points[i].time_s);
    blurred += Blurred(loss, slope(i) * s, (low - query.time_s) / s, (high - query.time_s) / s);
  }
  return blurred / (NormalBelow((to - query.time_s) / s) - NormalBelow((from - query.time_s) / s));
}

BranchDrive WithInstants(const BranchDrive& drive, std::span<const double> times_s) {
  std::vector<double> instants = drive.time_s;
  for (const double time : times_s) {
    if (time > drive.time_s.front() && time < drive.time_s.back()) instants.push_back(time);
  }
  std::sort(instants.begin(), instants.end());
  instants.erase(std::unique(instants.begin(), instants.end()), instants.end());
  BranchDrive out;
  out.initial_mg_per_l = drive.initial_mg_per_l;
  out.time_s = instants;
  for (const SideDraw& draw : drive.side_draws) out.side_draws.push_back({draw.segment, {}});
  std::size_t step = 0;
  for (std::size_t i = 0; i < instants.size(); ++i) {
    while (step + 1 < drive.steps() && drive.time_s[step + 1] <= instants[i]) ++step;
    const double share = (instants[i] - drive.time_s[step]) / (drive.time_s[step + 1] - drive.time_s[step]);
    out.root_mg_per_l.push_back(std::lerp(drive.root_mg_per_l[step], drive.root_mg_per_l[step + 1], share));
    if (i + 1 == instants.size()) break;
    out.demand_factor.push_back(drive.demand_factor[step]);
    out.end_flow_m3_per_s.push_back(drive.end_flow_m3_per_s[step]);
    if (!drive.bulk_factor.empty()) out.bulk_factor.push_back(drive.bulk_factor[step]);
    for (std::size_t d = 0; d < drive.side_draws.size(); ++d)
      out.side_draws[d].flow_m3_per_s.push_back(drive.side_draws[d].flow_m3_per_s[step]);
  }
  return out;
}

}  // namespace lastreach
