#include "tests/end_to_end/oracle_judge.h"

#include <cmath>
#include <limits>

#include "calendar/minute_oracle.h"
#include "plan/reach_model.h"
#include "quality/particle_oracle.h"

namespace lastreach {
namespace {

MinuteInstant LocalMidnight(const Zone& zone, Date date) {
  return std::chrono::floor<std::chrono::minutes>(zone.FirstInstant(Midnight(date)));
}

// A count that began inside the warm-up is taken to have begun whole cycles before it.
TimerSettings BegunBefore(TimerSettings settings, Date first) {
  for (Programme& programme : settings.programmes) {
    auto* every = std::get_if<EveryNDays>(&programme.days);
    if (every == nullptr || !every->from) continue;
    while (DayNumber(*every->from) > DayNumber(first) - 4) every->from = AddDays(*every->from, -every->n);
  }
  return settings;
}

// The flows minute by minute: a step for every minute of a run, and its last second, and else where anything
// changes. A parcel is let in at the start of each.
class DriveByMinutes {
 public:
  DriveByMinutes(const ReachModel& model, const Zone& zone) : model_(model), zone_(zone) {}

  BranchDrive Of(const std::vector<Run>& runs, MinuteInstant begin, MinuteInstant end) {
    size_t next = 0;
    for (MinuteInstant now = begin; now < end; now += std::chrono::minutes(1)) {
      while (next < runs.size() && runs[next].end() <= now) ++next;
      const bool open = next < runs.size() && runs[next].start <= now;
      const bool shuts = open && runs[next].end() == now + std::chrono::minutes(1);
      const double second = static_cast<double>((now - begin).count()) * 60;
      Step(second, now, open, open);
      if (shuts) Step(second + 59, now, open, true);
    }
    drive_.time_s.push_back(static_cast<double>((end - begin).count()) * 60);
    drive_.root_mg_per_l.assign(drive_.time_s.size(), model_.upstream_mg_per_l);
    return std::move(drive_);
  }

 private:
  // `let_in`: a parcel is wanted at this very moment.
  void Step(double second, MinuteInstant now, bool open, bool let_in) {
    // Hours and offsets change on quarter hours.
    if (now.time_since_epoch().count() % 15 == 0 || drive_.time_s.empty()) {
      const LocalTime local = zone_.ToLocal(Instant(now));
      const auto of_day = local - std::chrono::floor<std::chrono::days>(local);
      factor_ = kHouseholdHours[std::chrono::duration_cast<std::chrono::hours>(of_day).count()];
    }
    const double flow = open ? model_.flow_m3_per_s : 0;
    const bool same = !drive_.time_s.empty() && drive_.demand_factor.back() == factor_ &&
                      drive_.end_flow_m3_per_s.back() == flow;
    if (same && !let_in) return;
    drive_.time_s.push_back(second);
    drive_.demand_factor.push_back(factor_);
    drive_.end_flow_m3_per_s.push_back(flow);
  }

  const ReachModel& model_;
  const Zone& zone_;
  BranchDrive drive_;
  double factor_ = 0;
};

}  // namespace

OracleLow JudgeSlowly(const ControllerForm& form, const TimerSettings& settings, const Zone& zone,
                      DateWindow window, int fast_minutes, const PlanningNumbers& numbers,
                      const Deviates& deviates, int warm_up_days) {
  const ReachModel model = ModelReach(numbers, deviates);
  const DateWindow whole{AddDays(window.from, -warm_up_days), window.to};
  const ClockState clock{form.follows_clock_change.value_or(false), fast_minutes};
  const std::vector<Run> runs =
      RunsByWalkingEveryMinute(form, BegunBefore(settings, whole.from), zone, whole, clock);
  const MinuteInstant begin = LocalMidnight(zone, whole.from);
  const double judge_from_s =
      static_cast<double>((LocalMidnight(zone, window.from) - begin).count()) * kSecondsPerMinute;
  const BranchDrive drive = DriveByMinutes(model, zone).Of(runs, begin, LocalMidnight(zone, window.to));

  constexpr double kNever = std::numeric_limits<double>::infinity();
  std::vector<double> first_met_s(model.branch.segments.size(), kNever);
  std::vector<bool> judged(model.branch.segments.size(), false);
  for (const size_t segment : model.judged) judged[segment] = true;
  OracleLow low{model.upstream_mg_per_l, model.upstream_mg_per_l};
  for (const Crossing& met : PushParcels(model.branch, drive, kRelease_s, model.kinetics)) {
    if (!judged[met.tap]) continue;
    first_met_s[met.tap] = std::min(first_met_s[met.tap], met.time_s);
    if (met.time_s < judge_from_s) continue;
    const double age_s = std::max(met.time_s - met.released_s, 1.0);
    low.found_mg_per_l = std::min(low.found_mg_per_l, model.upstream_mg_per_l * std::exp(-met.log_loss));
    low.least_mg_per_l = std::min(
        low.least_mg_per_l, model.upstream_mg_per_l * std::exp(-met.log_loss * (1 + kRelease_s / age_s)));
  }
  for (const size_t segment : model.judged) {
    if (first_met_s[segment] > judge_from_s) return {0, 0};
  }
  return low;
}

}  // namespace lastreach
