#include "plan/settle.h"

#include "plan/bound.h"
#include "plan/relaxed.h"
#include "plan/search.h"
#include "plan/words.h"

namespace lastreach {
namespace {

double LeastAtCorner(DeviceStudy& study) {
  const StartRules rules = study.Rules(kGuard_min);
  Search search(study.trial, study.coarse_corner, rules, study.form, study.season, false,
                study.options.simpler_within);
  const std::vector<Candidate> best = search.Best(1);
  return best.empty() ? 0 : best.front().water_m3_per_day;
}

}  // namespace

DevicePlan BlankPlan(const DeviceFacts& facts, const PlanOptions& options) {
  DevicePlan plan;
  plan.point = facts.point;
  plan.form = facts.form;
  plan.present = facts.present;
  plan.asked_sureness = options.sureness;
  if (facts.present) plan.settings = *facts.present;
  return plan;
}

void Summarise(const DeviceStudy& study, DevicePlan& plan) {
  const PlanningNumbers& numbers = study.numbers;
  ReachSummary& reach = plan.reach;
  reach.volume_m3 = numbers.volume_m3();
  for (const PipeNumbers& pipe : numbers.pipes) reach.length_m += pipe.length_m;
  reach.services = numbers.services();
  reach.demand_m3_per_day = numbers.demand_m3_per_s() * kSecondsPerDay;
  reach.upstream_mg_per_l = numbers.upstream_mg_per_l;
  reach.temperature_c = numbers.temperature_c;
  reach.decay_per_day = numbers.bulk_per_s * kSecondsPerDay;
  plan.target_mg_per_l = numbers.target_mg_per_l;
  const WaterBound bound = LeastWater(study.corner, numbers.target_mg_per_l);
  plan.bound_m3_per_day = bound.m3_per_day;
  plan.bound_kind = bound.kind;
}

void MeasurePresent(DeviceStudy& study, DevicePlan& plan) {
  const DeviceFacts& facts = study.facts;
  if (!facts.present) return;
  const int fast = facts.present_clock_fast_minutes;
  plan.fast_clock_minutes = fast;
  const CalendarAnswer answer =
      AnswerCalendar({facts.form, *facts.present}, study.options.zone, study.season, fast);
  plan.calendar_warnings = answer.warnings;
  std::vector<int> clocks;
  for (const int error : kClockErrors_min) clocks.push_back(fast + error);
  plan.present_outcome = study.measurer.OutcomeOf(facts.form, *facts.present, clocks, answer);
}

void TakeUp(DeviceStudy& study, const TimerSettings& settings, DevicePlan& plan, double at_least_sure) {
  const DeviceFacts& facts = study.facts;
  plan.settings = settings;
  const CalendarAnswer answer = AnswerCalendar({study.form, settings}, study.options.zone, study.season);
  plan.planned_outcome =
      study.measurer.OutcomeOf(study.form, KeyedLongAgo(settings), kClockErrors_min, answer, at_least_sure);
  if (plan.planned_outcome->sureness < at_least_sure) return;
  plan.next_runs.assign(answer.runs.begin(),
                        answer.runs.begin() + std::min<std::ptrdiff_t>(3, std::ssize(answer.runs)));
  if (!settings.programmes.empty()) {
    const int minutes = EffectiveMinutes(study.form, settings, settings.programmes.front());
    plan.volume_a_run = Volume::CubicMetres(minutes * kSecondsPerMinute * study.numbers.flow_m3_per_s);
  }
  const TapName& place = plan.planned_outcome->lowest_at;
  const MinuteInstant when = plan.planned_outcome->lowest_when;
  plan.planned_series =
      study.measurer.SeriesOf(study.form, KeyedLongAgo(settings), 0, place, when, answer.phases);
  if (!facts.present) return;
  const int fast = facts.present_clock_fast_minutes;
  const auto present = AnswerCalendar({facts.form, *facts.present}, study.options.zone, study.season, fast);
  plan.present_series =
      study.measurer.SeriesOf(facts.form, *facts.present, fast, place, when, present.phases);
}

void LetGo(const DeviceStudy& study, DevicePlan& plan) {
  plan.settings = study.facts.present.value_or(TimerSettings{});
  plan.planned_outcome.reset();
  plan.planned_series = {};
  plan.present_series = {};
  plan.next_runs.clear();
  plan.volume_a_run = {};
}

void AddReasonsAndCautions(const DeviceStudy& study, DevicePlan& plan) {
  for (std::string& sentence : ReasonsFor(plan)) plan.reasons.push_back(std::move(sentence));
  for (std::string& sentence : CautionsFor(study.facts)) plan.cautions.push_back(std::move(sentence));
}

void AddWhatBinds(DeviceStudy& study, double least_at_corner_m3_per_day, DevicePlan& plan) {
  if (study.options.what_binds) {
    plan.binds = WhatBinds(least_at_corner_m3_per_day, study.facts, study.form, study.options, study.trial,
                           study.coarse_corner);
  }
  const Outcome& outcome = *plan.planned_outcome;
  plan.binds.push_back("The water that gets lowest is at " + outcome.lowest_at.words + ", worst on " +
                       FormatLocal(study.options.zone.ToLocal(Instant(outcome.lowest_when))) + ".");
}

void SayWhatBinds(const DeviceFacts& facts, const PlanOptions& options, DevicePlan& plan) {
  if ((plan.verdict != Verdict::kChange && plan.verdict != Verdict::kKeep) || plan.planned_together) return;
  Result<PlanningNumbers> numbers = GatherNumbers(facts, options);
  if (!numbers.ok() || !plan.planned_outcome || options.ShouldStop()) return;
  DeviceStudy study(facts, options, std::move(*numbers), nullptr);
  plan.binds.clear();
  AddWhatBinds(study, LeastAtCorner(study), plan);
}

DevicePlan Settle(const DeviceFacts& facts, const PlanOptions& options, const TimerSettings& settings) {
  DevicePlan plan = BlankPlan(facts, options);
  Result<PlanningNumbers> numbers = GatherNumbers(facts, options);
  if (!numbers.ok()) {
    plan.reasons.push_back("Too little is known: " + numbers.error().message + ".");
    return plan;
  }
  plan.assumed = numbers->assumed;
  DeviceStudy study(facts, options, std::move(*numbers), &plan.assumed);
  Summarise(study, plan);
  MeasurePresent(study, plan);
  TakeUp(study, settings, plan);
  if (plan.planned_outcome->sureness < options.sureness) {
    plan.verdict = Verdict::kCannotHold;
    plan.reasons.push_back("These settings hold " + Residual(plan.target_mg_per_l) + " only " +
                           Percent(plan.planned_outcome->sureness) + " of the time that was asked for " +
                           Percent(options.sureness) + ".");
    return plan;
  }
  plan.verdict = facts.present == settings ? Verdict::kKeep : Verdict::kChange;
  AddReasonsAndCautions(study, plan);
  AddWhatBinds(study, options.what_binds ? LeastAtCorner(study) : 0, plan);
  return plan;
}

}  // namespace lastreach
