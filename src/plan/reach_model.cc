#include "plan/reach_model.h"

#include <algorithm>
#include <cmath>

namespace lastreach {
namespace {

using std::chrono::minutes;

// Local hour boundaries in [begin, end).
struct HourStep {
  MinuteInstant from;
  size_t hour;  // of the local day
};

std::vector<HourStep> HourSteps(const Zone& zone, MinuteInstant begin, MinuteInstant end) {
  std::vector<HourStep> steps;
  const std::vector<OffsetPiece> pieces = zone.Offsets(Instant(begin), Instant(end));
  for (size_t p = 0; p < pieces.size(); ++p) {
    const auto piece_end =
        p + 1 < pieces.size() ? std::min(end, std::chrono::floor<minutes>(pieces[p + 1].from)) : end;
    MinuteInstant now = std::max(begin, std::chrono::floor<minutes>(pieces[p].from));
    const int64_t offset = std::chrono::floor<minutes>(pieces[p].offset).count();
    while (now < piece_end) {
      const int64_t local = now.time_since_epoch().count() + offset;
      const int64_t minute_of_day = ((local % 1440) + 1440) % 1440;
      steps.push_back({now, static_cast<size_t>(minute_of_day / 60)});
      now += minutes(60 - minute_of_day % 60);
    }
  }
  return steps;
}

// Whether a valve is open, asked for at moments in ascending order.
class RunCursor {
 public:
  explicit RunCursor(const std::vector<Run>& runs) : runs_(runs) {}

  void MoveTo(MinuteInstant now) {
    while (at_ < runs_.size() && runs_[at_].end() <= now) ++at_;
  }
  bool OpenAt(MinuteInstant now) const { return at_ < runs_.size() && runs_[at_].start <= now; }
  // The next moment it opens or closes, if that is before `until`.
  MinuteInstant NextChange(MinuteInstant now, MinuteInstant until) const {
    if (at_ >= runs_.size()) return until;
    return std::min(until, OpenAt(now) ? runs_[at_].end() : runs_[at_].start);
  }

 private:
  const std::vector<Run>& runs_;
  size_t at_ = 0;
};

// The runs of the devices beside, from a day before to a day after, so that none that is on is missed.
std::vector<std::vector<Run>> RunsBeside(const ReachModel& model, const Zone& zone, MinuteInstant begin,
                                         MinuteInstant end) {
  std::vector<std::vector<Run>> runs;
  if (model.beside.empty()) return runs;
  const auto day = [&zone](MinuteInstant t) {
    return Date{std::chrono::floor<std::chrono::days>(zone.ToLocal(Instant(t)))};
  };
  const DateWindow window{AddDays(day(begin), -1), AddDays(day(end), 1)};
  for (const BesideNumbers& beside : *model.beside_numbers) {
    const ClockState right{beside.form.follows_clock_change.value_or(false), 0};
    runs.push_back(ExpandRuns(beside.form, beside.settings, zone, window, right));
  }
  return runs;
}

// What enters at the root, through the turns of the hours.
class RootThroughHours {
 public:
  RootThroughHours(const std::array<double, 24>& by_hour, const std::vector<HourStep>& hours,
                   MinuteInstant end)
      : end_(end), hours_(hours) {
    const auto lower = [&](size_t a, size_t b) { return std::min(by_hour[a % 24], by_hour[b % 24]); };
    for (size_t h = 0; h < hours.size(); ++h) {
      at_turn_.push_back(lower(h > 0 ? hours[h - 1].hour : hours[h].hour + 23, hours[h].hour));
    }
    at_turn_.push_back(lower(hours.back().hour, hours.back().hour + 1));
  }
  double At(size_t hour_step, MinuteInstant now) const {
    const MinuteInstant from = hours_[hour_step].from;
    const MinuteInstant to = hour_step + 1 < hours_.size() ? hours_[hour_step + 1].from : end_;
    const double share = static_cast<double>((now - from).count()) / static_cast<double>((to - from).count());
    return std::lerp(at_turn_[hour_step], at_turn_[hour_step + 1], share);
  }
  double AtEnd() const { return at_turn_.back(); }

 private:
  MinuteInstant end_;
  const std::vector<HourStep>& hours_;
  std::vector<double> at_turn_;
};

}  // namespace

ReachModel ModelReach(const PlanningNumbers& numbers, const Deviates& deviates, int most_taps) {
  ReachModel model;
  model.kinetics = KineticsAt(Temperature::Celsius(numbers.temperature_c));
  model.flow_m3_per_s = numbers.flow_m3_per_s * Factor(numbers, kDeviceFlow, deviates);
  model.upstream_mg_per_l = numbers.upstream_mg_per_l * Factor(numbers, kUpstream, deviates);
  if (numbers.upstream_by_hour) {
    model.upstream_by_hour = numbers.upstream_by_hour;
    for (double& hour : *model.upstream_by_hour) hour *= Factor(numbers, kUpstream, deviates);
    model.upstream_mg_per_l =
        *std::max_element(model.upstream_by_hour->begin(), model.upstream_by_hour->end());
  }
  const double bulk = numbers.bulk_per_s * Factor(numbers, kBulkLoss, deviates);
  const double wall = Factor(numbers, kWallLoss, deviates);
  const double stretch = Factor(numbers, kReachVolume, deviates);
  const double thirst = Factor(numbers, kDemand, deviates);
  model.slowest_loss_per_s = bulk;
  const int all = numbers.services();
  int service = 0;
  for (const PipeNumbers& pipe : numbers.pipes) {
    // Each pipe keeps its share of the taps, at least one where it has a service.
    const int share = all > most_taps ? (pipe.services * most_taps + all - 1) / all : pipe.services;
    const int parts = std::max(1, share);
    for (int i = 0; i < parts; ++i) {
      // Whole services only: then no more is drawn short of any place than really is.
      const int services = pipe.services * (i + 1) / parts - pipe.services * i / parts;
      const double portion = pipe.services > 0 ? static_cast<double>(services) / pipe.services : 1;
      BranchSegment segment;
      segment.length_m = pipe.length_m * stretch * portion;
      segment.diameter_m = pipe.diameter_m;
      segment.tap_demand_m3_per_s = pipe.demand_m3_per_s * thirst * portion;
      segment.bulk_per_s = bulk;
      segment.wall_m_per_s = pipe.wall_m_per_s * wall;
      if (pipe.services > 0) {
        model.judged.push_back(model.branch.segments.size());
        model.service_number.push_back(service + pipe.services * (i + 1) / parts);
      }
      model.branch.segments.push_back(segment);
    }
    service += pipe.services;
    model.last_segment.push_back(model.branch.segments.size() - 1);
  }
  if (model.judged.empty()) {
    model.judged.push_back(model.branch.segments.size() - 1);
    model.service_number.push_back(0);
  }
  if (numbers.beside) {
    model.beside_numbers = numbers.beside;
    for (const BesideNumbers& beside : *numbers.beside) {
      const double flow = beside.flow_m3_per_s * std::exp(-beside.flow_log_sd * deviates[kDeviceFlow]);
      model.beside.push_back({model.last_segment[beside.pipe], flow, flow * beside.open_share});
    }
  }
  return model;
}

BranchDrive DriveOf(const ReachModel& model, const std::vector<Run>& runs, const Zone& zone,
                    MinuteInstant begin, MinuteInstant end) {
  BranchDrive drive;
  drive.initial_mg_per_l = 0;
  const auto seconds = [begin](MinuteInstant t) {
    return static_cast<double>((t - begin).count()) * kSecondsPerMinute;
  };
  const std::vector<HourStep> hours = HourSteps(zone, begin, end);
  const std::vector<std::vector<Run>> beside_runs = RunsBeside(model, zone, begin, end);
  RunCursor device(runs);
  std::vector<RunCursor> beside(beside_runs.begin(), beside_runs.end());
  for (const ReachModel::Beside& flow : model.beside) drive.side_draws.push_back({flow.segment, {}});
  std::optional<RootThroughHours> root;
  if (model.upstream_by_hour) root.emplace(*model.upstream_by_hour, hours, end);
  for (size_t h = 0; h < hours.size(); ++h) {
    const MinuteInstant hour_end = h + 1 < hours.size() ? hours[h + 1].from : end;
    for (MinuteInstant now = hours[h].from; now < hour_end;) {
      device.MoveTo(now);
      drive.time_s.push_back(seconds(now));
      drive.demand_factor.push_back(kHouseholdHours[hours[h].hour]);
      drive.end_flow_m3_per_s.push_back(device.OpenAt(now) ? model.flow_m3_per_s : 0);
      if (root) drive.root_mg_per_l.push_back(root->At(h, now));
      MinuteInstant until = device.NextChange(now, hour_end);
      for (size_t k = 0; k < beside.size(); ++k) {
        beside[k].MoveTo(now);
        const double flow = beside[k].OpenAt(now) ? model.beside[k].flow_m3_per_s : 0;
        drive.side_draws[k].flow_m3_per_s.push_back(flow);
        until = beside[k].NextChange(now, until);
      }
      now = until;
    }
  }
  drive.time_s.push_back(seconds(end));
  if (root) {
    drive.root_mg_per_l.push_back(root->AtEnd());
  } else {
    drive.root_mg_per_l.assign(drive.time_s.size(), model.upstream_mg_per_l);
  }
  return drive;
}

}  // namespace lastreach
