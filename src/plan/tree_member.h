#pragma once

#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "plan/make_sure.h"
#include "plan/search.h"
#include "plan/start_rules.h"
#include "plan/sureness.h"
#include "plan/tree_reaches.h"

namespace lastreach {

// One device of a tree while the tree is planned: its timer and rules, and how its own reach is judged while
// the others draw beside it.
class TreeMember {
 public:
  // REQUIRES: facts that GatherNumbers accepts; all outlive the member.
  TreeMember(const std::vector<DeviceFacts>& devices, const ReachTree& tree, size_t member,
             const PlanOptions& options, int guard_min);
  TreeMember(const TreeMember&) = delete;
  TreeMember& operator=(const TreeMember&) = delete;

  // The best kinds of days and starts at the corner while the others are set so; least water first.
  std::vector<Candidate> Kinds(std::span<const TimerSettings> settings, size_t most) const;

  // Whether the reach holds at its corner, in the searching draws, in fresh draws with every service.
  bool HoldsAtCorner(std::span<const TimerSettings> settings, std::span<const DateWindow> windows) const;
  // How far the lowest residual at the corner is below the target, ln of their ratio; 0 where it holds.
  double ShortfallAtCorner(std::span<const TimerSettings> settings,
                           std::span<const DateWindow> windows) const;
  bool IsSure(std::span<const TimerSettings> settings, std::span<const DateWindow> windows) const;
  bool IsConfirmed(std::span<const TimerSettings> settings, std::span<const DateWindow> windows) const;

  // Settings a choice stands for; a choice without programmes is a device turned off.
  TimerSettings SettingsOf(const Candidate& choice) const;
  TimerSettings SteadySettingsOf(const Candidate& choice) const;
  // The choice with every run `steps` steps longer or shorter, if the timer and the rules allow it.
  std::optional<Candidate> Moved(const Candidate& choice, int steps) const;
  // All starts `by_min` later, round the day.
  std::optional<Candidate> Shifted(const Candidate& choice, int by_min) const;
  // So many runs every day, spread evenly from one on, as short as the timer takes; none if they cannot be
  // keyed so.
  std::optional<Candidate> Spread(int starts, int first_min) const;
  static Candidate Off() { return {}; }

  const DeviceFacts& facts() const { return facts_; }
  const PlanningNumbers& numbers() const { return numbers_; }
  const Deviates& slopes() const { return slopes_; }
  const Deviates& corner() const { return corner_; }
  const StartRules& rules() const { return *rules_; }
  const ControllerForm& form() const { return form_; }
  // The numbers with the others drawing beside.
  PlanningNumbers NumbersBeside(std::span<const TimerSettings> settings) const;

 private:
  bool HoldsInDraws(std::span<const TimerSettings> settings, std::span<const DateWindow> windows,
                    std::vector<Deviates> draws) const;

  const std::vector<DeviceFacts>& devices_;
  const ReachTree& tree_;
  size_t member_;
  const PlanOptions& options_;
  const DeviceFacts& facts_;
  ControllerForm form_;
  DateWindow season_;
  PlanningNumbers numbers_;  // with nobody beside
  Deviates slopes_, corner_;
  ReachModel coarse_corner_;
  std::unique_ptr<StartRules> rules_;
  mutable std::unique_ptr<Trial> trial_;
  std::unique_ptr<Search> search_;
};

}  // namespace lastreach
