#include "plan/tree_report.h"

#include <algorithm>
#include <cstdio>

#include "plan/bound.h"
#include "plan/measure.h"
#include "plan/words.h"

namespace lastreach {

std::string NamedTogether(const std::vector<std::string>& names) {
  std::string text;
  for (size_t i = 0; i < names.size(); ++i) {
    if (i > 0) text += i + 1 < names.size() ? ", " : " and ";
    text += names[i];
  }
  return text;
}

std::string CubicMetresADay(double water) {
  char text[48];
  std::snprintf(text, sizeof text, "%.3g m3 a day", water);
  return text;
}

namespace {

void SayWhy(const DevicePlan& alone, const std::vector<std::string>& neighbours, DevicePlan& plan) {
  if (neighbours.empty() && plan.verdict != Verdict::kNoFlushNeeded) {
    plan.reasons = ReasonsFor(plan);
    return;
  }
  const std::string whose =
      NamedTogether(neighbours) + (neighbours.size() > 1 ? ", which share" : ", which shares") + " its mains";
  if (plan.verdict == Verdict::kNoFlushNeeded) {
    plan.reasons.push_back((neighbours.empty() ? std::string("This") : "With " + whose + ", this") +
                           " reach needs no flushing of its own: with the device off, " +
                           plan.planned_outcome->lowest_at.words + " still has " +
                           Residual(plan.planned_outcome->lowest_mg_per_l) + " at the worst moment.");
    plan.cautions.push_back(
        "Turning a device off needs a date and a name. Flush by hand as your rules require, and "
        "read the residual before each flush.");
  } else {
    for (std::string& sentence : ReasonsFor(plan)) plan.reasons.push_back(std::move(sentence));
    plan.reasons.push_back(
        "Planned together with " + whose + "." +
        (alone.planned_outcome
             ? " Alone it would take " + CubicMetresADay(alone.planned_outcome->water_m3_per_day) + "."
             : " Alone it could not hold."));
  }
  if (neighbours.empty()) return;
  plan.cautions.push_back(
      "This reach counts on " + NamedTogether(neighbours) +
      " running as planned: key them on the same trip, and plan again when one is changed or "
      "fails.");
}

}  // namespace

DevicePlan RetoldTogether(const DevicePlan& alone, const TreeMember& member, const DeviceFacts& beside,
                          const TimerSettings& settings, const std::vector<std::string>& neighbours,
                          const PlanOptions& options) {
  const PlanningNumbers numbers = *GatherNumbers(beside, options);
  const ReachModel corner = ModelReach(numbers, member.corner());
  Trial trial(member.form(), options.zone, numbers);
  Measurer measurer(options, numbers, corner, member.slopes(), trial.workspace());
  const CalendarAnswer answer =
      AnswerCalendar({member.form(), settings}, options.zone, {options.from, options.to});

  DevicePlan plan = alone;
  plan.settings = settings;
  plan.planned_outcome = measurer.OutcomeOf(member.form(), KeyedLongAgo(settings), kClockErrors_min, answer);
  plan.verdict = settings.on ? Verdict::kChange : Verdict::kNoFlushNeeded;
  if (settings.on && beside.present && *beside.present == settings) plan.verdict = Verdict::kKeep;
  plan.bound_m3_per_day = LeastWater(corner, numbers.target_mg_per_l).m3_per_day;
  plan.next_runs.assign(answer.runs.begin(),
                        answer.runs.begin() + std::min<std::ptrdiff_t>(3, std::ssize(answer.runs)));
  plan.volume_a_run = {};
  if (!settings.programmes.empty()) {
    const int minutes = EffectiveMinutes(member.form(), settings, settings.programmes.front());
    plan.volume_a_run = Volume::CubicMetres(minutes * kSecondsPerMinute * numbers.flow_m3_per_s);
  }
  const Outcome& outcome = *plan.planned_outcome;
  plan.planned_series = measurer.SeriesOf(member.form(), KeyedLongAgo(settings), 0, outcome.lowest_at,
                                          outcome.lowest_when, answer.phases);
  if (beside.present) {
    const int fast = beside.present_clock_fast_minutes;
    const auto present =
        AnswerCalendar({beside.form, *beside.present}, options.zone, {options.from, options.to}, fast);
    plan.present_series = measurer.SeriesOf(beside.form, *beside.present, fast, outcome.lowest_at,
                                            outcome.lowest_when, present.phases);
  }
  plan.reasons.clear();
  plan.cautions = CautionsFor(beside);
  plan.binds = {"The water that gets lowest is at " + outcome.lowest_at.words + ", worst on " +
                FormatLocal(options.zone.ToLocal(Instant(outcome.lowest_when))) + "."};
  SayWhy(alone, neighbours, plan);
  return plan;
}

}  // namespace lastreach
