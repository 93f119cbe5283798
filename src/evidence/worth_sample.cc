#include "evidence/worth_sample.h"

#include <algorithm>
#include <cmath>

#include "calendar/answer.h"
#include "core/quantity.h"

namespace lastreach {
namespace {

using std::chrono::minutes;

constexpr int kAhead_days = 14;
constexpr int kWarmUp_days = 18;
constexpr double kHours[] = {1, 2, 4, 8, 12, 16, 24, 36, 48, 72, 96, 120, 168};
constexpr int kHoursOfDay[] = {2, 6, 10, 14, 18, 22};

// One end through the fortnight: its first reading is the lowest, the others are what could be read.
struct Ahead {
  FitOccasion occasion;
  std::vector<FitModel::Predicted> predicted;
  std::size_t lowest = 0;
};

MinuteInstant MidnightOn(const Zone& zone, Date day) {
  return std::chrono::floor<minutes>(zone.FirstInstant(Midnight(day)));
}

OccasionReading ReadAt(const FitOccasion& occasion, MinuteInstant when) {
  OccasionReading reading;
  reading.when = Instant(when);
  reading.queries.push_back(
      {.time_s = static_cast<double>((when - occasion.begin).count()) * kSecondsPerMinute});
  return reading;
}

std::optional<Ahead> LookAhead(const FitModel& model, const FitFacts& facts, const FitOptions& options,
                               std::size_t point, std::span<const double> z) {
  FitFacts worst_week = facts;
  worst_week.water.clear();
  const auto numbers = NumbersOn(facts.points[point], worst_week, options, options.today, std::nullopt);
  if (!numbers.ok()) return std::nullopt;
  Ahead ahead;
  FitOccasion& occasion = ahead.occasion;
  occasion.point = point;
  occasion.numbers = *numbers;
  const MinuteInstant today = MidnightOn(options.zone, options.today);
  occasion.begin = today - std::chrono::days(kWarmUp_days);
  occasion.end = MidnightOn(options.zone, AddDays(options.today, kAhead_days));
  RunsOf(facts.points[point], options, occasion.begin, occasion.end, occasion);
  std::vector<Run> to_come;
  std::copy_if(occasion.runs.begin(), occasion.runs.end(), std::back_inserter(to_come),
               [&](const Run& run) { return run.end() >= today; });
  const std::optional<Gap> gap = LongestGap(to_come);
  if (gap) {
    occasion.readings.push_back(ReadAt(occasion, gap->to - minutes(1)));
    for (const double hours : kHours) {
      const MinuteInstant when = gap->from + minutes(std::llround(hours * 60));
      if (when >= gap->to) break;
      occasion.readings.push_back(ReadAt(occasion, when));
      occasion.readings.back().hours_since_run = hours;
    }
  } else {
    const MinuteInstant day = MidnightOn(options.zone, AddDays(options.today, kAhead_days - 1));
    for (const int hour : kHoursOfDay)
      occasion.readings.push_back(ReadAt(occasion, day + std::chrono::hours(hour)));
  }
  OccasionReading main;
  main.when = Instant(today);
  main.in_main = true;
  occasion.readings.push_back(main);
  ahead.predicted = model.Predict(occasion, z, true);
  for (std::size_t r = 0; !gap && r + 1 < ahead.predicted.size(); ++r) {
    if (ahead.predicted[r].mg_per_l < ahead.predicted[ahead.lowest].mg_per_l) ahead.lowest = r;
  }
  return ahead;
}

double PriorVariance(const FitPosterior::Slopes& slopes) {
  double sum = 0;
  for (const auto& [unknown, by_z] : slopes) sum += by_z * by_z;
  return sum;
}

// Of a reading yet to be taken: what one Student reading tells is that of a normal one of this variance.
double NoiseVariance(const FitOptions& options, double mg_per_l) {
  const double share = std::hypot(options.model_share, options.main_swing) * mg_per_l;
  const double sd = std::hypot(options.kit_mg_per_l / 2, share);
  return sd * sd * (options.nu + 3) / (options.nu + 1);
}

}  // namespace

Outlook OutlookOf(const FitModel& model, const FitFacts& facts, const FitOptions& options,
                  std::span<const double> z, const FitPosterior& posterior) {
  Outlook outlook;
  std::vector<Ahead> all;
  for (std::size_t p = 0; p < facts.points.size(); ++p) {
    const bool was_read = std::any_of(model.occasions().begin(), model.occasions().end(),
                                      [p](const FitOccasion& occasion) { return occasion.point == p; });
    if (!was_read) continue;
    if (auto ahead = LookAhead(model, facts, options, p, z)) all.push_back(std::move(*ahead));
  }
  const auto code = [&](const Ahead& ahead) { return facts.points[ahead.occasion.point].facts.point.code; };
  for (const Ahead& ahead : all) {
    const FitModel::Predicted& lowest = ahead.predicted[ahead.lowest];
    outlook.ends.push_back({code(ahead), lowest.mg_per_l, std::sqrt(PriorVariance(lowest.slopes)),
                            std::sqrt(posterior.Covariance(lowest.slopes, lowest.slopes))});
  }
  double most = 0;
  for (const Ahead& ahead : all) {
    for (std::size_t r = 0; r < ahead.predicted.size(); ++r) {
      const OccasionReading& reading = ahead.occasion.readings[r];
      const FitModel::Predicted& candidate = ahead.predicted[r];
      // A kit that reads nothing tells little, and nobody waits for the minute before a run.
      if (candidate.mg_per_l < options.kit_mg_per_l) continue;
      const bool by_hour = !reading.hours_since_run && !reading.in_main;
      if (by_hour && r == 0 && !ahead.occasion.runs.empty()) continue;
      const double spread = NoiseVariance(options, candidate.mg_per_l) +
                            posterior.Covariance(candidate.slopes, candidate.slopes);
      double all_off = 0;
      double best_off = 0;
      WorthSample worth;
      for (std::size_t e = 0; e < all.size(); ++e) {
        const double with = posterior.Covariance(all[e].predicted[all[e].lowest].slopes, candidate.slopes);
        const double off = with * with / spread;
        all_off += off;
        if (off <= best_off) continue;
        best_off = off;
        worth.sharpens = code(all[e]);
        worth.sd_now_mg_per_l = outlook.ends[e].sd_mg_per_l;
        worth.sd_then_mg_per_l =
            std::sqrt(std::max(0.0, worth.sd_now_mg_per_l * worth.sd_now_mg_per_l - off));
      }
      if (all_off <= most) continue;
      most = all_off;
      worth.point = code(ahead);
      worth.in_main = reading.in_main;
      worth.hours_since_run = reading.hours_since_run;
      if (by_hour) worth.hour_of_day = kHoursOfDay[r];
      outlook.worth = worth;
    }
  }
  return outlook;
}

}  // namespace lastreach
