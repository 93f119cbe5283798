#include "calendar/minute_oracle.h"

#include <algorithm>
#include <cmath>
#include <deque>
#include <optional>

namespace lastreach {
namespace {

using std::chrono::minutes;

// Local time and the clock on the wall of the box, asked minute by minute.
class WallClock {
 public:
  WallClock(const Zone& zone, ClockState state, MinuteInstant begin, MinuteInstant end)
      : zone_(zone), state_(state), pieces_(zone.Offsets(Instant(begin), Instant(end))) {}

  int64_t LocalMinutes(MinuteInstant now) {
    Refresh(now);
    return now.time_since_epoch().count() + offset_min_;
  }
  int64_t Shows(MinuteInstant now) {
    Refresh(now);
    return now.time_since_epoch().count() + state_.fast_minutes +
           (state_.follows_clock_change ? offset_min_ : standard_min_);
  }

 private:
  // Zones change on quarter hours (IANA time zone database, since 1990), so ask that often and no oftener.
  void Refresh(MinuteInstant now) {
    if (asked_ && now.time_since_epoch().count() % 15 != 0) return;
    asked_ = true;
    offset_min_ = zone_.OffsetAt(Instant(now)).count() / 60;
    for (const OffsetPiece& piece : pieces_) {
      if (piece.from <= Instant(now)) standard_min_ = piece.standard_offset.count() / 60;
    }
  }

  const Zone& zone_;
  ClockState state_;
  std::vector<OffsetPiece> pieces_;
  bool asked_ = false;
  int64_t offset_min_ = 0;
  int64_t standard_min_ = 0;
};

struct Job {
  int programme;
  int length;
};

// The valve and the timer's rule for a start that finds it open.
class Box {
 public:
  explicit Box(Overlap overlap) : overlap_(overlap) {}

  void Start(MinuteInstant now, Job job) {
    if (!open_) {
      Open(now, job);
      return;
    }
    switch (overlap_) {
      case Overlap::kQueue:
      case Overlap::kUnknown:
        waiting_.push_back(job);
        break;
      case Overlap::kMerge:
        left_ = std::max(left_, job.length);
        break;
      case Overlap::kDrop:
        break;
      case Overlap::kRestart:
        Shut(now);
        Open(now, job);
        break;
    }
  }

  // One minute of water goes by.
  void PassMinute(MinuteInstant after) {
    if (!open_) return;
    if (--left_ > 0) return;
    Shut(after);
    if (!waiting_.empty()) {
      Open(after, waiting_.front());
      waiting_.pop_front();
    }
  }

  // Lets what is on or waiting run out, so that its true length is known.
  void Finish(MinuteInstant now) {
    while (open_) {
      now += minutes(1);
      PassMinute(now);
    }
  }
  bool OpenedBefore(MinuteInstant moment) const { return open_ && opened_ < moment; }
  const std::vector<Run>& runs() const { return runs_; }

 private:
  void Open(MinuteInstant now, Job job) {
    open_ = true;
    opened_ = now;
    programme_ = job.programme;
    left_ = job.length;
  }
  void Shut(MinuteInstant now) {
    open_ = false;
    const auto length = static_cast<int32_t>((now - opened_).count());
    if (length > 0) runs_.push_back({opened_, length, programme_});
  }

  Overlap overlap_;
  bool open_ = false;
  MinuteInstant opened_;
  int programme_ = 0;
  int left_ = 0;
  std::deque<Job> waiting_;
  std::vector<Run> runs_;
};

bool RunsOn(const DayPattern& days, bool odd_skips_31st, int64_t day, int64_t phase_day) {
  const Date date = DateOfDayNumber(static_cast<int>(day));
  const auto in_month = static_cast<unsigned>(date.day());
  if (const auto* weekdays = std::get_if<Weekdays>(&days)) {
    return weekdays->Has(static_cast<int>(std::chrono::weekday(std::chrono::sys_days(date)).iso_encoding()) -
                         1);
  }
  if (std::holds_alternative<OddDates>(days)) return in_month % 2 == 1 && !(odd_skips_31st && in_month == 31);
  if (std::holds_alternative<EvenDates>(days)) return in_month % 2 == 0;
  const auto& every = std::get<EveryNDays>(days);
  const int64_t first = every.from ? DayNumber(*every.from) : phase_day;
  return day >= first && (day - first) % every.n == 0;
}

int RoundedMinutes(const ControllerForm& form, const TimerSettings& settings, const Programme& programme) {
  const bool own = form.percent_scope == PercentScope::kEach && programme.percent;
  const double wanted = programme.minutes * (own ? *programme.percent : settings.percent) / 100.0;
  const double step = form.minutes_step.value_or(1);
  double length = std::floor(wanted / step + 0.5 + 1e-9) * step;
  if (form.minutes_min) length = std::max<double>(length, *form.minutes_min);
  if (form.minutes_max) length = std::min<double>(length, *form.minutes_max);
  return static_cast<int>(length);
}

// Which of the timer's starts read between two readings of its clock, lower programme first.
void FireBetween(const ControllerForm& form, const TimerSettings& settings, const std::vector<int>& phases,
                 int64_t first_day, int64_t after, int64_t upto, MinuteInstant now, Box& box) {
  size_t unknown = 0;
  for (size_t p = 0; p < settings.programmes.size(); ++p) {
    const Programme& programme = settings.programmes[p];
    const auto* every = std::get_if<EveryNDays>(&programme.days);
    int64_t phase_day = first_day;
    if (every != nullptr && !every->from) {
      if (unknown < phases.size()) phase_day += phases[unknown];
      ++unknown;
    }
    for (const int start : programme.starts_min) {
      for (int64_t day = after / 1440; day <= upto / 1440; ++day) {
        const int64_t reading = day * 1440 + start;
        if (reading <= after || reading > upto || day < first_day) continue;
        if (!RunsOn(programme.days, form.odd_skips_31st.value_or(false), day, phase_day)) continue;
        const int length = RoundedMinutes(form, settings, programme);
        if (length > 0) box.Start(now, {static_cast<int>(p + 1), length});
      }
    }
  }
}

}  // namespace

std::vector<Run> RunsByWalkingEveryMinute(const ControllerForm& form, const TimerSettings& settings,
                                          const Zone& zone, DateWindow window, ClockState clock,
                                          const std::vector<int>& phases) {
  if (!settings.on || window.to <= window.from) return {};
  const int64_t first_day = DayNumber(window.from) - 2;
  MinuteInstant now{std::chrono::days(first_day - 2)};
  const MinuteInstant last{std::chrono::days(DayNumber(window.to) + 35)};
  WallClock wall(zone, clock, now - std::chrono::days(2), last);

  Box box(form.overlap);
  int64_t highest_reading = first_day * 1440 - 1;
  std::optional<MinuteInstant> window_begin;
  std::optional<MinuteInstant> window_end;
  for (; now < last; now += minutes(1)) {
    if (!window_begin && wall.LocalMinutes(now) / 1440 >= DayNumber(window.from)) window_begin = now;
    if (!window_end && wall.LocalMinutes(now) / 1440 >= DayNumber(window.to)) window_end = now;
    if (window_end && !box.OpenedBefore(*window_end)) break;
    const int64_t reading = wall.Shows(now);
    if (reading > highest_reading) {
      FireBetween(form, settings, phases, first_day, highest_reading, reading, now, box);
      highest_reading = reading;
    }
    box.PassMinute(now + minutes(1));
  }
  box.Finish(now);
  std::vector<Run> listed;
  for (const Run& run : box.runs()) {
    if (run.start >= *window_begin && run.start < *window_end) listed.push_back(run);
  }
  return listed;
}

}  // namespace lastreach
