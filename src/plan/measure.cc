#include "plan/measure.h"

#include <algorithm>
#include <cmath>

#include "plan/search.h"
#include "quality/transport.h"

namespace lastreach {
namespace {

bool RunsAlikeEveryDay(const TimerSettings& settings) {
  return !settings.on ||
         std::all_of(settings.programmes.begin(), settings.programmes.end(), [](const Programme& programme) {
           const auto* every = std::get_if<EveryNDays>(&programme.days);
           return programme.starts_min.empty() || programme.days == DayPattern(kEveryWeekday) ||
                  (every != nullptr && every->n == 1);
         });
}

}  // namespace

Measurer::Measurer(const PlanOptions& options, const PlanningNumbers& numbers, const ReachModel& corner,
                   const Deviates& slopes, std::shared_ptr<ReadyReach::Workspace> workspace)
    : options_(options),
      numbers_(numbers),
      corner_(corner),
      workspace_(std::move(workspace)),
      trial_(ControllerForm{}, options.zone, numbers, workspace_),
      ready_corner_(corner),
      ready_middle_(ModelReach(numbers, {})),
      judge_(trial_, PlainDraws(static_cast<size_t>(options.confirming_draws), options.seed + 1), slopes) {}

std::vector<DateWindow> Measurer::WindowsToSearch(const TimerSettings& settings, bool alike) const {
  const DateWindow season{options_.from, options_.to};
  if (!alike) return {season};
  std::vector<DateWindow> windows = WindowsToJudge(kEveryWeekday, options_.zone, season);
  for (const Programme& programme : settings.programmes) {
    const auto* every = std::get_if<EveryNDays>(&programme.days);
    if (every != nullptr && every->from && *every->from > AddDays(season.from, -64)) return {season};
  }
  return windows;
}

Outcome Measurer::OutcomeOf(const ControllerForm& form, const TimerSettings& settings,
                            std::span<const int> clocks_min, const CalendarAnswer& answer,
                            double at_least_sure) {
  Trial trial(form, options_.zone, numbers_, workspace_);
  const DateWindow season{options_.from, options_.to};
  const bool alike = RunsAlikeEveryDay(settings);
  LaidOut all = trial.Lay(settings, WindowsToSearch(settings, alike), clocks_min, answer.phases);
  const Low worst = trial.Lowest(all, ready_corner_);

  // Where every day is alike one of them holds the worst of every draw.
  const DateWindow window = alike ? Around(worst.when, 0, 1) : Around(worst.when, 1, 3);
  const std::vector<int> phases =
      PhasesFrom(settings, answer.phases, DayNumber(window.from) - DayNumber(options_.from));
  LaidOut laid = trial.Lay(settings, {&window, 1}, clocks_min, phases);
  const std::vector<double> lows = judge_.Lows(laid, at_least_sure);
  const auto first_holding = std::lower_bound(lows.begin(), lows.end(), numbers_.target_mg_per_l);
  const auto unsure =
      static_cast<size_t>(std::floor((1 - options_.sureness) * static_cast<double>(lows.size()) + 1e-9));

  Outcome outcome;
  outcome.sureness = static_cast<double>(lows.end() - first_holding) / static_cast<double>(lows.size());
  outcome.lowest_mg_per_l = lows[std::min(unsure, lows.size() - 1)];
  outcome.middle_lowest_mg_per_l = trial.Lowest(laid, ready_middle_).mg_per_l;
  outcome.lowest_at = NameOf(worst.judged);
  outcome.lowest_when = worst.when;
  const double days = DayNumber(season.to) - DayNumber(season.from);
  outcome.water_m3_per_day =
      static_cast<double>(answer.total_minutes) * kSecondsPerMinute * numbers_.flow_m3_per_s / days;
  outcome.runs_per_day = static_cast<double>(answer.runs.size()) / days;
  outcome.longest_gap_h = answer.longest_gap ? answer.longest_gap->hours() : 0;
  outcome.runs_per_year = answer.runs_per_year;
  return outcome;
}

ResidualSeries Measurer::SeriesOf(const ControllerForm& form, const TimerSettings& settings,
                                  int clock_fast_min, const TapName& place, MinuteInstant when,
                                  const std::vector<int>& phases) const {
  constexpr int kDays = 14;
  constexpr int kWarmUpDays = 20;
  const DateWindow window = Around(when, kDays / 2, kDays);
  const DateWindow whole{AddDays(window.from, -kWarmUpDays), window.to};
  const ReachModel middle = ModelReach(numbers_, {});
  const ClockState clock{form.follows_clock_change.value_or(false), clock_fast_min};
  const auto runs =
      ExpandRuns(form, settings, options_.zone, whole, clock,
                 PhasesFrom(settings, phases, DayNumber(whole.from) - DayNumber(options_.from)));
  const auto moment = [&](Date date) {
    return std::chrono::floor<std::chrono::minutes>(options_.zone.FirstInstant(Midnight(date)));
  };
  const MinuteInstant begin = moment(whole.from);
  const BranchDrive drive = DriveOf(middle, runs, options_.zone, begin, moment(whole.to));

  ResidualSeries series;
  series.begin = moment(window.from);
  std::vector<double> times_s;
  for (MinuteInstant t = series.begin; t <= moment(window.to); t += std::chrono::minutes(15)) {
    times_s.push_back(static_cast<double>((t - begin).count()) * kSecondsPerMinute);
    series.hours.push_back(static_cast<double>((t - series.begin).count()) / 60);
  }
  size_t segment = middle.branch.segments.size() - 1;
  for (size_t i = 0; i < middle.judged.size(); ++i) {
    if (middle.service_number[i] == place.number) segment = middle.judged[i];
  }
  series.mg_per_l = ResidualsAt(middle.branch, drive, segment, times_s, middle.kinetics);
  return series;
}

TapName Measurer::NameOf(size_t judged) const {
  const int number = corner_.service_number[judged];
  if (number == 0) return {static_cast<int>(corner_.branch.segments.size()), "the end"};
  return {number, "service " + std::to_string(number) + " of " + std::to_string(numbers_.services())};
}

// Unknown phases count from a window's first day; these are the same days seen from another window.
std::vector<int> PhasesFrom(const TimerSettings& settings, const std::vector<int>& phases, int days) {
  std::vector<int> shifted;
  size_t unknown = 0;
  for (const Programme& programme : settings.programmes) {
    const auto* every = std::get_if<EveryNDays>(&programme.days);
    if (every == nullptr || every->from || unknown >= phases.size()) continue;
    const int moved = phases[unknown++] - days;
    shifted.push_back(((moved % every->n) + every->n) % every->n);
  }
  return shifted;
}

DateWindow Measurer::Around(MinuteInstant when, int days_before, int days) const {
  const LocalTime local = options_.zone.ToLocal(Instant(when));
  const Date day{std::chrono::floor<std::chrono::days>(local)};
  const Date last_first = std::max(options_.from, AddDays(options_.to, -days));
  const Date first = std::min(std::max(AddDays(day, -days_before), options_.from), last_first);
  return {first, std::min(AddDays(first, days), options_.to)};
}

TimerSettings KeyedLongAgo(TimerSettings settings) {
  constexpr int kCycles = 70;
  for (Programme& programme : settings.programmes) {
    auto* every = std::get_if<EveryNDays>(&programme.days);
    if (every != nullptr && every->from) every->from = AddDays(*every->from, -kCycles * every->n);
  }
  return settings;
}

}  // namespace lastreach
