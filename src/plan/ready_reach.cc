#include "plan/ready_reach.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

namespace lastreach {
namespace {

// Water that stands beside an active wall, step by step.
struct Rest {
  const BranchSegment& pipe;
  const Kinetics& kinetics;
  FlowHistory& tables;
  double since_s = -1;  // negative while it flows
  double lost = 0;
  std::shared_ptr<const StillWater> still{};

  double WallLossThrough(double begin_s, double span_s) {
    const double radius_m = pipe.diameter_m / 2;
    if (!still) still = tables.Still(pipe.wall_m_per_s * radius_m / kinetics.diffusivity_m2_per_s);
    if (since_s < 0) {
      since_s = begin_s;
      lost = 0;
    }
    const double fourier_per_s = kinetics.diffusivity_m2_per_s / (radius_m * radius_m);
    const double lost_by_end = still->LogLoss(fourier_per_s * (begin_s + span_s - since_s));
    return lost_by_end - std::exchange(lost, lost_by_end);
  }
};

}  // namespace

ReadyReach::ReadyReach(const ReachModel& model)
    : root_by_hour_(model.upstream_by_hour),
      root_least_mg_per_l_(model.upstream_mg_per_l),
      kinetics_(model.kinetics),
      flow_m3_per_s_(model.flow_m3_per_s),
      upstream_mg_per_l_(model.upstream_mg_per_l),
      slowest_loss_per_s_(model.slowest_loss_per_s) {
  if (root_by_hour_) root_least_mg_per_l_ = *std::min_element(root_by_hour_->begin(), root_by_hour_->end());
  double beyond = 0;
  for (const BranchSegment& pipe : model.branch.segments) beyond += pipe.tap_demand_m3_per_s;
  for (size_t j = 0; j <= model.judged.back(); ++j) {
    const BranchSegment& pipe = model.branch.segments[j];
    Segment segment;
    segment.pipe = pipe;
    segment.volume_m3 = pipe.volume_m3();
    segment.beyond_m3_per_s = std::max(0.0, beyond);
    for (const ReachModel::Beside& beside : model.beside) {
      segment.beside_m3_per_s.push_back(beside.segment >= j ? beside.flow_m3_per_s : 0);
    }
    segments_.push_back(std::move(segment));
    beyond -= pipe.tap_demand_m3_per_s;
    any_wall_ |= pipe.wall_m_per_s > 0;
  }
  for (size_t i = 0; i < model.judged.size(); ++i) {
    segments_[model.judged[i]].is_judged = true;
    segments_[model.judged[i]].judged = i;
  }
}

const ReadyReach::InStep& ReadyReach::WorkOut(Segment& segment, uint32_t kind) const {
  if (kind >= segment.in_step.size()) segment.in_step.resize(std::max(kind + 1, Timeline::kHourKinds));
  const BranchSegment& pipe = segment.pipe;
  const double flow = Flow(segment, kind);
  const double wall =
      flow > 0 && pipe.wall_m_per_s > 0
          ? FlowingWallRate_per_s(pipe.length_m, pipe.diameter_m, flow, pipe.wall_m_per_s, kinetics_)
          : 0;
  return segment.in_step[kind] = {flow, 1 / flow, pipe.bulk_per_s + wall};
}

double ReadyReach::RootAt(const Timeline& line, double time_s) const {
  if (!root_by_hour_) return upstream_mg_per_l_;
  const auto lower = [&](uint8_t a, uint8_t b) { return std::min((*root_by_hour_)[a], (*root_by_hour_)[b]); };
  const auto value = [&](const Timeline::RootPlace& place) {
    return std::lerp(lower(place.before, place.hour), lower(place.hour, place.after), double{place.share});
  };
  const auto above = std::upper_bound(line.time_s.begin() + 1, line.time_s.end() - 1, time_s);
  const auto i = static_cast<size_t>(above - line.time_s.begin()) - 1;
  const double share = (time_s - line.time_s[i]) / (line.time_s[i + 1] - line.time_s[i]);
  return std::lerp(value(line.root[i]), value(line.root[i + 1]), share);
}

// As FlowHistory::LastInstantBeforeAllMet: what the last place has at the window's begin, on the older side,
// followed back by the sums alone, with four slivers of room in each segment.
std::optional<size_t> ReadyReach::FirstNeeded(const Timeline& line) const {
  double time = line.time_s[line.first_judged];
  size_t before = line.steps();
  for (size_t j = segments_.size(); j-- > 0;) {
    const Segment& segment = segments_[j];
    const auto above = std::upper_bound(line.time_s.begin() + 1,
                                        line.time_s.begin() + static_cast<std::ptrdiff_t>(before), time);
    const auto now = static_cast<size_t>(above - line.time_s.begin()) - 1;
    const double entered =
        Passed(segment, line, now) + Flow(segment, line.kind[now]) * (time - line.time_s[now]) -
        segment.volume_m3 -
        4 * SegmentHistory::Sliver_m3(segment.volume_m3, Passed(segment, line, line.steps()));
    if (entered <= 0) return std::nullopt;
    size_t low = 0;  // the last instant at which less had entered
    size_t high = std::min(before, now + 1);
    while (high - low > 1) {
      const size_t middle = (low + high) / 2;
      (Passed(segment, line, middle) < entered ? low : high) = middle;
    }
    before = low + 1;
    time = std::min(
        time, line.time_s[low] + (entered - Passed(segment, line, low)) / Flow(segment, line.kind[low]));
    if (j == 0) return low;
  }
  return std::nullopt;
}

void ReadyReach::FillInstants(size_t number, const Timeline& line, size_t first, Workspace& workspace) {
  Segment& segment = segments_[number];
  const size_t steps = line.steps() - first;
  std::vector<SegmentInstant>& instants = workspace.instants;
  instants.resize(steps + 1);
  const double passed_before = Passed(segment, line, first);
  double loss = 0;
  Rest rest{segment.pipe, kinetics_, *workspace.tables};
  for (size_t i = 0; i < steps; ++i) {
    const double time = line.time_s[first + i];
    const double span = line.time_s[first + i + 1] - time;
    const InStep& in = In(segment, line.kind[first + i]);
    double loss_per_s = in.loss_per_s;
    if (in.flow_m3_per_s == 0 && segment.pipe.wall_m_per_s > 0) {
      loss_per_s += rest.WallLossThrough(time, span) / span;
    } else {
      rest.since_s = -1;
    }
    instants[i] = {time,
                   Passed(segment, line, first + i) - passed_before,
                   loss,
                   in.flow_m3_per_s,
                   in.seconds_per_m3,
                   loss_per_s};
    loss += loss_per_s * span;
  }
  instants[steps] = {
      line.time_s[first + steps], Passed(segment, line, first + steps) - passed_before, loss, 0, 0, 0};
}

// As SegmentHistory::MarkBends where all the reach loses alike and nobody draws beside; else all are kept.
void ReadyReach::MarkBends(size_t number, const Timeline& line, size_t first,
                           std::vector<uint8_t>& bends) const {
  bends.clear();
  if (any_wall_ || number == 0 || !segments_[number].beside_m3_per_s.empty() ||
      segments_[number].pipe.bulk_per_s != segments_[number - 1].pipe.bulk_per_s)
    return;
  const Segment& segment = segments_[number];
  const bool tap_between = segments_[number - 1].beyond_m3_per_s != segment.beyond_m3_per_s;
  const size_t steps = line.steps() - first;
  bends.assign(steps + 1, 1);
  bool still_before = true;
  for (size_t i = 0; i < steps; ++i) {
    const uint32_t kind = line.kind[first + i];
    const bool still = segment.beyond_m3_per_s == 0 && !Timeline::IsOpen(kind);
    const uint32_t last = i > 0 ? line.kind[first + i - 1] : kind;
    const bool splits_otherwise =
        i == 0 || (tap_between && kind != last && (Timeline::IsOpen(kind) || Timeline::IsOpen(last)));
    bends[i] = still || still_before || splits_otherwise ? 1 : 0;
    still_before = still;
  }
}

void ReadyReach::Judge(size_t number, const Timeline& line, const Passage& passage, ReachLow& low) const {
  const double from_s = line.time_s[line.first_judged];
  const auto first =
      std::lower_bound(passage.points.begin(), passage.points.end(), from_s,
                       [](const Breakpoint& point, double time) { return point.time_s < time; });
  const auto from_root =
      std::max(first, passage.points.begin() + static_cast<std::ptrdiff_t>(passage.initial));
  if (first < from_root) {
    low.saw_initial = true;
    if (low.mg_per_l > 0) low = {0, segments_[number].judged, first->time_s, true};
  }
  const auto lower = [&](const Breakpoint& point, double mg_per_l) {
    if (mg_per_l >= low.mg_per_l) return;
    low.mg_per_l = mg_per_l;
    low.judged = segments_[number].judged;
    low.when_s = point.time_s;
  };
  if (!root_by_hour_) {
    double loss = -1;
    auto worst = passage.points.end();
    for (auto point = from_root; point != passage.points.end(); ++point) {
      if (point->log_loss <= loss) continue;
      loss = point->log_loss;
      worst = point;
    }
    if (worst != passage.points.end()) lower(*worst, upstream_mg_per_l_ * std::exp(-loss));
    return;
  }
  // Only water that would be lowest had it entered at the root's least can be lowest at all.
  double enough_loss = std::log(root_least_mg_per_l_ / low.mg_per_l);
  for (auto point = from_root; point != passage.points.end(); ++point) {
    if (point->log_loss <= enough_loss) continue;
    lower(*point, RootAt(line, point->entered_s) * std::exp(-point->log_loss));
    enough_loss = std::log(root_least_mg_per_l_ / low.mg_per_l);
  }
}

ReachLow ReadyReach::Lowest(const Timeline& line, Workspace& workspace, double enough_mg_per_l) {
  Workspace& w = workspace;
  const size_t first = FirstNeeded(line).value_or(0);
  w.inlet.points.resize(line.steps() - first + 1);
  for (size_t i = 0; i < w.inlet.points.size(); ++i) {
    const double time = line.time_s[first + i];
    w.inlet.points[i] = {.time_s = time, .entered_s = time, .step = static_cast<uint32_t>(i)};
  }
  w.inlet.initial = 0;
  ReachLow low;
  for (size_t j = 0; j < segments_.size(); ++j) {
    FillInstants(j, line, first, w);
    MarkBends(j, line, first, w.bends);
    w.segment.Take(segments_[j].volume_m3, w.instants);
    PassSegment(w.segment, w.bends, w.inlet, w.entries, w.outlet);
    if (segments_[j].is_judged) Judge(j, line, w.outlet, low);
    if (low.mg_per_l < enough_mg_per_l) break;
    std::swap(w.inlet, w.outlet);
  }
  return low;
}

double ReadyReach::AtMostBefore(const Timeline& line, const ReachMoment& moment) {
  // A front that stands at the place just then is told apart by rounding alone, a little earlier it is not.
  double time = std::max(0.0, moment.when_s - 0.01);
  double loss = 0;
  size_t j = segments_.size();
  while (j > 0 && !(segments_[j - 1].is_judged && segments_[j - 1].judged == moment.judged)) --j;
  size_t steps = line.steps();
  while (j-- > 0) {
    Segment& segment = segments_[j];
    const auto end = line.time_s.begin() + static_cast<std::ptrdiff_t>(steps);
    const auto above = std::lower_bound(line.time_s.begin() + 1, end, time);
    const auto out = static_cast<size_t>(above - line.time_s.begin()) - 1;
    const double entered = Passed(segment, line, out) +
                           Flow(segment, line.kind[out]) * (time - line.time_s[out]) - segment.volume_m3;
    if (entered <= 0) return upstream_mg_per_l_;
    size_t in = 0;
    size_t high = out + 1;
    while (high - in > 1) {
      const size_t middle = (in + high) / 2;
      (Passed(segment, line, middle) < entered ? in : high) = middle;
    }
    const double since = (entered - Passed(segment, line, in)) / Flow(segment, line.kind[in]);
    const double entered_s = std::min(time, line.time_s[in] + since);
    if (any_wall_) {
      for (size_t i = in; i <= out; ++i) {
        const double span = std::min(time, line.time_s[i + 1]) - std::max(entered_s, line.time_s[i]);
        loss += In(segment, line.kind[i]).loss_per_s * std::max(0.0, span);
      }
    } else {
      loss += segment.pipe.bulk_per_s * (time - entered_s);
    }
    time = entered_s;
    steps = in + 1;
  }
  return RootAt(line, time) * std::exp(-loss);
}

}  // namespace lastreach
