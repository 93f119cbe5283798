#include "evidence/watch.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "evidence/expected_water.h"
#include "evidence/residual_trend.h"
#include "evidence/watch_lists.h"

namespace lastreach {
namespace {

std::string MgPerL(double mg_per_l) {
  char text[32];
  std::snprintf(text, sizeof text, "%.2f mg/L", mg_per_l);
  return text;
}

double Mg(const Sample& sample) { return sample.residual.milligrams_per_litre(); }

std::vector<Sample> Recent(const WatchFacts& facts, const WatchOptions& options, Analyte analyte) {
  std::vector<Sample> recent;
  for (const Sample& sample : facts.records.samples) {
    const int age_days = DayNumber(options.today) - DayNumber(sample.day);
    if (sample.analyte == analyte && age_days >= 0 && age_days <= options.recent_days) {
      recent.push_back(sample);
    }
  }
  return recent;
}

// The residual that the zone is held by.
Analyte HeldBy(const SupplyZone& supply) {
  return supply.disinfectant == Disinfectant::kChloramine ? Analyte::kTotalChlorine : Analyte::kFreeChlorine;
}

class Watcher {
 public:
  Watcher(const WatchFacts& facts, const WatchOptions& options)
      : facts_(facts), options_(options), recent_(Recent(facts, options, HeldBy(facts.supply))) {
    if (facts.supply.target_residual) {
      target_mg_per_l_ = facts.supply.target_residual->value.milligrams_per_litre();
    }
  }

  std::vector<WatchItem> All() && {
    LookAroundRuns();
    LookAtTrend();
    if (facts_.supply.disinfectant == Disinfectant::kChloramine) LookForNitrification();
    for (WatchItem& item : DueItems(facts_, options_)) items_.push_back(std::move(item));
    std::stable_sort(items_.begin(), items_.end(),
                     [](const WatchItem& a, const WatchItem& b) { return a.kind < b.kind; });
    return std::move(items_);
  }

 private:
  void Tell(WatchKind kind, std::string sentence, std::string what_to_do) {
    items_.push_back({kind, facts_.records.point.code, std::move(sentence), std::move(what_to_do), {}, true});
  }

  // Hours since the last run ended and to the next one; none where there is none within three weeks.
  struct AroundRuns {
    std::optional<double> since_h, until_h;
  };
  AroundRuns Around(Instant when) const {
    const std::chrono::days look{21};
    AroundRuns around;
    for (const LikelyRun& likely : RunsInGround(facts_.records, when - look, when + look)) {
      if (likely.odds < 0.5) continue;
      const Instant begin{likely.run.start}, end{likely.run.end()};
      const auto hours = [](Instant from, Instant to) {
        return static_cast<double>((to - from).count()) / kSecondsPerHour;
      };
      if (end <= when) around.since_h = hours(end, when);
      if (begin > when && !around.until_h) around.until_h = hours(when, begin);
    }
    return around;
  }

  // The newest sample on either side of the target tells how it stands now, so only it is told.
  void LookAroundRuns() {
    if (!target_mg_per_l_) return;
    std::optional<Sample> after_run, before_run;
    for (const Sample& sample : recent_) {
      if (!sample.minute_of_day) continue;
      const Instant when = MomentOf(facts_.records.zone, sample.day, sample.minute_of_day);
      const AroundRuns around = Around(when);
      if (around.since_h && *around.since_h <= options_.full_run_hours) {
        after_run = sample;
      } else if (around.since_h && around.until_h && *around.until_h < *around.since_h) {
        before_run = sample;
      }
    }
    const auto low = [&](const std::optional<Sample>& sample) {
      return sample && (sample->below_detection || Mg(*sample) < *target_mg_per_l_);
    };
    const auto seen = [&](const Sample& sample, const char* when) {
      return MgPerL(Mg(sample)) + " on " + FormatDate(sample.day) + " " +
             FormatTimeOfDay(*sample.minute_of_day) + ", " + when + ", under the target of " +
             MgPerL(*target_mg_per_l_);
    };
    if (low(after_run)) {
      Tell(WatchKind::kLowAfterRun, seen(*after_run, "just after a run"),
           "more flushing will not help: sample the well-fed main, look for a shut valve upstream, see that "
           "it ran");
    }
    if (low(before_run)) {
      Tell(WatchKind::kLowBeforeRun, seen(*before_run, "late before the next run"),
           "plan it again with this reading, and sample again before the next run");
    }
  }

  void LookAtTrend() {
    const auto trend = TrendOf(recent_);
    if (!trend || !trend->IsFalling()) return;
    const double now_mg_per_l = trend->At(options_.today);
    if (!target_mg_per_l_ || now_mg_per_l < *target_mg_per_l_) return;
    const double days = (now_mg_per_l - *target_mg_per_l_) / -trend->slope_mg_per_l_per_day;
    if (days > options_.falling_days) return;
    const Date due = AddDays(options_.today, static_cast<int>(days));
    items_.push_back({WatchKind::kFalling, facts_.records.point.code,
                      std::to_string(trend->samples) + " samples fall by " +
                          MgPerL(-30 * trend->slope_mg_per_l_per_day) + " a month and reach the target of " +
                          MgPerL(*target_mg_per_l_) + " by " + FormatDate(due),
                      "sample it more often; plan it for the weeks ahead", due, false});
  }

  std::optional<Sample> Newest(Analyte analyte) const {
    const std::vector<Sample> recent = Recent(facts_, options_, analyte);
    if (recent.empty()) return std::nullopt;
    return recent.back();
  }

  bool AreWell(const std::optional<Sample>& ammonia, const std::optional<Sample>& nitrite) const {
    constexpr int kFortnight_days = 14;
    const auto is_well = [&](const std::optional<Sample>& sample, const std::optional<double>& most) {
      return sample && most && DayNumber(options_.today) - DayNumber(sample->day) <= kFortnight_days &&
             (sample->below_detection || Mg(*sample) <= *most);
    };
    return is_well(ammonia, options_.free_ammonia_mg_n_per_l) &&
           is_well(nitrite, options_.nitrite_mg_n_per_l);
  }

  void LookForNitrification() {
    std::vector<std::string> signs;
    const auto trend = TrendOf(recent_);
    if (trend && trend->IsFalling()) {
      signs.push_back("total chlorine falls by " + MgPerL(-30 * trend->slope_mg_per_l_per_day) + " a month");
    }
    const auto ammonia = Newest(Analyte::kFreeAmmonia);
    const bool had_ammonia = [&] {
      const auto all = Recent(facts_, options_, Analyte::kFreeAmmonia);
      return std::any_of(all.begin(), all.end(), [](const Sample& s) { return !s.below_detection; });
    }();
    if (ammonia && options_.free_ammonia_mg_n_per_l && !ammonia->below_detection &&
        Mg(*ammonia) > *options_.free_ammonia_mg_n_per_l) {
      signs.push_back("free ammonia " + MgPerL(Mg(*ammonia)) + " as N on " + FormatDate(ammonia->day));
    } else if (ammonia && ammonia->below_detection && had_ammonia) {
      signs.push_back("free ammonia is used up on " + FormatDate(ammonia->day));
    }
    const auto nitrite = Newest(Analyte::kNitrite);
    if (nitrite && options_.nitrite_mg_n_per_l && !nitrite->below_detection &&
        Mg(*nitrite) > *options_.nitrite_mg_n_per_l) {
      signs.push_back("nitrite " + MgPerL(Mg(*nitrite)) + " as N on " + FormatDate(nitrite->day));
    }
    // Spring warms the water and the residual falls: where both others were looked at and are well, that is
    // no sign.
    if (signs.empty() || (signs.size() == 1 && trend && trend->IsFalling() && AreWell(ammonia, nitrite))) {
      return;
    }
    std::string sentence = std::to_string(signs.size()) +
                           (signs.size() == 1 ? " sign of nitrification: " : " signs of nitrification: ");
    for (size_t i = 0; i < signs.size(); ++i) sentence += (i > 0 ? "; " : "") + signs[i];
    Tell(WatchKind::kNitrification, sentence,
         signs.size() == 1 ? "sample total chlorine, free ammonia and nitrite there this week"
                           : "act as your nitrification plan says; flush, and do not wait for nitrite alone");
  }

  const WatchFacts& facts_;
  const WatchOptions& options_;
  std::vector<Sample> recent_;
  std::optional<double> target_mg_per_l_;
  std::vector<WatchItem> items_;
};

}  // namespace

std::string_view ToText(WatchKind kind) {
  switch (kind) {
    case WatchKind::kLowAfterRun:
      return "low after a full run";
    case WatchKind::kLowBeforeRun:
      return "low before the next run";
    case WatchKind::kFalling:
      return "falling";
    case WatchKind::kNitrification:
      return "nitrification";
    case WatchKind::kTemporary:
      return "temporary settings";
    case WatchKind::kOffUnexplained:
      return "off unexplained";
    case WatchKind::kBattery:
      return "battery";
    case WatchKind::kRefill:
      return "dechlorination refill";
    case WatchKind::kFlowTest:
      break;
  }
  return "flow test";
}

std::vector<WatchItem> Watch(const WatchFacts& facts, const WatchOptions& options) {
  return Watcher(facts, options).All();
}

}  // namespace lastreach
