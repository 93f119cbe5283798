#include "plan/plan_device.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <tuple>

#include "calendar/warnings.h"
#include "plan/bound.h"
#include "plan/make_sure.h"
#include "plan/measure.h"
#include "plan/relaxed.h"
#include "plan/words.h"

namespace lastreach {
namespace {

constexpr int kGuard_min = 60;  // an hour out either way
constexpr size_t kFinalists = 12;

// Everything between one device's numbers and its verdict.
class Planner {
 public:
  Planner(const DeviceFacts& facts, const PlanOptions& options, PlanningNumbers numbers, DevicePlan& plan)
      : facts_(facts),
        options_(options),
        plan_(plan),
        form_(CautiousForm(facts.form, &plan.assumed)),
        season_{options.from, options.to},
        numbers_(std::move(numbers)),
        slopes_(GuessSlopes(numbers_)),
        corner_(ModelReach(numbers_, CornerOf(slopes_, options.sureness))),
        coarse_corner_(ModelReach(numbers_, CornerOf(slopes_, options.sureness), options.search_taps)),
        trial_(form_, options.zone, numbers_),
        judge_(trial_, StratifiedDraws(static_cast<size_t>(options.draws), options.seed), slopes_,
               options.search_taps),
        fresh_(trial_, PlainDraws(static_cast<size_t>(options.confirming_draws), options.seed + 1), slopes_,
               options.search_taps),
        measurer_(options, numbers_, corner_, slopes_, trial_.workspace()) {}

  void Plan() {
    Summarise();
    MeasurePresent();
    if (!FlowIsAllowed() || UpstreamIsTooWeak() || NothingIsNeeded()) return;
    std::optional<TimerSettings> best = LeastThatIsSure(kGuard_min);
    if (!best) {
      best = LeastThatIsSure(0);
      if (best)
        plan_.cautions.push_back("No room is left for a clock that is out: check the clock at every visit.");
    }
    if (!best) {
      ExplainWhyNothingHolds();
      return;
    }
    Choose();
    plan_.binds = WhatBinds(least_at_corner_m3_per_day_, facts_, form_, options_, trial_, coarse_corner_);
    const Outcome& outcome = *plan_.planned_outcome;
    plan_.binds.push_back("The water that gets lowest is at " + outcome.lowest_at.words + ", worst on " +
                          FormatLocal(options_.zone.ToLocal(Instant(outcome.lowest_when))) + ".");
  }

 private:
  void Summarise() {
    ReachSummary& reach = plan_.reach;
    reach.volume_m3 = numbers_.volume_m3();
    for (const PipeNumbers& pipe : numbers_.pipes) reach.length_m += pipe.length_m;
    reach.services = numbers_.services();
    reach.demand_m3_per_day = numbers_.demand_m3_per_s() * kSecondsPerDay;
    reach.upstream_mg_per_l = numbers_.upstream_mg_per_l;
    reach.temperature_c = numbers_.temperature_c;
    reach.decay_per_day = numbers_.bulk_per_s * kSecondsPerDay;
    plan_.target_mg_per_l = numbers_.target_mg_per_l;
    const WaterBound bound = LeastWater(corner_, numbers_.target_mg_per_l);
    plan_.bound_m3_per_day = bound.m3_per_day;
    plan_.bound_kind = bound.kind;
  }

  // What the present settings do, by the same measure, on the timer as it stands.
  void MeasurePresent() {
    if (!facts_.present) return;
    const int fast = facts_.present_clock_fast_minutes;
    plan_.fast_clock_minutes = fast;
    const CalendarAnswer answer =
        AnswerCalendar({facts_.form, *facts_.present}, options_.zone, season_, fast);
    plan_.calendar_warnings = answer.warnings;
    std::vector<int> clocks;
    for (const int error : kClockErrors_min) clocks.push_back(fast + error);
    plan_.present_outcome = measurer_.OutcomeOf(facts_.form, *facts_.present, clocks, answer);
  }

  bool FlowIsAllowed() {
    for (const Limit& limit : facts_.limits) {
      const auto* most = std::get_if<MostFlow>(&limit.rule);
      if (most == nullptr || most->flow.cubic_metres_per_second() >= numbers_.flow_m3_per_s * 0.999) continue;
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
    if (numbers_.upstream_mg_per_l * Factor(numbers_, kUpstream, weak) > numbers_.target_mg_per_l)
      return false;
    plan_.verdict = Verdict::kFlushingIsNotTheAnswer;
    plan_.reasons.push_back("The main upstream carries about " + Residual(numbers_.upstream_mg_per_l) +
                            ": not surely enough to leave " + Residual(numbers_.target_mg_per_l) +
                            " anywhere on the reach, however long the device runs.");
    plan_.reasons.push_back(
        "Look upstream: a closed valve, the tank's turnover, the dose at the source; with chloramine, "
        "nitrification.");
    return true;
  }

  bool NothingIsNeeded() {
    TimerSettings off;
    off.on = false;
    if (!judge_.Holds(off, FirstDays(), options_.sureness)) return false;
    TakeUp(off);
    if (plan_.planned_outcome->sureness < options_.sureness) {
      LetGo();
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
    return {{season_.from, std::min(season_.to, AddDays(season_.from, 2))}};
  }

  // The best structures at the corner, each with its minutes set by the draws and confirmed by fresh ones;
  // the least water of those.
  std::optional<TimerSettings> LeastThatIsSure(int guard_min) {
    const StartRules rules(form_, facts_.limits, options_.zone, season_, numbers_.flow_m3_per_s, guard_min,
                           {}, options_.least_run_minutes);
    Search search(trial_, coarse_corner_, rules, form_, season_, false, options_.simpler_within);
    Finalists finalists{rules, search};
    least_at_corner_m3_per_day_ = 0;
    for (const Candidate& candidate : search.Best(kFinalists)) {
      // Draws ask for no less than the corner does, give or take a tie.
      if (candidate.water_m3_per_day > finalists.WorthAsking(options_.simpler_within)) break;
      if (least_at_corner_m3_per_day_ == 0) least_at_corner_m3_per_day_ = candidate.water_m3_per_day;
      const bool no_gain =
          std::any_of(finalists.sure.begin(), finalists.sure.end(), [&](const Candidate& other) {
            return other.runs_per_day <= candidate.runs_per_day + 1e-9 &&
                   other.water_m3_per_day <= candidate.water_m3_per_day * (1 + 1e-9);
          });
      if (no_gain) {
        finalists.waiting.push_back(candidate);
      } else {
        Enter(candidate, finalists);
      }
    }
    return SureAllSeason(finalists);
  }

  // The candidates still in the race, and those that can only win if one of them fails.
  struct Finalists {
    const StartRules& rules;
    const Search& search;
    std::vector<Candidate> sure{};
    std::vector<Candidate> waiting{};

    double WorthAsking(double simpler_within) const {
      double least = std::numeric_limits<double>::infinity();
      for (const Candidate& candidate : sure) least = std::min(least, candidate.water_m3_per_day);
      return least * (1 + std::max(simpler_within, kSameWater));
    }
  };

  void Enter(const Candidate& candidate, Finalists& finalists) {
    const auto windows = WindowsToJudge(candidate.days, options_.zone, season_);
    const auto found =
        MakeSure(candidate, finalists.rules, finalists.search, judge_, windows, options_.sureness);
    if (!found || found->water_m3_per_day > finalists.WorthAsking(options_.simpler_within)) return;
    const auto confirmed = Confirmed(*found, finalists.rules, finalists.search);
    if (confirmed) finalists.sure.push_back(*confirmed);
  }

  // Of those with about the least water the one with the fewest runs a day; the least water if there are
  // several.
  std::vector<Candidate>::iterator Simplest(std::vector<Candidate>& sure) const {
    double least_m3_per_day = std::numeric_limits<double>::infinity();
    for (const Candidate& candidate : sure) {
      least_m3_per_day = std::min(least_m3_per_day, candidate.water_m3_per_day);
    }
    const double most_m3_per_day = least_m3_per_day * (1 + options_.simpler_within) + 1e-12;
    return std::min_element(sure.begin(), sure.end(), [&](const Candidate& a, const Candidate& b) {
      const auto key = [&](const Candidate& c) {
        return std::tuple(c.water_m3_per_day > most_m3_per_day, std::lround(c.runs_per_day * 1e6),
                          c.water_m3_per_day);
      };
      return key(a) < key(b);
    });
  }

  // Fewer services were told apart so far, and other draws: add steps until fresh draws on all of them agree.
  std::optional<Candidate> Confirmed(const Candidate& found, const StartRules& rules, const Search& search) {
    const auto windows = WindowsToJudge(found.days, options_.zone, season_);
    for (int steps = 0;; ++steps) {
      std::optional<Candidate> longer = Lengthened(found, steps, rules, search);
      if (!longer || fresh_.Holds(search.SteadySettingsOf(*longer), windows, options_.sureness))
        return longer;
    }
  }

  // The windows judged so far hold each pattern's longest gap; the season may still have a worse moment, and
  // not all services were told apart. Whoever fails there goes back among the others with a step more.
  std::optional<TimerSettings> SureAllSeason(Finalists& finalists) {
    while (!finalists.sure.empty()) {
      const auto best = Simplest(finalists.sure);
      TakeUp(finalists.search.SettingsOf(*best), options_.sureness);
      if (plan_.planned_outcome->sureness >= options_.sureness) return plan_.settings;
      if (const auto longer = Lengthened(*best, 1, finalists.rules, finalists.search)) {
        *best = *longer;
      } else {
        finalists.sure.erase(best);
      }
      for (const Candidate& candidate : std::exchange(finalists.waiting, {})) Enter(candidate, finalists);
    }
    LetGo();
    return std::nullopt;
  }

  void ExplainWhyNothingHolds() {
    if (!HoldsOpenRoundTheClock()) {
      plan_.verdict = Verdict::kFlushingIsNotTheAnswer;
      plan_.reasons.push_back("Even open round the clock the device would not surely hold " +
                              Residual(numbers_.target_mg_per_l) + ": the water loses too much on the way.");
      plan_.reasons.push_back("Look for a closed valve or an unlined main, and at the residual upstream.");
      return;
    }
    plan_.verdict = Verdict::kCannotHold;
    plan_.reasons.push_back("No settings that this timer and these limits allow hold " +
                            Residual(numbers_.target_mg_per_l) + " with the asked-for sureness.");
    plan_.binds = WhatWouldHelp(facts_, form_, options_, trial_, coarse_corner_);
  }

  bool HoldsOpenRoundTheClock() {
    TimerSettings always;
    for (int quarter = 0; quarter < 4; ++quarter)
      always.programmes.push_back({{quarter * 360}, 360, kEveryWeekday, {}});
    Trial trial(ControllerForm{}, options_.zone, numbers_);
    SurenessJudge judge(trial, StratifiedDraws(static_cast<size_t>(options_.draws), options_.seed), slopes_);
    return judge.Holds(always, FirstDays(), options_.sureness);
  }

  // Keep what holds unless the saving is worth a visit.
  void Choose() {
    plan_.verdict = Verdict::kChange;
    if (PresentIsGoodEnough()) {
      plan_.verdict = Verdict::kKeep;
      TakeUp(*facts_.present);
      plan_.reasons.push_back("What is keyed now holds, and what could be saved is not worth a visit.");
    }
    for (std::string& sentence : ReasonsFor(plan_)) plan_.reasons.push_back(std::move(sentence));
    for (std::string& sentence : CautionsFor(facts_)) plan_.cautions.push_back(std::move(sentence));
  }

  bool PresentIsGoodEnough() const {
    if (!plan_.present_outcome || !facts_.present->on || !KeepsEveryRule(*facts_.present)) return false;
    return plan_.present_outcome->sureness >= options_.sureness &&
           plan_.present_outcome->water_m3_per_day <=
               plan_.planned_outcome->water_m3_per_day * (1 + options_.worth_a_visit);
  }

  bool KeepsEveryRule(const TimerSettings& settings) const {
    const StartRules rules(form_, facts_.limits, options_.zone, season_, numbers_.flow_m3_per_s, 0, {});
    int starts = 0;
    for (const Programme& programme : settings.programmes)
      starts += static_cast<int>(programme.starts_min.size());
    for (const Programme& programme : settings.programmes) {
      const int minutes = EffectiveMinutes(facts_.form, settings, programme);
      for (const int start : programme.starts_min) {
        if (!rules.Allows(start, minutes) || minutes > rules.MostMinutes(starts)) return false;
      }
    }
    return WhatCannotBeKeyed(facts_.form, settings).empty() && facts_.present_clock_fast_minutes == 0 &&
           CountOverlaps({facts_.form, settings}, options_.zone, season_, trial_.Clock(0)).starts == 0;
  }

  // Forgets settings taken up that did not prove good enough.
  void LetGo() {
    plan_.settings = facts_.present.value_or(TimerSettings{});
    plan_.planned_outcome.reset();
    plan_.planned_series = {};
    plan_.present_series = {};
    plan_.next_runs.clear();
    plan_.volume_a_run = {};
  }

  // Fills in all that follows from the settings taken up; only in part where they are less sure than that.
  void TakeUp(const TimerSettings& settings, double at_least_sure = 0) {
    plan_.settings = settings;
    const CalendarAnswer answer = AnswerCalendar({form_, settings}, options_.zone, season_);
    plan_.planned_outcome =
        measurer_.OutcomeOf(form_, KeyedLongAgo(settings), kClockErrors_min, answer, at_least_sure);
    if (plan_.planned_outcome->sureness < at_least_sure) return;
    plan_.next_runs.assign(answer.runs.begin(),
                           answer.runs.begin() + std::min<std::ptrdiff_t>(3, std::ssize(answer.runs)));
    if (!settings.programmes.empty()) {
      const int minutes = EffectiveMinutes(form_, settings, settings.programmes.front());
      plan_.volume_a_run = Volume::CubicMetres(minutes * kSecondsPerMinute * numbers_.flow_m3_per_s);
    }
    const TapName& place = plan_.planned_outcome->lowest_at;
    const MinuteInstant when = plan_.planned_outcome->lowest_when;
    plan_.planned_series = measurer_.SeriesOf(form_, KeyedLongAgo(settings), 0, place, when, answer.phases);
    if (!facts_.present) return;
    const int fast = facts_.present_clock_fast_minutes;
    const auto present = AnswerCalendar({facts_.form, *facts_.present}, options_.zone, season_, fast);
    plan_.present_series =
        measurer_.SeriesOf(facts_.form, *facts_.present, fast, place, when, present.phases);
  }

  const DeviceFacts& facts_;
  const PlanOptions& options_;
  DevicePlan& plan_;
  ControllerForm form_;
  DateWindow season_;
  PlanningNumbers numbers_;
  Deviates slopes_;
  ReachModel corner_;         // every service
  ReachModel coarse_corner_;  // neighbours together, for the search
  Trial trial_;
  SurenessJudge judge_;
  SurenessJudge fresh_;  // the draws that sureness is reported in
  Measurer measurer_;
  double least_at_corner_m3_per_day_ = 0;
};

}  // namespace

DevicePlan PlanDevice(const DeviceFacts& facts, const PlanOptions& options) {
  DevicePlan plan;
  plan.point = facts.point;
  plan.form = facts.form;
  plan.present = facts.present;
  plan.asked_sureness = options.sureness;
  if (facts.present) plan.settings = *facts.present;
  Result<PlanningNumbers> numbers = GatherNumbers(facts, options);
  if (!numbers.ok()) {
    plan.reasons.push_back("Too little is known: " + numbers.error().message + ".");
    return plan;
  }
  plan.assumed = numbers->assumed;
  Planner(facts, options, std::move(*numbers), plan).Plan();
  return plan;
}

}  // namespace lastreach
