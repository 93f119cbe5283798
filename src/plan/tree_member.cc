#include "plan/tree_member.h"

#include <algorithm>
#include <cmath>

namespace lastreach {

TreeMember::TreeMember(const std::vector<DeviceFacts>& devices, const ReachTree& tree, size_t member,
                       const PlanOptions& options, int guard_min)
    : devices_(devices),
      tree_(tree),
      member_(member),
      options_(options),
      facts_(devices[tree.devices[member]]),
      form_(CautiousForm(facts_.form, nullptr)),
      season_{options.from, options.to},
      numbers_(*GatherNumbers(facts_, options)),
      slopes_(GuessSlopes(numbers_)),
      corner_(CornerOf(slopes_, options.sureness)),
      coarse_corner_(ModelReach(numbers_, corner_, options.search_taps)),
      rules_(std::make_unique<StartRules>(form_, facts_.limits, options.zone, season_, numbers_.flow_m3_per_s,
                                          guard_min, Relaxations{}, options.least_run_minutes)),
      trial_(std::make_unique<Trial>(form_, options.zone, numbers_)),
      search_(std::make_unique<Search>(*trial_, coarse_corner_, *rules_, form_, season_, false,
                                       options.simpler_within)) {}

PlanningNumbers TreeMember::NumbersBeside(std::span<const TimerSettings> settings) const {
  return *GatherNumbers(WithNeighbours(devices_, tree_, member_, settings), options_);
}

std::vector<Candidate> TreeMember::Kinds(std::span<const TimerSettings> settings, size_t most) const {
  const PlanningNumbers numbers = NumbersBeside(settings);
  const ReachModel corner = ModelReach(numbers, corner_, options_.search_taps);
  Trial trial(form_, options_.zone, numbers, trial_->workspace());
  Search search(trial, corner, *rules_, form_, season_, false, options_.simpler_within);
  std::vector<Candidate> kinds = search.Best(most);
  return kinds;
}

bool TreeMember::HoldsAtCorner(std::span<const TimerSettings> settings,
                               std::span<const DateWindow> windows) const {
  const PlanningNumbers numbers = NumbersBeside(settings);
  Trial trial(form_, options_.zone, numbers, trial_->workspace());
  return trial.Holds(settings[member_], ModelReach(numbers, corner_, options_.search_taps),
                     {windows.begin(), windows.end()});
}

double TreeMember::ShortfallAtCorner(std::span<const TimerSettings> settings,
                                     std::span<const DateWindow> windows) const {
  constexpr double kNothing_mg_per_l = 1e-3;
  const PlanningNumbers numbers = NumbersBeside(settings);
  const ReachModel corner = ModelReach(numbers, corner_, options_.search_taps);
  Trial trial(form_, options_.zone, numbers, trial_->workspace());
  double shortfall = 0;
  for (const DateWindow& window : windows) {
    const double low = trial.Lowest(settings[member_], corner, window, kClockErrors_min).mg_per_l;
    shortfall = std::max(shortfall, std::log(numbers.target_mg_per_l / std::max(low, kNothing_mg_per_l)));
  }
  return shortfall;
}

bool TreeMember::HoldsInDraws(std::span<const TimerSettings> settings, std::span<const DateWindow> windows,
                              std::vector<Deviates> draws) const {
  const PlanningNumbers numbers = NumbersBeside(settings);
  Trial trial(form_, options_.zone, numbers, trial_->workspace());
  SurenessJudge judge(trial, std::move(draws), slopes_, options_.search_taps);
  return judge.Holds(settings[member_], {windows.begin(), windows.end()}, options_.sureness);
}

bool TreeMember::IsSure(std::span<const TimerSettings> settings, std::span<const DateWindow> windows) const {
  return HoldsInDraws(settings, windows, StratifiedDraws(static_cast<size_t>(options_.draws), options_.seed));
}

bool TreeMember::IsConfirmed(std::span<const TimerSettings> settings,
                             std::span<const DateWindow> windows) const {
  return HoldsInDraws(settings, windows,
                      PlainDraws(static_cast<size_t>(options_.confirming_draws), options_.seed + 1));
}

TimerSettings TreeMember::SettingsOf(const Candidate& choice) const {
  TimerSettings settings = search_->SettingsOf(choice);
  settings.on = !choice.programmes.empty();
  return settings;
}

TimerSettings TreeMember::SteadySettingsOf(const Candidate& choice) const {
  TimerSettings settings = search_->SteadySettingsOf(choice);
  settings.on = !choice.programmes.empty();
  return settings;
}

std::optional<Candidate> TreeMember::Moved(const Candidate& choice, int steps) const {
  if (choice.programmes.empty()) return std::nullopt;
  return Lengthened(choice, steps, *rules_, *search_);
}

std::optional<Candidate> TreeMember::Shifted(const Candidate& choice, int by_min) const {
  Candidate shifted = choice;
  for (Candidate::Block& block : shifted.programmes) {
    for (int& start : block.starts_min) start = (start + by_min) % 1440;
    std::sort(block.starts_min.begin(), block.starts_min.end());
  }
  return Moved(shifted, 0);
}

std::optional<Candidate> TreeMember::Spread(int starts, int first_min) const {
  std::vector<int> at;
  for (int k = 0; k < starts; ++k) {
    const auto start = rules_->Nearest((first_min + k * 1440 / starts) % 1440, rules_->least_minutes());
    if (!start || std::find(at.begin(), at.end(), *start) != at.end()) return std::nullopt;
    at.push_back(*start);
  }
  std::sort(at.begin(), at.end());
  Candidate spread;
  spread.days = DayPatternsToTry(form_, season_.from, false).front();
  const auto per_programme = static_cast<size_t>(rules_->starts_per_programme());
  for (size_t k = 0; k < at.size(); k += per_programme) {
    const size_t end = std::min(at.size(), k + per_programme);
    spread.programmes.push_back(
        {{at.begin() + static_cast<std::ptrdiff_t>(k), at.begin() + static_cast<std::ptrdiff_t>(end)},
         rules_->least_minutes()});
  }
  return Moved(spread, 0);
}

}  // namespace lastreach
