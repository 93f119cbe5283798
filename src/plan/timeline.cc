#include "plan/timeline.h"

#include <algorithm>

#include "core/quantity.h"
#include "plan/reach_model.h"

namespace lastreach {
namespace {

using std::chrono::minutes;

MinuteInstant LocalMidnight(const Zone& zone, Date date) {
  return std::chrono::floor<minutes>(zone.FirstInstant(Midnight(date)));
}

// Runs asked for at moments in order.
class RunsInOrder {
 public:
  RunsInOrder(std::span<const Run> runs, minutes shift) : runs_(runs), shift_(shift) {}
  bool IsOpenAt(MinuteInstant now) {
    while (at_ < runs_.size() && runs_[at_].end() + shift_ <= now) ++at_;
    return open_ = at_ < runs_.size() && runs_[at_].start + shift_ <= now;
  }
  // Of what was asked for last, the next moment it changes, if that is before `until`.
  MinuteInstant NextChange(MinuteInstant until) const {
    if (at_ == runs_.size()) return until;
    return std::min(until, (open_ ? runs_[at_].end() : runs_[at_].start) + shift_);
  }

 private:
  std::span<const Run> runs_;
  minutes shift_;
  size_t at_ = 0;
  bool open_ = false;
};

Timeline::RootPlace RootPlaceIn(const HourGrid& grid, size_t h, MinuteInstant now) {
  const auto& hours = grid.hours;
  const int hour = hours[h].hour;
  const int before = h > 0 ? hours[h - 1].hour : (hour + 23) % 24;
  const int after = h + 1 < hours.size() ? hours[h + 1].hour : (hour + 1) % 24;
  const MinuteInstant to = h + 1 < hours.size() ? hours[h + 1].from : grid.end;
  return {
      static_cast<uint8_t>(before), static_cast<uint8_t>(hour), static_cast<uint8_t>(after),
      static_cast<float>((now - hours[h].from).count()) / static_cast<float>((to - hours[h].from).count())};
}

}  // namespace

HourGrid LaidOut::Grids::LayHours(DateWindow whole, Date judged_from) const {
  HourGrid grid;
  grid.whole = whole;
  grid.judged_from = judged_from;
  grid.root_moves = root_moves_;
  grid.begin = LocalMidnight(zone_, whole.from);
  grid.judge_from = LocalMidnight(zone_, judged_from);
  grid.end = LocalMidnight(zone_, whole.to);
  constexpr auto kRoom = std::chrono::days(3);
  const std::vector<OffsetPiece> pieces =
      zone_.Offsets(Instant(grid.begin) - kRoom, Instant(grid.end) + kRoom);
  grid.one_offset = pieces.size() == 1;
  for (size_t p = 0; p < pieces.size(); ++p) {
    const auto piece_end = p + 1 < pieces.size()
                               ? std::min(grid.end, std::chrono::floor<minutes>(pieces[p + 1].from))
                               : grid.end;
    MinuteInstant now = std::max(grid.begin, std::chrono::floor<minutes>(pieces[p].from));
    const int64_t offset = std::chrono::floor<minutes>(pieces[p].offset).count();
    while (now < piece_end) {
      const int64_t local = now.time_since_epoch().count() + offset;
      const int64_t minute_of_day = ((local % 1440) + 1440) % 1440;
      grid.hours.push_back({now, static_cast<int>(minute_of_day / 60)});
      now += minutes(60 - minute_of_day % 60);
    }
  }
  if (!beside_) return grid;
  for (const BesideNumbers& beside : *beside_) {
    const ClockState right{beside.form.follows_clock_change.value_or(false), 0};
    const DateWindow wider{AddDays(whole.from, -1), AddDays(whole.to, 1)};
    grid.beside.push_back(ExpandRuns(beside.form, beside.settings, zone_, wider, right));
  }
  return grid;
}

void LayOut(const HourGrid& grid, std::span<const Run> runs, int shift_min, Timeline& timeline) {
  Timeline& line = timeline;
  line.begin = grid.begin;
  line.time_s.clear();
  line.kind.clear();
  line.root.clear();
  line.factor_sum_s.assign(1, 0);
  line.open_sum_s.assign(1, 0);
  line.beside_sum_s.assign(grid.beside.size(), std::vector<double>(1, 0));
  RunsInOrder device(runs, minutes(shift_min));
  std::vector<RunsInOrder> beside;
  for (const std::vector<Run>& others : grid.beside) beside.emplace_back(others, minutes(0));
  for (size_t h = 0; h < grid.hours.size(); ++h) {
    const int hour = grid.hours[h].hour;
    const MinuteInstant hour_end = h + 1 < grid.hours.size() ? grid.hours[h + 1].from : grid.end;
    if (grid.hours[h].from == grid.judge_from) line.first_judged = line.kind.size();
    for (MinuteInstant now = grid.hours[h].from; now < hour_end;) {
      const bool open = device.IsOpenAt(now);
      MinuteInstant until = device.NextChange(hour_end);
      uint32_t beside_open = 0;
      for (size_t b = 0; b < beside.size(); ++b) {
        if (beside[b].IsOpenAt(now)) beside_open |= 1U << b;
        until = beside[b].NextChange(until);
      }
      const double span_s = static_cast<double>((until - now).count()) * kSecondsPerMinute;
      line.time_s.push_back(static_cast<double>((now - grid.begin).count()) * kSecondsPerMinute);
      line.kind.push_back(Timeline::KindOf(hour, open, beside_open));
      line.factor_sum_s.push_back(line.factor_sum_s.back() + kHouseholdHours[hour] * span_s);
      line.open_sum_s.push_back(line.open_sum_s.back() + (open ? span_s : 0));
      for (size_t b = 0; b < beside.size(); ++b) {
        std::vector<double>& sum = line.beside_sum_s[b];
        sum.push_back(sum.back() + ((beside_open >> b & 1U) != 0 ? span_s : 0));
      }
      if (grid.root_moves) line.root.push_back(RootPlaceIn(grid, h, now));
      now = until;
    }
  }
  line.time_s.push_back(static_cast<double>((grid.end - grid.begin).count()) * kSecondsPerMinute);
  if (grid.root_moves) line.root.push_back(RootPlaceIn(grid, grid.hours.size() - 1, grid.end));
}

const HourGrid& LaidOut::Grids::Of(DateWindow window, int warm_up_days) {
  const DateWindow whole{AddDays(window.from, -warm_up_days), window.to};
  for (const auto& grid : grids_) {
    if (grid->whole.from == whole.from && grid->whole.to == whole.to && grid->judged_from == window.from)
      return *grid;
  }
  grids_.push_back(std::make_unique<HourGrid>(LayHours(whole, window.from)));
  return *grids_.back();
}

LaidOut::LaidOut(const ControllerForm& form, const TimerSettings& settings, Grids& grids,
                 std::span<const DateWindow> windows, std::span<const int> clock_errors_min,
                 std::span<const int> phases)
    : form_(form),
      settings_(settings),
      grids_(grids),
      windows_(windows.begin(), windows.end()),
      clocks_(clock_errors_min.begin(), clock_errors_min.end()),
      phases_(phases.begin(), phases.end()),
      expanded_(windows_.size()) {
  const bool never_opens =
      !settings.on || std::all_of(settings.programmes.begin(), settings.programmes.end(),
                                  [](const Programme& programme) { return programme.starts_min.empty(); });
  if (never_opens && clocks_.size() > 1) clocks_.resize(1);
  lines_.resize(windows_.size() * clocks_.size());
}

const Timeline& LaidOut::At(size_t window, size_t clock, int warm_up_days) {
  Line& line = lines_[window * clocks_.size() + clock];
  if (line.warm_up_days >= warm_up_days) return line.timeline;
  line.warm_up_days = warm_up_days;
  const HourGrid& grid = grids_.Of(windows_[window], warm_up_days);
  if (!grid.one_offset) {
    LayOut(grid, Expand(windows_[window], warm_up_days + 1, 0, clocks_[clock]), 0, line.timeline);
    return line.timeline;
  }
  // While the offset stays, a clock that is out runs everything that much earlier or later.
  Expanded& expanded = expanded_[window];
  if (expanded.warm_up_days < warm_up_days) {
    expanded.warm_up_days = warm_up_days;
    expanded.runs = Expand(windows_[window], warm_up_days + 1, 1, 0);
  }
  LayOut(grid, expanded.runs, -clocks_[clock], line.timeline);
  return line.timeline;
}

std::vector<Run> LaidOut::Expand(DateWindow window, int warm_up_days, int days_after, int fast_min) const {
  // Unknown phases count from the window's own first day, so shift them to stay the same days.
  std::vector<int> shifted = phases_;
  for (size_t i = 0, unknown = 0; i < settings_.programmes.size() && unknown < shifted.size(); ++i) {
    const auto* every = std::get_if<EveryNDays>(&settings_.programmes[i].days);
    if (every == nullptr || every->from) continue;
    shifted[unknown] = (shifted[unknown] + warm_up_days) % every->n;
    ++unknown;
  }
  const DateWindow whole{AddDays(window.from, -warm_up_days), AddDays(window.to, days_after)};
  const ClockState clock{form_.follows_clock_change.value_or(false), fast_min};
  return ExpandRuns(form_, settings_, grids_.zone(), whole, clock, shifted);
}

}  // namespace lastreach
