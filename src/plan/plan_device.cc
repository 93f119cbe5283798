#include "plan/plan_device.h"

#include <algorithm>

#include "calendar/warnings.h"
#include "plan/finalists.h"
#include "plan/relaxed.h"
#include "plan/settle.h"
#include "plan/words.h"

namespace lastreach {
namespace {

constexpr size_t kFinalists = 12;
// Share of water by which settings planned before may be farther from the bound now.
constexpr double kAsNear = 0.03;

void SayThatItWasStopped(DevicePlan& plan) {
  plan.stopped_early = true;
  plan.verdict = Verdict::kTooLittleKnown;
  plan.reasons.push_back("Planning was stopped before any settings were sure. Plan again.");
}

// From one device's study to its verdict.
class Planner {
 public:
  Planner(DeviceStudy& study, DevicePlan& plan) : study_(study), options_(study.options), plan_(plan) {}

  void Plan() {
    Summarise(study_, plan_);
    MeasurePresent(study_, plan_);
    if (!FlowIsAllowed() || UpstreamIsTooWeak() || NothingIsNeeded()) return;
    bool found = TakeUpAsBefore() || TakeUpTheLeastThatIsSure(kGuard_min);
    if (!found && !options_.ShouldStop()) {
      found = TakeUpTheLeastThatIsSure(0);
      if (found)
        plan_.cautions.push_back("No room is left for a clock that is out: check the clock at every visit.");
    }
    plan_.stopped_early = options_.ShouldStop();
    if (!found) {
      plan_.stopped_early ? SayThatItWasStopped(plan_) : ExplainWhyNothingHolds();
      return;
    }
    Choose();
    if (!plan_.stopped_early) AddWhatBinds(study_, least_at_corner_m3_per_day_, plan_);
  }

 private:
  bool FlowIsAllowed() {
    for (const Limit& limit : study_.facts.limits) {
      const auto* most = std::get_if<MostFlow>(&limit.rule);
      if (most == nullptr || most->flow.cubic_metres_per_second() >= study_.numbers.flow_m3_per_s * 0.999)
        continue;
      plan_.verdict = Verdict::kCannotHold;
      plan_.reasons.push_back("The device flows more than its outlet may take (" + Describe(limit.rule) +
                              "; source: " + limit.source + "). Throttle it, measure again and plan anew.");
      return false;
    }
    return true;
  }

  bool UpstreamIsTooWeak() {
    Deviates only_upstream{};
    only_upstream[kUpstream] = 1;
    const Deviates weak = CornerOf(only_upstream, options_.sureness);
    if (study_.numbers.upstream_mg_per_l * Factor(study_.numbers, kUpstream, weak) >
        study_.numbers.target_mg_per_l)
      return false;
    plan_.verdict = Verdict::kFlushingIsNotTheAnswer;
    plan_.reasons.push_back("The main upstream carries about " + Residual(study_.numbers.upstream_mg_per_l) +
                            ": not surely enough to leave " + Residual(study_.numbers.target_mg_per_l) +
                            " anywhere on the reach, however long the device runs.");
    plan_.reasons.push_back(
        "Look upstream: a closed valve, the tank's turnover, the dose at the source; with chloramine, "
        "nitrification.");
    return true;
  }

  bool NothingIsNeeded() {
    TimerSettings off;
    off.on = false;
    if (!study_.judge.Holds(off, FirstDays(), options_.sureness)) return false;
    TakeUp(study_, off, plan_);
    if (plan_.planned_outcome->sureness < options_.sureness) {
      LetGo(study_, plan_);
      return false;
    }
    plan_.verdict = Verdict::kNoFlushNeeded;
    plan_.reasons.push_back("The customers' own use keeps this reach fresh: with the device off, " +
                            plan_.planned_outcome->lowest_at.words + " still has " +
                            Residual(plan_.planned_outcome->lowest_mg_per_l) + " at the worst moment.");
    plan_.cautions.push_back(
        "Turning a device off needs a date and a name. Flush by hand as your rules require, and "
        "read the residual before each flush.");
    return true;
  }

  std::vector<DateWindow> FirstDays() const {
    return {{study_.season.from, std::min(study_.season.to, AddDays(study_.season.from, 2))}};
  }

  // The best structures at the corner, each with its minutes set by the draws; of those the winner that fresh
  // draws confirm with every service and over the season. The windows judged before hold each pattern's
  // longest gap; the season may still have a worse moment, and not all services were told apart.
  bool TakeUpTheLeastThatIsSure(int guard_min) {
    const StartRules rules = study_.Rules(guard_min);
    Search search(study_.trial, study_.coarse_corner, rules, study_.form, study_.season, false,
                  options_.simpler_within, options_.stop);
    Finalists finalists(study_, rules, search);
    least_at_corner_m3_per_day_ = 0;
    for (const Candidate& candidate : search.Best(kFinalists)) {
      // What is asked last is asked to the end, so that what was found in time is not lost.
      if (finalists.Winner() != nullptr && options_.ShouldStop()) break;
      if (least_at_corner_m3_per_day_ == 0) least_at_corner_m3_per_day_ = candidate.water_m3_per_day;
      finalists.Enter(candidate);
    }
    return TakeUpTheWinner(finalists, rules, search);
  }

  // The days and starts that were planned for nearly the same water, where they are still as near to the
  // bound.
  bool TakeUpAsBefore() {
    const std::optional<PlannedBefore>& before = study_.facts.planned_before;
    const auto kind = before ? CandidateOf(before->settings) : std::nullopt;
    if (!kind || !(before->bound_m3_per_day > 0)) return false;
    const StartRules rules = study_.Rules(kGuard_min);
    Search search(study_.trial, study_.coarse_corner, rules, study_.form, study_.season, false,
                  options_.simpler_within, options_.stop);
    const auto candidate = Lengthened(*kind, 0, rules, search);
    if (!candidate) return false;
    Finalists finalists(study_, rules, search);
    finalists.Enter(*candidate);
    if (!TakeUpTheWinner(finalists, rules, search)) return false;
    if (plan_.planned_outcome->water_m3_per_day * before->bound_m3_per_day >
        before->water_m3_per_day * plan_.bound_m3_per_day * (1 + kAsNear)) {
      LetGo(study_, plan_);
      return false;
    }
    if (options_.what_binds) {
      const std::vector<Candidate> best = search.Best(1);
      least_at_corner_m3_per_day_ = best.empty() ? 0 : best.front().water_m3_per_day;
    }
    return true;
  }

  bool TakeUpTheWinner(Finalists& finalists, const StartRules& rules, const Search& search) {
    while (const Candidate* winner = finalists.Winner()) {
      // The season takes long to look through: what fails in its own worst days need not be.
      if (study_.fresh.Holds(search.SteadySettingsOf(*winner), study_.WindowsFor(winner->days),
                             options_.sureness) &&
          IsTakenUp(search.SettingsOf(*winner))) {
        ShortenBack(*winner, finalists.StepsFromUnsure(), rules, search);
        return true;
      }
      finalists.LengthenWinner();
    }
    LetGo(study_, plan_);
    return false;
  }

  // Takes settings up, sure or not; whether they are.
  bool IsTakenUp(const TimerSettings& settings) {
    TakeUp(study_, settings, plan_, options_.sureness);
    return plan_.planned_outcome->sureness >= options_.sureness;
  }

  // The fewest steps between those that were not sure and the winner, by halving: more minutes never hurt.
  void ShortenBack(const Candidate& winner, int steps_from_unsure, const StartRules& rules,
                   const Search& search) {
    int fewer = 0;
    int too_few = steps_from_unsure;
    bool is_up = true;  // the ones taken up last are those to keep
    while (too_few - fewer > 1) {
      const int middle = (fewer + too_few) / 2;
      const auto shorter = Lengthened(winner, -middle, rules, search);
      is_up = shorter && IsTakenUp(search.SettingsOf(*shorter));
      (is_up ? fewer : too_few) = middle;
    }
    if (!is_up) IsTakenUp(search.SettingsOf(*Lengthened(winner, -fewer, rules, search)));
  }

  void ExplainWhyNothingHolds() {
    if (!HoldsOpenRoundTheClock()) {
      plan_.verdict = Verdict::kFlushingIsNotTheAnswer;
      plan_.reasons.push_back("Even open round the clock the device would not surely hold " +
                              Residual(study_.numbers.target_mg_per_l) +
                              ": the water loses too much on the way.");
      plan_.reasons.push_back("Look for a closed valve or an unlined main, and at the residual upstream.");
      return;
    }
    plan_.verdict = Verdict::kCannotHold;
    plan_.reasons.push_back("No settings that this timer and these limits allow hold " +
                            Residual(study_.numbers.target_mg_per_l) + " with the asked-for sureness.");
    plan_.binds = WhatWouldHelp(study_.facts, study_.form, options_, study_.trial, study_.coarse_corner);
  }

  bool HoldsOpenRoundTheClock() {
    TimerSettings always;
    for (int quarter = 0; quarter < 4; ++quarter)
      always.programmes.push_back({{quarter * 360}, 360, kEveryWeekday, {}});
    Trial trial(ControllerForm{}, options_.zone, study_.numbers, study_.trial.workspace());
    SurenessJudge judge(trial, StratifiedDraws(static_cast<size_t>(options_.draws), options_.seed),
                        study_.slopes);
    return judge.Holds(always, FirstDays(), options_.sureness);
  }

  // Keep what holds unless the saving is worth a visit.
  void Choose() {
    plan_.verdict = Verdict::kChange;
    if (PresentIsGoodEnough()) {
      plan_.verdict = Verdict::kKeep;
      TakeUp(study_, *study_.facts.present, plan_);
      plan_.reasons.push_back("What is keyed now holds, and what could be saved is not worth a visit.");
    }
    AddReasonsAndCautions(study_, plan_);
  }

  bool PresentIsGoodEnough() const {
    if (!plan_.present_outcome || !study_.facts.present->on || !KeepsEveryRule(*study_.facts.present))
      return false;
    return plan_.present_outcome->sureness >= options_.sureness &&
           plan_.present_outcome->water_m3_per_day <=
               plan_.planned_outcome->water_m3_per_day * (1 + options_.worth_a_visit);
  }

  bool KeepsEveryRule(const TimerSettings& settings) const {
    const StartRules rules(study_.form, study_.facts.limits, options_.zone, study_.season,
                           study_.numbers.flow_m3_per_s, 0, {});
    int starts = 0;
    for (const Programme& programme : settings.programmes)
      starts += static_cast<int>(programme.starts_min.size());
    for (const Programme& programme : settings.programmes) {
      const int minutes = EffectiveMinutes(study_.facts.form, settings, programme);
      for (const int start : programme.starts_min) {
        if (!rules.Allows(start, minutes) || minutes > rules.MostMinutes(starts)) return false;
      }
    }
    return WhatCannotBeKeyed(study_.facts.form, settings).empty() &&
           study_.facts.present_clock_fast_minutes == 0 &&
           CountOverlaps({study_.facts.form, settings}, options_.zone, study_.season, study_.trial.Clock(0))
                   .starts == 0;
  }

  DeviceStudy& study_;
  const PlanOptions& options_;
  DevicePlan& plan_;
  double least_at_corner_m3_per_day_ = 0;
};

}  // namespace

DevicePlan PlanDevice(const DeviceFacts& facts, const PlanOptions& options) {
  DevicePlan plan = BlankPlan(facts, options);
  Result<PlanningNumbers> numbers = GatherNumbers(facts, options);
  if (!numbers.ok()) {
    plan.reasons.push_back("Too little is known: " + numbers.error().message + ".");
    return plan;
  }
  plan.assumed = numbers->assumed;
  if (options.ShouldStop()) {
    SayThatItWasStopped(plan);
    return plan;
  }
  DeviceStudy study(facts, options, std::move(*numbers), &plan.assumed);
  Planner(study, plan).Plan();
  return plan;
}

}  // namespace lastreach
