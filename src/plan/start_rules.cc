#include "plan/start_rules.h"

#include <algorithm>
#include <cmath>

namespace lastreach {
namespace {

constexpr int kMinutesPerDay = 1440;
// With all limits on starts lifted: common practice, no source, three programmes of four starts.
constexpr int kManyStarts = 12;

template <typename T>
void FillIn(std::optional<T>& item, T value, const std::string& words, std::vector<std::string>* notes) {
  if (item) return;
  item = std::move(value);
  if (notes != nullptr) notes->push_back(words);
}

// How far local time can stand from the device's clock through the season, in minutes.
std::vector<int> Shifts(const ControllerForm& form, const Zone& zone, DateWindow season) {
  std::vector<int> shifts;
  if (form.follows_clock_change.value_or(false)) return {0};
  const Instant from = zone.FirstInstant(Midnight(season.from));
  const Instant to = zone.FirstInstant(Midnight(season.to));
  for (const OffsetPiece& piece : zone.Offsets(from, to)) {
    const auto shift = std::chrono::floor<std::chrono::minutes>(piece.offset - piece.standard_offset).count();
    shifts.push_back(static_cast<int>(shift));
  }
  return shifts;
}

}  // namespace

ControllerForm CautiousForm(const ControllerForm& form, std::vector<std::string>* notes) {
  ControllerForm full = form;
  FillIn(full.programmes, 1, "how many programmes the timer has is not known: one is used", notes);
  FillIn(full.starts_per_programme, 1, "how many starts a programme takes is not known: one is used", notes);
  FillIn(full.start_step_minutes, 60, "the step of start times is not known: whole hours are used", notes);
  FillIn(full.minutes_step, 5, "the step of minutes is not known: fives are used", notes);
  FillIn(full.minutes_min, 5, "the least minutes are not known: at least 5 are used", notes);
  FillIn(full.minutes_max, 60, "the most minutes are not known: at most 60 are used", notes);
  FillIn(full.percent_max, 200, "the highest percentage is not known: starts are spaced for 200 %", notes);
  FillIn(full.day_patterns, {DayPatternKind::kWeekdays}, "the day patterns are not known: weekdays are used",
         notes);
  FillIn(full.every_n_max, 3, "the longest every-N is not known: at most 3 days are used", nullptr);
  FillIn(full.follows_clock_change, false,
         "whether the clock follows the clock change is not known: taken not to", notes);
  FillIn(full.odd_skips_31st, true, "whether odd dates leave out the 31st is not known", nullptr);
  FillIn(full.percent_scope, PercentScope::kAll, "the timer's percentage is not known", nullptr);
  return full;
}

StartRules::StartRules(const ControllerForm& form, const std::vector<Limit>& limits, const Zone& zone,
                       DateWindow season, double flow_m3_per_s, int guard_min, Relaxations relaxed,
                       int least_run_minutes)
    : start_step_(*form.start_step_minutes),
      starts_per_programme_(*form.starts_per_programme),
      programmes_(*form.programmes),
      minutes_step_(relaxed.steps ? 1 : *form.minutes_step),
      most_minutes_(*form.minutes_max / minutes_step_ * minutes_step_),
      highest_percent_(form.percent_scope == PercentScope::kNone ? 100 : std::max(100, *form.percent_max)),
      flow_m3_per_s_(flow_m3_per_s),
      forbidden_(kMinutesPerDay, 0) {
  const int least = std::max({1, *form.minutes_min, std::min(least_run_minutes, most_minutes_)});
  least_minutes_ = (least + minutes_step_ - 1) / minutes_step_ * minutes_step_;
  if (relaxed.starts) {
    starts_per_programme_ = std::max(starts_per_programme_, kManyStarts);
    start_step_ = std::min(start_step_, 5);
  }
  most_starts_ = std::min(kManyStarts, starts_per_programme_ * programmes_);
  for (const Limit& limit : limits) {
    if (const auto* hours = std::get_if<ForbiddenHours>(&limit.rule);
        hours != nullptr && !relaxed.forbidden_hours) {
      const int length =
          ((hours->to_min - hours->from_min) % kMinutesPerDay + kMinutesPerDay) % kMinutesPerDay;
      for (const int shift : Shifts(form, zone, season)) {
        // The clock reads (local - shift), give or take the guard.
        for (int m = -guard_min; m < (length == 0 ? kMinutesPerDay : length) + guard_min; ++m) {
          const int clock = hours->from_min + m - shift;
          forbidden_[static_cast<size_t>((clock % kMinutesPerDay + kMinutesPerDay) % kMinutesPerDay)] = 1;
        }
      }
    }
    if (relaxed.volumes) continue;
    if (const auto* run = std::get_if<MostVolumeARun>(&limit.rule)) {
      most_volume_a_run_m3_ = std::min(most_volume_a_run_m3_.value_or(1e9), run->volume.cubic_metres());
    }
    if (const auto* day = std::get_if<MostVolumeADay>(&limit.rule)) {
      most_volume_a_day_m3_ = std::min(most_volume_a_day_m3_.value_or(1e9), day->volume.cubic_metres());
    }
  }
}

bool StartRules::Allows(int start_min, int minutes) const {
  if (start_min < 0 || start_min + minutes > kMinutesPerDay) return false;
  // 12:00 is keyed half a day wrong more often than any other time, where the timer leaves a choice.
  if (start_step_ <= 60 && start_min % (kMinutesPerDay / 2) == 0) return false;
  const auto first = forbidden_.begin() + start_min;
  return std::find(first, first + minutes, 1) == first + minutes;
}

std::optional<int> StartRules::Nearest(int wished_min, int minutes) const {
  const int wished =
      static_cast<int>(std::lround(static_cast<double>(wished_min) / start_step_)) * start_step_;
  const int nearer_side = wished < wished_min ? 1 : -1;
  for (int away = 0; away <= kMinutesPerDay; away += start_step_) {
    for (const int side : {nearer_side, -nearer_side}) {
      if (Allows(wished + side * away, minutes)) return wished + side * away;
    }
  }
  return std::nullopt;
}

int StartRules::MostMinutes(int starts) const {
  double most = most_minutes_;
  if (most_volume_a_run_m3_)
    most = std::min(most, *most_volume_a_run_m3_ / flow_m3_per_s_ / kSecondsPerMinute);
  if (most_volume_a_day_m3_) {
    most = std::min(most, *most_volume_a_day_m3_ / flow_m3_per_s_ / kSecondsPerMinute / starts);
  }
  return static_cast<int>(std::floor(most / minutes_step_ + 1e-9)) * minutes_step_;
}

int StartRules::LeastSpacing(int minutes) const { return (minutes * highest_percent_ + 99) / 100; }

}  // namespace lastreach
