#include "quality/flow_history.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <tuple>
#include <utility>

namespace lastreach {
namespace {

// What rounding may do to a ratio of two products; a bend smaller than this is none.
constexpr double kRounding = 1e-13;

bool Differ(double a, double b) { return std::abs(a - b) > kRounding * (std::abs(a) + std::abs(b)); }

}  // namespace

void FlowHistory::Build(const Branch& branch, const BranchDrive& drive, const Kinetics& kinetics) {
  kinetics_ = kinetics;
  RankSideDraws(branch, drive);
  ReadDrive(drive, {});
  SumUp(branch);
  SortIntoClasses(branch);
}

void FlowHistory::BuildForWindow(const Branch& branch, const BranchDrive& drive, double from_s, double to_s,
                                 const Kinetics& kinetics) {
  kinetics_ = kinetics;
  const double window[] = {from_s, to_s};
  RankSideDraws(branch, drive);
  ReadDrive(drive, window);
  SumUp(branch);
  const auto last = std::lower_bound(time_s_.begin() + 1, time_s_.end(), to_s);
  KeepOnly(LastInstantBeforeAllMet(branch, from_s), static_cast<std::size_t>(last - time_s_.begin()));
  SortIntoClasses(branch);
}

void FlowHistory::RankSideDraws(const Branch& branch, const BranchDrive& drive) {
  const auto place = [&](std::size_t draw) { return drive.side_draws[draw].segment; };
  draw_order_.resize(drive.side_draws.size());
  std::iota(draw_order_.begin(), draw_order_.end(), std::size_t{0});
  std::sort(draw_order_.begin(), draw_order_.end(),
            [&](std::size_t a, std::size_t b) { return std::pair(place(b), a) < std::pair(place(a), b); });
  carried_.resize(draw_order_.size() + 1);
  carried_by_.resize(branch.segments.size());
  std::size_t draws = 0;
  for (std::size_t j = branch.segments.size(); j-- > 0;) {
    while (draws < draw_order_.size() && place(draw_order_[draws]) >= j) ++draws;
    carried_by_[j] = draws;
  }
}

void FlowHistory::ReadDrive(const BranchDrive& drive, std::span<const double> extra_s) {
  for (std::vector<double>* column : {&time_s_, &factor_, &bulk_factor_, &root_}) column->clear();
  for (CarriedFlow& carried : carried_) carried.flow_m3_per_s.clear();
  std::vector<double>& end_flow = carried_[0].flow_m3_per_s;
  std::size_t extra = 0;
  for (std::size_t i = 0; i < drive.steps(); ++i) {
    const double begin = drive.time_s[i];
    const double end = drive.time_s[i + 1];
    const double slope = (drive.root_mg_per_l[i + 1] - drive.root_mg_per_l[i]) / (end - begin);
    double at = begin;
    while (at < end) {
      time_s_.push_back(at);
      root_.push_back(drive.root_mg_per_l[i] + slope * (at - begin));
      factor_.push_back(drive.demand_factor[i]);
      double carried = drive.end_flow_m3_per_s[i];
      end_flow.push_back(carried);
      for (std::size_t k = 0; k < draw_order_.size(); ++k) {
        carried += drive.side_draws[draw_order_[k]].flow_m3_per_s[i];
        carried_[k + 1].flow_m3_per_s.push_back(carried);
      }
      bulk_factor_.push_back(drive.bulk_factor.empty() ? 1 : drive.bulk_factor[i]);
      while (extra < extra_s.size() && extra_s[extra] <= at) ++extra;
      at = extra < extra_s.size() && extra_s[extra] < end ? extra_s[extra] : end;
    }
  }
  time_s_.push_back(drive.time_s.back());
  root_.push_back(drive.root_mg_per_l.back());
}

void FlowHistory::SumUp(const Branch& branch) {
  const std::size_t n = steps();
  for (std::vector<double>* sum : {&factor_sum_s_, &bulk_sum_s_}) {
    sum->resize(n + 1);
    sum->front() = 0;
  }
  for (CarriedFlow& carried : carried_) SumUpCarried(carried, &carried == &carried_.front());
  beyond_.assign(branch.segments.size(), 0);
  double sum = 0;
  for (std::size_t j = branch.segments.size(); j-- > 0;) {
    sum += branch.segments[j].tap_demand_m3_per_s;
    beyond_[j] = sum;
  }
  const auto [least, greatest] = std::minmax_element(root_.begin(), root_.end());
  root_least_ = *least;
  root_greatest_ = *greatest;
}

// Sums wait for the one before them, so the first flow's go along with those of the demand.
void FlowHistory::SumUpCarried(CarriedFlow& carried, bool is_first) {
  const std::size_t n = steps();
  carried.volume_m3.resize(n + 1);
  carried.ratio_changes.resize(n + 1);
  // Plain pointers: the compiler must take a byte written for anything.
  const double* const time = time_s_.data();
  const double* const factor = factor_.data();
  const double* const bulk = bulk_factor_.data();
  const double* const flow = carried.flow_m3_per_s.data();
  double* const volume = carried.volume_m3.data();
  double* const factor_sum = factor_sum_s_.data();
  double* const bulk_sum = bulk_sum_s_.data();
  uint8_t* const changes = carried.ratio_changes.data();
  volume[0] = 0;
  changes[0] = changes[n] = 1;
  for (std::size_t i = 0; i < n; ++i) {
    const double span = time[i + 1] - time[i];
    volume[i + 1] = volume[i] + flow[i] * span;
    if (is_first) {
      factor_sum[i + 1] = factor_sum[i] + factor[i] * span;
      bulk_sum[i + 1] = bulk_sum[i] + bulk[i] * span;
    }
    if (i > 0) changes[i] = Differ(flow[i - 1] * factor[i], flow[i] * factor[i - 1]) ? 1 : 0;
  }
}

// The oldest water met is what the last tap has at from_s, on the older side; it is followed back by the sums
// alone. Four slivers of room in each segment keep what entered at the instant returned well ahead of it.
std::size_t FlowHistory::LastInstantBeforeAllMet(const Branch& branch, double from_s) const {
  double time = from_s;
  std::size_t before = steps();
  for (std::size_t j = branch.segments.size(); j-- > 0;) {
    const CarriedFlow& carried = CarriedBy(j);
    const auto volume_at = [&](std::size_t i) {
      return beyond_[j] * factor_sum_s_[i] + carried.volume_m3[i];
    };
    const auto flow_at = [&](std::size_t i) { return beyond_[j] * factor_[i] + carried.flow_m3_per_s[i]; };
    const auto above = std::upper_bound(time_s_.begin() + 1, time_s_.end() - 1, time);
    const auto now = static_cast<std::size_t>(above - time_s_.begin()) - 1;
    const double held = branch.segments[j].volume_m3();
    const double entered = volume_at(now) + flow_at(now) * (time - time_s_[now]) - held -
                           4 * SegmentHistory::Sliver_m3(held, volume_at(steps()));
    if (entered <= 0) return 0;
    std::size_t low = 0;  // the last instant at which less had entered
    std::size_t high = std::min(before, now + 1);
    while (high - low > 1) {
      const std::size_t middle = (low + high) / 2;
      (volume_at(middle) < entered ? low : high) = middle;
    }
    before = low + 1;
    time = std::min(time, time_s_[low] + (entered - volume_at(low)) / flow_at(low));
    if (j == 0) return low;
  }
  return 0;
}

void FlowHistory::KeepOnly(std::size_t first, std::size_t last) {
  const auto cut = [&](auto& column, std::size_t end) {
    column.resize(end);
    column.erase(column.begin(), column.begin() + static_cast<std::ptrdiff_t>(first));
  };
  const auto begin_at_zero = [](std::vector<double>& sum) {
    const double start = sum.front();
    for (double& value : sum) value -= start;
  };
  for (std::vector<double>* column : {&factor_, &bulk_factor_}) cut(*column, last);
  for (std::vector<double>* column : {&time_s_, &root_}) cut(*column, last + 1);
  for (std::vector<double>* sum : {&factor_sum_s_, &bulk_sum_s_}) {
    cut(*sum, last + 1);
    begin_at_zero(*sum);
  }
  for (CarriedFlow& carried : carried_) {
    cut(carried.flow_m3_per_s, last);
    cut(carried.ratio_changes, last + 1);
    cut(carried.volume_m3, last + 1);
    begin_at_zero(carried.volume_m3);
  }
  const auto [least, greatest] = std::minmax_element(root_.begin(), root_.end());
  root_least_ = *least;
  root_greatest_ = *greatest;
}

void FlowHistory::SortIntoClasses(const Branch& branch) {
  if (std::none_of(branch.segments.begin(), branch.segments.end(),
                   [](const BranchSegment& segment) { return segment.wall_m_per_s > 0; })) {
    return;
  }
  for (CarriedFlow& carried : carried_) {
    const auto key = [&](uint32_t i) { return std::tie(factor_[i], carried.flow_m3_per_s[i]); };
    order_.resize(steps());
    std::iota(order_.begin(), order_.end(), 0u);
    std::sort(order_.begin(), order_.end(), [&](uint32_t a, uint32_t b) { return key(a) < key(b); });
    carried.step_of_class.clear();
    carried.class_of_step.resize(steps());
    for (const uint32_t i : order_) {
      if (carried.step_of_class.empty() || key(carried.step_of_class.back()) != key(i)) {
        carried.step_of_class.push_back(i);
      }
      carried.class_of_step[i] = static_cast<uint32_t>(carried.step_of_class.size() - 1);
    }
  }
}

std::shared_ptr<const StillWater> FlowHistory::Still(double biot) {
  // A branch has few widths and materials, but a planner comes back to each of its draws many times; one that
  // varies them for ever must not grow this for ever.
  constexpr std::size_t kKept = 4096;
  if (still_.size() >= kKept && still_.count(biot) == 0) still_.clear();
  std::shared_ptr<const StillWater>& still = still_[biot];
  if (!still) still = std::make_shared<StillWater>(biot);
  return still;
}

double SegmentHistory::Sliver_m3(double segment_volume_m3, double passed_m3) {
  constexpr double kSliverShare = 1e-9;
  constexpr double kSumRounding = 16 * std::numeric_limits<double>::epsilon();
  return std::max(kSliverShare * segment_volume_m3, kSumRounding * passed_m3);
}

void SegmentHistory::Take(double segment_volume_m3, std::vector<SegmentInstant>& instants) {
  segment_volume_ = segment_volume_m3;
  std::swap(instants_, instants);
  sliver_ = Sliver_m3(segment_volume_, instants_.back().volume_m3);
}

void SegmentHistory::Build(FlowHistory& flows, const BranchSegment& segment, std::size_t number) {
  segment_ = segment;
  segment_volume_ = segment.volume_m3();
  demand_beyond_ = flows.beyond_[number];
  carried_ = flows.carried_by_[number];
  const CarriedFlow& carried = flows.CarriedBy(number);
  const std::size_t n = flows.steps();
  instants_.resize(n + 1);
  const double* const carried_flow = carried.flow_m3_per_s.data();
  const double* const carried_volume = carried.volume_m3.data();
  for (std::size_t i = 0; i < n; ++i) {
    const double flow = demand_beyond_ * flows.factor_[i] + carried_flow[i];
    instants_[i] = {.time_s = flows.time_s_[i],
                    .volume_m3 = demand_beyond_ * flows.factor_sum_s_[i] + carried_volume[i],
                    .log_loss = segment.bulk_per_s * flows.bulk_sum_s_[i],
                    .flow_m3_per_s = flow,
                    .seconds_per_m3 = 1 / flow,
                    .loss_per_s = segment.bulk_per_s * flows.bulk_factor_[i]};
  }
  instants_[n] = {.time_s = flows.time_s_[n],
                  .volume_m3 = demand_beyond_ * flows.factor_sum_s_[n] + carried_volume[n],
                  .log_loss = segment.bulk_per_s * flows.bulk_sum_s_[n]};
  sliver_ = Sliver_m3(segment_volume_, instants_[n].volume_m3);
  if (segment.wall_m_per_s > 0) AddWall(flows, carried);
}

void SegmentHistory::AddWall(FlowHistory& flows, const CarriedFlow& carried) {
  const Kinetics& kinetics = flows.kinetics_;
  const double radius_m = segment_.diameter_m / 2;
  fourier_per_s_ = kinetics.diffusivity_m2_per_s / (radius_m * radius_m);
  class_rate_.resize(carried.step_of_class.size());
  bool ever_still = false;
  for (std::size_t c = 0; c < class_rate_.size(); ++c) {
    const double flow = instants_[carried.step_of_class[c]].flow_m3_per_s;
    ever_still |= flow == 0;
    class_rate_[c] = flow > 0 ? FlowingWallRate_per_s(segment_.length_m, segment_.diameter_m, flow,
                                                      segment_.wall_m_per_s, kinetics)
                              : 0;
  }
  if (ever_still) still_ = flows.Still(segment_.wall_m_per_s * radius_m / kinetics.diffusivity_m2_per_s);
  const std::size_t n = flows.steps();
  rest_since_s_.resize(n);
  bulk_per_s_.resize(n);
  double sum = 0;
  double rest_since = 0;
  double lost_at_rest = 0;
  bool at_rest = false;
  for (std::size_t i = 0; i < n; ++i) {
    const double span = instants_[i + 1].time_s - instants_[i].time_s;
    double rate = class_rate_[carried.class_of_step[i]];
    double lost = rate * span;
    if (instants_[i].flow_m3_per_s > 0) {
      at_rest = false;
    } else {
      if (!at_rest) {
        at_rest = true;
        rest_since = instants_[i].time_s;
        lost_at_rest = 0;
      }
      const double lost_by_end = still_->LogLoss(fourier_per_s_ * (instants_[i + 1].time_s - rest_since));
      lost = lost_by_end - lost_at_rest;
      lost_at_rest = lost_by_end;
      rate = lost / span;
    }
    rest_since_s_[i] = rest_since;
    bulk_per_s_[i] = instants_[i].loss_per_s;
    sum += lost;
    instants_[i + 1].log_loss += sum;
    instants_[i].loss_per_s += rate;
  }
}

double SegmentHistory::LogLossAt(double time, std::size_t step) const {
  const SegmentInstant& at = instants_[step];
  const double since = time - at.time_s;
  if (at.flow_m3_per_s > 0 || segment_.wall_m_per_s == 0) return at.log_loss + at.loss_per_s * since;
  const double rest_since = rest_since_s_[step];
  return at.log_loss + bulk_per_s_[step] * since + still_->LogLoss(fourier_per_s_ * (time - rest_since)) -
         still_->LogLoss(fourier_per_s_ * (at.time_s - rest_since));
}

void SegmentHistory::MarkBends(const FlowHistory& flows, const SegmentHistory& upstream,
                               std::vector<uint8_t>& bends) const {
  const std::size_t n = flows.steps();
  const bool tap_between = upstream.demand_beyond_ != demand_beyond_;
  const bool walls = segment_.wall_m_per_s > 0 || upstream.segment_.wall_m_per_s > 0;
  const bool same_loss = !walls && segment_.bulk_per_s == upstream.segment_.bulk_per_s;
  // Where a side draw leaves between the two the flows themselves say how they split, else what all carry.
  const bool carry_alike = upstream.carried_ == carried_;
  const uint8_t* const ratio_changes = flows.carried_[carried_].ratio_changes.data();
  const SegmentInstant* const above = upstream.instants_.data();
  const SegmentInstant* const here = instants_.data();
  const auto splits_otherwise = [=](std::size_t i) {
    if (carry_alike) return tap_between && ratio_changes[i] != 0;
    return i == 0 || Differ(above[i - 1].flow_m3_per_s * here[i].flow_m3_per_s,
                            above[i].flow_m3_per_s * here[i - 1].flow_m3_per_s);
  };
  bends.assign(n + 1, 1);
  bool still_before = true;
  bool loses_otherwise_before = true;
  for (std::size_t i = 0; i < n; ++i) {
    const bool still = here[i].flow_m3_per_s == 0;
    const bool loses_otherwise = !same_loss && Differ(here[i].loss_per_s, above[i].loss_per_s);
    bends[i] =
        still || still_before || loses_otherwise || loses_otherwise_before || splits_otherwise(i) ? 1 : 0;
    still_before = still;
    loses_otherwise_before = loses_otherwise;
  }
}

}  // namespace lastreach
