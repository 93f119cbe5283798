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

}  // namespace

HourGrid LayHours(const Zone& zone, DateWindow whole, Date judged_from) {
  HourGrid grid;
  grid.whole = whole;
  grid.judged_from = judged_from;
  grid.begin = LocalMidnight(zone, whole.from);
  grid.judge_from = LocalMidnight(zone, judged_from);
  grid.end = LocalMidnight(zone, whole.to);
  constexpr auto kRoom = std::chrono::days(3);
  const std::vector<OffsetPiece> pieces =
      zone.Offsets(Instant(grid.begin) - kRoom, Instant(grid.end) + kRoom);
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
  return grid;
}

void LayOut(const HourGrid& grid, std::span<const Run> runs, int shift_min, Timeline& timeline) {
  Timeline& line = timeline;
  line.begin = grid.begin;
  line.time_s.clear();
  line.kind.clear();
  line.factor_sum_s.assign(1, 0);
  line.open_sum_s.assign(1, 0);
  const auto shift = minutes(shift_min);
  size_t run = 0;
  while (run < runs.size() && runs[run].end() + shift <= grid.begin) ++run;
  for (size_t h = 0; h < grid.hours.size(); ++h) {
    const MinuteInstant hour_end = h + 1 < grid.hours.size() ? grid.hours[h + 1].from : grid.end;
    MinuteInstant now = grid.hours[h].from;
    if (now == grid.judge_from) line.first_judged = line.kind.size();
    while (now < hour_end) {
      const bool open = run < runs.size() && runs[run].start + shift <= now;
      MinuteInstant until = hour_end;
      if (run < runs.size()) until = std::min(until, (open ? runs[run].end() : runs[run].start) + shift);
      const double span_s = static_cast<double>((until - now).count()) * kSecondsPerMinute;
      line.time_s.push_back(static_cast<double>((now - grid.begin).count()) * kSecondsPerMinute);
      line.kind.push_back(static_cast<uint8_t>(2 * grid.hours[h].hour + (open ? 1 : 0)));
      line.factor_sum_s.push_back(line.factor_sum_s.back() + kHouseholdHours[grid.hours[h].hour] * span_s);
      line.open_sum_s.push_back(line.open_sum_s.back() + (open ? span_s : 0));
      now = until;
      if (open && runs[run].end() + shift <= now) ++run;
    }
  }
  line.time_s.push_back(static_cast<double>((grid.end - grid.begin).count()) * kSecondsPerMinute);
}

const HourGrid& LaidOut::Grids::Of(DateWindow window, int warm_up_days) {
  const DateWindow whole{AddDays(window.from, -warm_up_days), window.to};
  for (const auto& grid : grids_) {
    if (grid->whole.from == whole.from && grid->whole.to == whole.to && grid->judged_from == window.from)
      return *grid;
  }
  grids_.push_back(std::make_unique<HourGrid>(LayHours(zone_, whole, window.from)));
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
      lines_(windows_.size() * clocks_.size()),
      expanded_(windows_.size()) {}

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
