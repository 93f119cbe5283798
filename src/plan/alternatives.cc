#include "plan/alternatives.h"

#include <algorithm>
#include <cstdlib>
#include <limits>

#include "plan/device_study.h"
#include "plan/make_sure.h"
#include "plan/search.h"

namespace lastreach {
namespace {

constexpr int kMinutesPerDay = 1440;

// The plan's starts moved by so much, each to the nearest allowed; none where one must give way too far or
// two come too close.
std::optional<Candidate> Moved(const DevicePlan& plan, int shift_min, int most_away_min,
                               const StartRules& rules, const Search& search) {
  Candidate moved;
  for (const Programme& programme : plan.settings.programmes) {
    if (programme.starts_min.empty()) continue;
    moved.days = programme.days;
    moved.programmes.push_back({{}, programme.minutes});
    std::vector<int>& starts = moved.programmes.back().starts_min;
    for (const int start : programme.starts_min) {
      const int wished = (start + shift_min) % kMinutesPerDay;
      const std::optional<int> nearest = rules.Nearest(wished, programme.minutes);
      if (!nearest || std::abs(*nearest - wished) > most_away_min) return std::nullopt;
      starts.push_back(*nearest);
    }
    std::sort(starts.begin(), starts.end());
  }
  return Lengthened(moved, 0, rules, search);  // none where runs would come too close
}

Alternative AlternativeOf(const Candidate& candidate, int shift_min, const Search& search) {
  Alternative alternative{search.SettingsOf(candidate), shift_min, candidate.water_m3_per_day, {}};
  for (const Candidate::Block& block : candidate.programmes) {
    for (const int start : block.starts_min)
      alternative.runs_clock_min.emplace_back(start, start + block.minutes);
  }
  std::sort(alternative.runs_clock_min.begin(), alternative.runs_clock_min.end());
  return alternative;
}

bool HasRuns(const DevicePlan& plan) {
  return plan.settings.on && plan.planned_outcome &&
         std::any_of(plan.settings.programmes.begin(), plan.settings.programmes.end(),
                     [](const Programme& programme) { return !programme.starts_min.empty(); });
}

// Days that all programmes share, as planned settings do; what somebody keyed need not.
bool SharesDays(const TimerSettings& settings) {
  return std::all_of(settings.programmes.begin(), settings.programmes.end(), [&](const Programme& programme) {
    return programme.starts_min.empty() || programme.days == settings.programmes.front().days;
  });
}

}  // namespace

std::vector<Alternative> AlternativesOf(const DeviceFacts& facts, const PlanOptions& options,
                                        const DevicePlan& plan, int stride_min) {
  Result<PlanningNumbers> numbers = GatherNumbers(facts, options);
  if (!numbers.ok() || !HasRuns(plan)) return {};
  DeviceStudy study(facts, options, std::move(*numbers), nullptr);
  const StartRules guarded = study.Rules(kGuard_min);
  const StartRules unguarded = study.Rules(0);
  const Search measuring(study.trial, study.coarse_corner, guarded, study.form, study.season);
  // A plan that leaves no room for a clock that is out has alternatives that do not either.
  const bool is_guarded = Moved(plan, 0, 0, guarded, measuring).has_value();
  const StartRules& rules = is_guarded ? guarded : unguarded;

  std::vector<Alternative> alternatives;
  if (plan.planned_outcome->sureness >= options.sureness) {
    Alternative itself;
    itself.settings = plan.settings;
    itself.water_m3_per_day = plan.planned_outcome->water_m3_per_day;
    for (const Programme& programme : plan.settings.programmes) {
      const int minutes = EffectiveMinutes(study.form, plan.settings, programme);
      for (const int start : programme.starts_min) itself.runs_clock_min.emplace_back(start, start + minutes);
    }
    std::sort(itself.runs_clock_min.begin(), itself.runs_clock_min.end());
    alternatives.push_back(std::move(itself));
  }
  if (!SharesDays(plan.settings) || plan.settings.percent != 100) return alternatives;

  const int stride =
      (std::max(1, stride_min) + rules.start_step() - 1) / rules.start_step() * rules.start_step();
  for (int shift = stride; shift < kMinutesPerDay; shift += stride) {
    if (options.ShouldStop()) break;
    const auto moved = Moved(plan, shift, stride / 2, rules, measuring);
    if (!moved) continue;
    const std::vector<DateWindow> windows = study.WindowsFor(moved->days);
    std::optional<Candidate> sure =
        MakeSure(*moved, rules, measuring, study.judge, windows, options.sureness);
    while (sure && !study.fresh.Holds(measuring.SteadySettingsOf(*sure), windows, options.sureness)) {
      sure = Lengthened(*sure, 1, rules, measuring);
    }
    if (sure) alternatives.push_back(AlternativeOf(*sure, shift, measuring));
  }
  return alternatives;
}

}  // namespace lastreach
