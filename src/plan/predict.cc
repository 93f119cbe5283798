#include "plan/predict.h"

#include <algorithm>
#include <cmath>

#include "calendar/answer.h"
#include "plan/measure.h"
#include "plan/sureness.h"
#include "plan/trial.h"

namespace lastreach {
namespace {

// What GatherNumbers asks for and a reach without flushing has no use of.
void FillInUnused(DeviceFacts& facts, PlanOptions& options) {
  if (!facts.present) {
    facts.point.flow = Sourced<Flow>{Flow::LitresPerSecond(1), {OriginKind::kTyped, "", {}, ""}};
    TimerSettings off;
    off.on = false;
    facts.present = off;
  }
  if (!facts.supply.target_residual && !options.target_mg_per_l) options.target_mg_per_l = 0.2;
}

// The value at a share of the way through sorted values, between two of them in proportion.
double AtShare(const std::vector<double>& sorted, double share) {
  const double place = share * static_cast<double>(sorted.size() - 1);
  const auto below = static_cast<size_t>(place);
  if (below + 1 >= sorted.size()) return sorted.back();
  return sorted[below] + (place - static_cast<double>(below)) * (sorted[below + 1] - sorted[below]);
}

// Three days round the worst moment, within the season.
DateWindow Around(MinuteInstant when, const PlanOptions& options) {
  const Date day{std::chrono::floor<std::chrono::days>(options.zone.ToLocal(Instant(when)))};
  const Date last_first = std::max(options.from, AddDays(options.to, -3));
  const Date first = std::min(std::max(AddDays(day, -1), options.from), last_first);
  return {first, std::min(AddDays(first, 3), options.to)};
}

bool EveryDayIsAlike(const TimerSettings& settings) {
  return !settings.on || std::all_of(settings.programmes.begin(), settings.programmes.end(),
                                     [](const Programme& p) { return p.starts_min.empty(); });
}

}  // namespace

Result<LowPrediction> PredictLowest(const DeviceFacts& asked, const PlanOptions& asked_options, int draws) {
  DeviceFacts facts = asked;
  PlanOptions options = asked_options;
  FillInUnused(facts, options);
  const auto numbers = GatherNumbers(facts, options);
  if (!numbers.ok()) return numbers.error();

  const TimerSettings settings = KeyedLongAgo(*facts.present);
  const int clock[] = {facts.present_clock_fast_minutes};
  Trial trial(facts.form, options.zone, *numbers);
  DateWindow window{options.from, AddDays(options.from, 1)};
  std::vector<int> phases;
  if (!EveryDayIsAlike(settings)) {
    const DateWindow season{options.from, options.to};
    phases = AnswerCalendar({facts.form, settings}, options.zone, season, clock[0]).phases;
    const ReachModel middle = ModelReach(*numbers, {}, options.search_taps);
    window = Around(trial.Lowest(settings, middle, season, clock, phases).when, options);
    phases = PhasesFrom(settings, phases, DayNumber(window.from) - DayNumber(options.from));
  }
  SurenessJudge judge(trial, StratifiedDraws(static_cast<size_t>(draws), options.seed), GuessSlopes(*numbers),
                      options.search_taps);
  const std::vector<double> lows = judge.Lows(settings, window, clock, phases);
  return LowPrediction{AtShare(lows, 0.1), AtShare(lows, 0.5), AtShare(lows, 0.9), numbers->assumed};
}

}  // namespace lastreach
