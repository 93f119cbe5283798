#include "year/planned_parts.h"

#include <algorithm>

#include "calendar/warnings.h"
#include "plan/measure.h"
#include "plan/plan_device.h"
#include "plan/search.h"
#include "plan/start_rules.h"
#include "year/turned_settings.h"

namespace lastreach {
namespace {

constexpr int kGuard_min = 60;  // as in planning

// Days of a part on which a programme runs; a share of them where the first day is not known.
double RunDays(const ControllerForm& form, const DayPattern& days, const YearPart& part) {
  if (const auto* every = std::get_if<EveryNDays>(&days)) {
    return static_cast<double>(part.length_days()) / every->n;
  }
  int count = 0;
  for (Date day = part.days.from; day < part.days.to; day = AddDays(day, 1)) {
    const auto of_month = static_cast<unsigned>(day.day());
    if (const auto* weekdays = std::get_if<Weekdays>(&days)) {
      const auto monday_based = std::chrono::weekday(std::chrono::sys_days(day)).iso_encoding() - 1;
      count += weekdays->Has(static_cast<int>(monday_based)) ? 1 : 0;
    } else if (std::holds_alternative<OddDates>(days)) {
      const bool left_out = of_month == 31 && form.odd_skips_31st.value_or(false);
      count += of_month % 2 == 1 && !left_out ? 1 : 0;
    } else {
      count += of_month % 2 == 0 ? 1 : 0;
    }
  }
  return count;
}

// One part of the year with all that judging in it takes.
class PartJudge {
 public:
  PartJudge(const FactsOfPart& part, const PlanningNumbers& numbers)
      : facts_(part.facts),
        options_(part.options),
        numbers_(numbers),
        form_(CautiousForm(part.facts.form, nullptr)),
        season_{part.options.from, part.options.to},
        slopes_(GuessSlopes(numbers_)),
        corner_(ModelReach(numbers_, CornerOf(slopes_, options_.sureness))),
        trial_(form_, options_.zone, numbers_),
        judge_(trial_, StratifiedDraws(static_cast<size_t>(options_.draws), options_.seed), slopes_,
               options_.search_taps),
        measurer_(options_, numbers_, corner_, slopes_, trial_.workspace()) {}

  bool Holds(const TimerSettings& settings) {
    std::vector<DateWindow> windows = {{season_.from, std::min(season_.to, AddDays(season_.from, 2))}};
    for (const Programme& programme : settings.programmes) {
      if (!settings.on || programme.starts_min.empty()) continue;
      windows = WindowsToJudge(programme.days, options_.zone, season_);
      break;
    }
    return judge_.Holds(KeyedLongAgo(KeyedOn(season_.from, settings)), windows, options_.sureness);
  }

  Outcome Measured(const TimerSettings& settings, double at_least_sure) {
    const CalendarAnswer answer = AnswerCalendar({form_, settings}, options_.zone, season_);
    return measurer_.OutcomeOf(form_, settings, kClockErrors_min, answer, at_least_sure);
  }

  bool KeepsRules(const TimerSettings& settings, int guard_min) const {
    if (!settings.on) return true;
    if (!WhatCannotBeKeyed(facts_.form, settings).empty()) return false;
    const StartRules rules(form_, facts_.limits, options_.zone, season_, numbers_.flow_m3_per_s, guard_min,
                           {}, options_.least_run_minutes);
    int starts = 0;
    for (const Programme& programme : settings.programmes)
      starts += static_cast<int>(programme.starts_min.size());
    return std::all_of(settings.programmes.begin(), settings.programmes.end(), [&](const Programme& p) {
      const int minutes = EffectiveMinutes(form_, settings, p);
      if (p.starts_min.empty()) return true;
      return minutes >= rules.least_minutes() && minutes <= rules.MostMinutes(starts) &&
             std::all_of(p.starts_min.begin(), p.starts_min.end(),
                         [&](int start) { return rules.Allows(start, minutes); });
    });
  }

 private:
  const DeviceFacts& facts_;
  const PlanOptions& options_;
  PlanningNumbers numbers_;
  ControllerForm form_;
  DateWindow season_;
  Deviates slopes_;
  ReachModel corner_;
  Trial trial_;
  SurenessJudge judge_;
  Measurer measurer_;
};

class PartsOfDevice : public DeviceParts {
 public:
  PartsOfDevice(const DeviceFacts& facts, const PlanOptions& options, const std::vector<YearPart>& year,
                const std::vector<MonthWater>& water, const RootsByPart& roots)
      : year_(year),
        flow_m3_per_s_(facts.point.flow ? facts.point.flow->value.cubic_metres_per_second() : 0) {
    for (const YearPart& part : year) {
      parts_.push_back(FactsIn(part, facts, options, water));
      // Whether what is keyed now is kept is decided over the year.
      parts_.back().facts.present.reset();
      if (parts_.size() <= roots.size() && roots[parts_.size() - 1])
        parts_.back().facts.root_mg_per_l_by_hour = roots[parts_.size() - 1];
    }
    judges_.resize(year.size());
    guards_min_.assign(year.size(), kGuard_min);
  }

  DevicePlan Plan(size_t part) override {
    DevicePlan plan = PlanDevice(parts_[part].facts, parts_[part].options);
    const bool planned = plan.planned_outcome && plan.settings.on;
    if (planned && !JudgeOf(part)->KeepsRules(plan.settings, kGuard_min)) guards_min_[part] = 0;
    return plan;
  }

  double Water_m3(size_t part, const TimerSettings& settings) override {
    if (!settings.on) return 0;
    const ControllerForm& form = parts_[part].facts.form;
    double minutes = 0;
    for (const Programme& programme : settings.programmes) {
      minutes += RunDays(form, programme.days, year_[part]) *
                 static_cast<double>(programme.starts_min.size()) *
                 EffectiveMinutes(form, settings, programme);
    }
    return minutes * kSecondsPerMinute * flow_m3_per_s_;
  }

  bool KeepsRules(size_t part, const TimerSettings& settings) override {
    PartJudge* judge = JudgeOf(part);
    return judge != nullptr && judge->KeepsRules(settings, guards_min_[part]);
  }

  bool SeemsToHold(size_t part, const TimerSettings& settings) override {
    PartJudge* judge = JudgeOf(part);
    return judge != nullptr && judge->Holds(settings);
  }

  Outcome Judge(size_t part, const TimerSettings& settings, double at_least_sure) override {
    PartJudge* judge = JudgeOf(part);
    return judge != nullptr ? judge->Measured(settings, at_least_sure) : Outcome{};
  }

  std::vector<std::string> AsWorstWeek(size_t part) override { return parts_[part].as_worst_week; }

 private:
  // None where too little is known.
  PartJudge* JudgeOf(size_t part) {
    if (judges_[part]) return judges_[part].get();
    const auto numbers = GatherNumbers(parts_[part].facts, parts_[part].options);
    if (numbers.ok()) judges_[part] = std::make_unique<PartJudge>(parts_[part], *numbers);
    return judges_[part].get();
  }

  const std::vector<YearPart>& year_;
  double flow_m3_per_s_;
  std::vector<FactsOfPart> parts_;
  std::vector<std::unique_ptr<PartJudge>> judges_;
  std::vector<int> guards_min_;
};

}  // namespace

std::unique_ptr<DeviceParts> PlannedParts(const DeviceFacts& facts, const PlanOptions& options,
                                          const std::vector<YearPart>& year,
                                          const std::vector<MonthWater>& water, const RootsByPart& roots) {
  return std::make_unique<PartsOfDevice>(facts, options, year, water, roots);
}

std::optional<TimerSettings> PresentToKeep(const DeviceFacts& facts, const PlanOptions& options,
                                           const std::vector<YearPart>& year) {
  if (!facts.present || facts.present_clock_fast_minutes != 0) return std::nullopt;
  const ClockState clock{facts.form.follows_clock_change.value_or(false), 0};
  const DateWindow days{year.front().days.from, year.back().days.to};
  if (CountOverlaps({facts.form, *facts.present}, options.zone, days, clock).starts > 0) return std::nullopt;
  return facts.present;
}

}  // namespace lastreach
