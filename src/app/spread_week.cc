#include "app/spread_week.h"

#include <algorithm>
#include <cmath>

#include "calendar/answer.h"
#include "plan/measure.h"
#include "plan/trial.h"

namespace lastreach {
namespace {

constexpr int kDays = 7;
constexpr int kDaysBefore = 3;  // the worst moment stands in the middle
constexpr int kLongestWarmUp_days = 42;

}  // namespace

bool MakesRuns(const DeviceFacts& facts) {
  if (!facts.present || !facts.present->on) return false;
  return std::any_of(facts.present->programmes.begin(), facts.present->programmes.end(),
                     [](const Programme& p) { return !p.starts_min.empty(); });
}

SpreadWeek::SpreadWeek(const DeviceFacts& facts, const Zone& zone, const PlanningNumbers& numbers,
                       DateWindow season)
    : facts_(facts),
      zone_(zone),
      settings_(KeyedLongAgo(*facts.present)),
      season_(season),
      model_(ModelReach(numbers, {})),
      days_{season.from, AddDays(season.from, kDays)},
      places_(model_.judged) {
  if (MakesRuns(facts)) {
    ChooseDays(numbers);
    const size_t end = model_.branch.segments.size() - 1;
    if (places_.back() != end) places_.push_back(end);
  } else {
    LeaveOutWhatStands();
  }
  WarmUpLongEnough();
}

bool SpreadWeek::SawInitialWater() const {
  return std::any_of(places_.begin(), places_.end(),
                     [&](size_t place) { return smooth_[place].saw_initial_water; });
}

size_t SpreadWeek::RunsInTheWeek() const {
  return static_cast<size_t>(std::count_if(runs_.begin(), runs_.end(), [&](const Run& run) {
    return run.start >= Moment(days_.from) && run.start < Moment(days_.to);
  }));
}

MinuteInstant SpreadWeek::Moment(Date date) const {
  return std::chrono::floor<std::chrono::minutes>(zone_.FirstInstant(Midnight(date)));
}

void SpreadWeek::ChooseDays(const PlanningNumbers& numbers) {
  Trial trial(facts_.form, zone_, numbers);
  const int clock[] = {facts_.present_clock_fast_minutes};
  phases_ = AnswerCalendar({facts_.form, settings_}, zone_, season_, clock[0]).phases;
  const Low worst = trial.Lowest(settings_, model_, season_, clock, phases_);
  const Date day{std::chrono::floor<std::chrono::days>(zone_.ToLocal(Instant(worst.when)))};
  const Date last_first = std::max(season_.from, AddDays(season_.to, -kDays));
  days_.from = std::min(std::max(AddDays(day, -kDaysBefore), season_.from), last_first);
  days_.to = AddDays(days_.from, kDays);
}

void SpreadWeek::LeaveOutWhatStands() {
  std::vector<BranchSegment>& segments = model_.branch.segments;
  while (segments.size() > model_.judged.back() + 1) {
    standing_m_ += segments.back().length_m;
    segments.pop_back();
  }
}

void SpreadWeek::WarmUp(int days) {
  warm_up_days_ = days;
  const DateWindow whole{AddDays(days_.from, -days), days_.to};
  const ClockState clock{facts_.form.follows_clock_change.value_or(false), facts_.present_clock_fast_minutes};
  runs_ = ExpandRuns(facts_.form, settings_, zone_, whole, clock,
                     PhasesFrom(settings_, phases_, DayNumber(whole.from) - DayNumber(season_.from)));
  const MinuteInstant begin = Moment(whole.from);
  drive_ = DriveOf(model_, runs_, zone_, begin, Moment(whole.to));
  judge_from_s_ = static_cast<double>((Moment(days_.from) - begin).count()) * kSecondsPerMinute;
  smooth_ = LowestResiduals(model_.branch, drive_, judge_from_s_, drive_.time_s.back(), model_.kinetics);
}

void SpreadWeek::WarmUpLongEnough() {
  for (int days = 2; days < kLongestWarmUp_days; days *= 2) {
    WarmUp(days);
    if (SawInitialWater()) continue;
    double oldest_s = 0;
    for (const size_t place : places_) oldest_s = std::max(oldest_s, smooth_[place].greatest_age_s);
    const int wanted = static_cast<int>(std::ceil(1.5 * oldest_s / kSecondsPerDay)) + 1;
    WarmUp(std::min(wanted, kLongestWarmUp_days));
    return;
  }
  WarmUp(kLongestWarmUp_days);
}

}  // namespace lastreach
