#include "plan/relaxed.h"

#include <algorithm>

#include "plan/words.h"

namespace lastreach {
namespace {

constexpr int kGuard_min = 60;

template <typename... Rules>
bool HasLimit(const DeviceFacts& facts) {
  return std::any_of(facts.limits.begin(), facts.limits.end(),
                     [](const Limit& limit) { return (std::holds_alternative<Rules>(limit.rule) || ...); });
}

struct Idea {
  std::string words;
  Relaxations relaxed;
};

std::vector<Idea> IdeasFor(const DeviceFacts& facts, const ControllerForm& form) {
  std::vector<Idea> ideas;
  Relaxations relaxed;
  if (HasLimit<ForbiddenHours>(facts)) {
    relaxed = {};
    relaxed.forbidden_hours = true;
    ideas.push_back({"without the forbidden hours", relaxed});
  }
  if (HasLimit<MostVolumeARun, MostVolumeADay>(facts)) {
    relaxed = {};
    relaxed.volumes = true;
    ideas.push_back({"without the limits on volume", relaxed});
  }
  if (*form.programmes * *form.starts_per_programme < 12) {
    relaxed = {};
    relaxed.starts = true;
    ideas.push_back({"with a timer of twelve starts a day", relaxed});
  }
  if (*form.minutes_step > 1) {
    relaxed = {};
    relaxed.steps = true;
    ideas.push_back({"with a timer keyed to the minute", relaxed});
  }
  if (form.day_patterns->size() < 4) {
    relaxed = {};
    relaxed.days = true;
    ideas.push_back({"with a timer of every day pattern", relaxed});
  }
  return ideas;
}

// The least water of any settings at the corner; none if nothing holds.
std::optional<double> LeastWaterWith(const DeviceFacts& facts, const ControllerForm& form,
                                     const PlanOptions& options, Trial& trial, const ReachModel& corner,
                                     Relaxations relaxed) {
  const DateWindow season{options.from, options.to};
  const StartRules rules(form, facts.limits, options.zone, season, trial.numbers().flow_m3_per_s, kGuard_min,
                         relaxed);
  Search search(trial, corner, rules, form, season, relaxed.days);
  const std::vector<Candidate> best = search.Best(1);
  if (best.empty()) return std::nullopt;
  return best.front().water_m3_per_day;
}

}  // namespace

std::vector<std::string> WhatBinds(double least_m3_per_day, const DeviceFacts& facts,
                                   const ControllerForm& form, const PlanOptions& options, Trial& trial,
                                   const ReachModel& corner) {
  std::vector<std::string> sentences;
  for (const Idea& idea : IdeasFor(facts, form)) {
    const auto freed = LeastWaterWith(facts, form, options, trial, corner, idea.relaxed);
    if (!freed || *freed > least_m3_per_day * (1 - kSameWater)) continue;
    sentences.push_back(Percent(1 - *freed / least_m3_per_day) + " less water " + idea.words + ".");
  }
  return sentences;
}

std::vector<std::string> WhatWouldHelp(const DeviceFacts& facts, const ControllerForm& form,
                                       const PlanOptions& options, Trial& trial, const ReachModel& corner) {
  std::vector<std::string> sentences;
  for (const Idea& idea : IdeasFor(facts, form)) {
    if (LeastWaterWith(facts, form, options, trial, corner, idea.relaxed)) {
      sentences.push_back("It would hold " + idea.words + ".");
    }
  }
  return sentences;
}

}  // namespace lastreach
