#include "plan/reach_model.h"

#include <algorithm>

namespace lastreach {
namespace {

using std::chrono::minutes;

// Local hour boundaries in [begin, end), with the household factor from each on.
struct HourStep {
  MinuteInstant from;
  double factor;
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
      steps.push_back({now, kHouseholdHours[minute_of_day / 60]});
      now += minutes(60 - minute_of_day % 60);
    }
  }
  return steps;
}

}  // namespace

ReachModel ModelReach(const PlanningNumbers& numbers, const Deviates& deviates, int most_taps) {
  ReachModel model;
  model.kinetics = KineticsAt(Temperature::Celsius(numbers.temperature_c));
  model.flow_m3_per_s = numbers.flow_m3_per_s * Factor(numbers, kDeviceFlow, deviates);
  model.upstream_mg_per_l = numbers.upstream_mg_per_l * Factor(numbers, kUpstream, deviates);
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
  }
  if (model.judged.empty()) {
    model.judged.push_back(model.branch.segments.size() - 1);
    model.service_number.push_back(0);
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
  const auto step = [&](MinuteInstant from, double factor, bool open) {
    drive.time_s.push_back(seconds(from));
    drive.demand_factor.push_back(factor);
    drive.end_flow_m3_per_s.push_back(open ? model.flow_m3_per_s : 0);
  };
  const std::vector<HourStep> hours = HourSteps(zone, begin, end);
  size_t run = 0;
  while (run < runs.size() && runs[run].end() <= begin) ++run;
  for (size_t h = 0; h < hours.size(); ++h) {
    const MinuteInstant hour_end = h + 1 < hours.size() ? hours[h + 1].from : end;
    MinuteInstant now = hours[h].from;
    while (now < hour_end) {
      const bool open = run < runs.size() && runs[run].start <= now;
      MinuteInstant until = hour_end;
      if (run < runs.size()) until = std::min(until, open ? runs[run].end() : runs[run].start);
      step(now, hours[h].factor, open);
      now = until;
      if (open && runs[run].end() <= now) ++run;
    }
  }
  drive.time_s.push_back(seconds(end));
  drive.root_mg_per_l.assign(drive.time_s.size(), model.upstream_mg_per_l);
  return drive;
}

}  // namespace lastreach
