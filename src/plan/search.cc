#include "plan/search.h"

#include <algorithm>
#include <limits>

namespace lastreach {
namespace {

bool NeedsLessWater(const Candidate& a, const Candidate& b) {
  return a.water_m3_per_day < b.water_m3_per_day;
}

}  // namespace

std::vector<int> Candidate::AllStarts() const {
  std::vector<int> starts;
  for (const Block& block : programmes)
    starts.insert(starts.end(), block.starts_min.begin(), block.starts_min.end());
  std::sort(starts.begin(), starts.end());
  return starts;
}

int Candidate::starts() const {
  size_t count = 0;
  for (const Block& block : programmes) count += block.starts_min.size();
  return static_cast<int>(count);
}

std::optional<Candidate> CandidateOf(const TimerSettings& settings) {
  if (!settings.on || settings.percent != 100) return std::nullopt;
  Candidate candidate;
  for (const Programme& programme : settings.programmes) {
    if (programme.starts_min.empty()) continue;
    if (!candidate.programmes.empty() && candidate.days != programme.days) return std::nullopt;
    candidate.days = programme.days;
    candidate.programmes.push_back({programme.starts_min, programme.minutes});
  }
  if (candidate.programmes.empty()) return std::nullopt;
  return candidate;
}

Search::Search(Trial& trial, const ReachModel& model, const StartRules& rules, const ControllerForm& form,
               DateWindow season, bool every_day_pattern, double simpler_within, std::function<bool()> stop)
    : trial_(trial),
      model_(model),
      rules_(rules),
      form_(form),
      season_(season),
      every_day_pattern_(every_day_pattern),
      simpler_within_(std::max(simpler_within, kSameWater)),
      stop_(std::move(stop)),
      best_water_(std::numeric_limits<double>::infinity()) {}

std::vector<Candidate> Search::Best(size_t most) {
  int hopeless_from = std::numeric_limits<int>::max();
  for (const DayPattern& days : DayPatternsToTry(form_, season_.from, every_day_pattern_)) {
    const auto* every = std::get_if<EveryNDays>(&days);
    if (stop_ && stop_()) break;
    if (every != nullptr && every->n >= hopeless_from) continue;
    if (FullestHolds(days)) {
      TryPattern(days);
    } else if (every != nullptr) {
      hopeless_from = every->n;  // longer gaps will not do what shorter ones could not
    }
  }
  std::stable_sort(found_.begin(), found_.end(), NeedsLessWater);
  std::vector<std::vector<Candidate>> groups;
  for (const Candidate& candidate : found_) {
    const auto alike = std::find_if(groups.begin(), groups.end(), [&](const std::vector<Candidate>& group) {
      return group.front().days == candidate.days && group.front().starts() == candidate.starts();
    });
    if (alike == groups.end()) {
      if (groups.size() < most) groups.push_back({candidate});
    } else if (candidate.water_m3_per_day <= alike->front().water_m3_per_day * (1 + kSameWater)) {
      alike->push_back(candidate);
    }
  }
  std::vector<Candidate> best;
  for (std::vector<Candidate>& group : groups) {
    KeepTheNearestToLess(group);
    if (!stop_ || !stop_()) Improve(group.front());
    best.insert(best.end(), group.begin(), group.end());
  }
  std::stable_sort(best.begin(), best.end(), NeedsLessWater);
  return best;
}

Candidate Search::Uniform(const DayPattern& days, const std::vector<int>& starts, int minutes) const {
  Candidate candidate;
  candidate.days = days;
  for (size_t i = 0; i < starts.size(); ++i) {
    if (i % static_cast<size_t>(rules_.starts_per_programme()) == 0)
      candidate.programmes.push_back({{}, minutes});
    candidate.programmes.back().starts_min.push_back(starts[i]);
  }
  Measure(candidate);
  return candidate;
}

void Search::Measure(Candidate& candidate) const {
  double minutes = 0;
  int starts = 0;
  for (const auto& block : candidate.programmes) {
    minutes += static_cast<double>(block.minutes) * static_cast<double>(block.starts_min.size());
    starts += static_cast<int>(block.starts_min.size());
  }
  const double share = DayShare(candidate.days);
  candidate.runs_per_day = starts * share;
  candidate.water_m3_per_day = minutes * share * trial_.numbers().flow_m3_per_s * kSecondsPerMinute;
}

double Search::DayShare(const DayPattern& days) const {
  for (const auto& [known, share] : day_shares_) {
    if (known == days) return share;
  }
  return day_shares_.emplace_back(days, CountDayShare(days)).second;
}

double Search::CountDayShare(const DayPattern& days) const {
  TimerSettings once;
  once.programmes.push_back({{0}, 1, days, {}});
  ControllerForm plain;
  plain.odd_skips_31st = form_.odd_skips_31st;
  const auto runs = ExpandRuns(plain, once, Zone::Utc(), season_, {});
  return static_cast<double>(runs.size()) / (DayNumber(season_.to) - DayNumber(season_.from));
}

bool Search::Holds(const Candidate& candidate) {
  return trial_.Holds(SteadySettingsOf(candidate), model_,
                      WindowsToJudge(candidate.days, trial_.zone(), season_));
}

TimerSettings Search::SettingsOf(const Candidate& candidate) const {
  TimerSettings settings;
  for (const auto& block : candidate.programmes) {
    settings.programmes.push_back({block.starts_min, block.minutes, candidate.days, {}});
  }
  return settings;
}

TimerSettings Search::SteadySettingsOf(const Candidate& candidate) const {
  TimerSettings settings = SettingsOf(candidate);
  for (Programme& programme : settings.programmes) {
    if (auto* every = std::get_if<EveryNDays>(&programme.days))
      every->from = AddDays(season_.from, -70 * every->n);
  }
  return settings;
}

}  // namespace lastreach
