#include "plan/plan_tree.h"

#include <algorithm>
#include <memory>
#include <mutex>
#include <numeric>
#include <optional>
#include <utility>

#include "plan/all_cores.h"
#include "plan/plan_device.h"
#include "plan/tree_report.h"
#include "plan/tree_search.h"

namespace lastreach {
namespace {

constexpr int kGuard_min = 60;          // an hour out either way
constexpr double kWorthTheRisk = 0.01;  // saving below which nobody should have to count on a neighbour
constexpr int kMostSteps = 400;
// Share of water by which settings planned before may be farther from the bound now.
constexpr double kAsNear = 0.03;

bool MayJoin(const DevicePlan& alone) {
  switch (alone.verdict) {
    case Verdict::kChange:
    case Verdict::kKeep:
    case Verdict::kNoFlushNeeded:
    case Verdict::kCannotHold:
      return true;
    case Verdict::kFlushingIsNotTheAnswer:
    case Verdict::kTooLittleKnown:
      return false;
  }
  return false;
}

double WaterOf(const std::vector<DevicePlan>& plans) {
  double water = 0;
  for (const DevicePlan& plan : plans) {
    if (plan.planned_outcome) water += plan.planned_outcome->water_m3_per_day;
  }
  return water;
}

// Whether planned before, all of them, and how.
bool WerePlanned(const std::vector<DeviceFacts>& devices, const ReachTree& tree, bool together) {
  return std::all_of(tree.devices.begin(), tree.devices.end(), [&](size_t d) {
    return devices[d].planned_before && devices[d].planned_before->together == together;
  });
}

// From the devices planned alone to settings for all of them.
class TreePlanner {
 public:
  // `joining`: places in tree.devices.
  TreePlanner(const std::vector<DeviceFacts>& devices, const ReachTree& tree, std::vector<size_t> joining,
              const PlanOptions& options)
      : devices_(devices), options_(options), joining_(std::move(joining)) {
    for (const size_t k : joining_) joined_.devices.push_back(tree.devices[k]);
    for (size_t k = 0; k < joining_.size(); ++k) {
      members_.push_back(std::make_unique<TreeMember>(devices_, joined_, k, options_, kGuard_min));
    }
  }

  // Plans of those that join, all sure; none if no settings found are.
  std::optional<std::vector<DevicePlan>> Plan(const std::vector<DevicePlan>& alone) {
    TreeSearch search(members_, options_);
    return MadeSure(search, search.Best(), alone);
  }

  // The same days and starts as planned before, if they are as near to the bound as then.
  std::optional<std::vector<DevicePlan>> PlanAsBefore(const std::vector<DevicePlan>& alone) {
    TreeSearch search(members_, options_);
    TreeSearch::Choices choices;
    double water_m3_per_day = 0;
    double bound_m3_per_day = 0;
    for (const auto& member : members_) {
      const PlannedBefore& before = *member->facts().planned_before;
      const auto kind = CandidateOf(before.settings);
      if (!kind && before.settings.on) return std::nullopt;
      const auto choice = kind ? member->Moved(*kind, 0) : TreeMember::Off();
      if (!choice) return std::nullopt;
      choices.push_back(*choice);
      water_m3_per_day += before.water_m3_per_day;
      bound_m3_per_day += before.bound_m3_per_day;
    }
    auto plans = MadeSure(search, std::move(choices), alone);
    if (!plans) return std::nullopt;
    double bound_now_m3_per_day = 0;
    for (const DevicePlan& plan : *plans) bound_now_m3_per_day += plan.bound_m3_per_day;
    const bool as_near = bound_m3_per_day > 0 && WaterOf(*plans) * bound_m3_per_day <=
                                                     water_m3_per_day * bound_now_m3_per_day * (1 + kAsNear);
    if (!as_near) return std::nullopt;
    return plans;
  }

  // Of the ends that are held; others need no water.
  double Bound_m3_per_day(const std::vector<DevicePlan>& plans) const {
    std::vector<TreeReach> reaches;
    for (size_t i = 0; i < members_.size(); ++i) {
      if (!plans[joining_[i]].planned_outcome) continue;
      const TreeMember& member = *members_[i];
      reaches.push_back({ModelReach(member.numbers(), member.corner()), member.facts().pipe_ids,
                         member.numbers().target_mg_per_l});
    }
    return reaches.empty() ? 0 : BoundOfTree(reaches, {}).m3_per_day;
  }

 private:
  std::optional<std::vector<DevicePlan>> MadeSure(const TreeSearch& search, TreeSearch::Choices choices,
                                                  const std::vector<DevicePlan>& alone) const {
    if (choices.empty() || !MakeAllSure(search, choices)) return std::nullopt;
    for (int step = 0; step < kMostSteps; ++step) {
      std::vector<DevicePlan> plans = Tell(choices, alone);
      std::vector<char> fails;
      for (const DevicePlan& plan : plans)
        fails.push_back(plan.planned_outcome->sureness < options_.sureness ? 1 : 0);
      if (std::find(fails.begin(), fails.end(), 1) == fails.end()) return plans;
      if (!Lengthen(choices, fails)) return std::nullopt;
    }
    return std::nullopt;
  }

  // In the searching draws, then in fresh ones: steps are added to whoever fails, and then given up where
  // others have made them needless.
  bool MakeAllSure(const TreeSearch& search, TreeSearch::Choices& choices) const {
    const auto failing = [&](const TreeSearch::Choices& tried, bool fresh) {
      const std::vector<TimerSettings> settings = search.Steady(tried);
      const std::vector<DateWindow> windows = search.Windows(tried);
      std::vector<char> fails;
      for (const auto& member : members_) {
        fails.push_back(
            (fresh ? member->IsConfirmed(settings, windows) : member->IsSure(settings, windows)) ? 0 : 1);
      }
      return fails;
    };
    const auto lengthen_until_sure = [&](bool fresh) {
      for (int step = 0; step < kMostSteps; ++step) {
        const std::vector<char> fails = failing(choices, fresh);
        if (std::find(fails.begin(), fails.end(), 1) == fails.end()) return true;
        if (!Lengthen(choices, fails)) return false;
      }
      return false;
    };
    if (!lengthen_until_sure(false)) return false;
    const auto all_sure = [&](const TreeSearch::Choices& tried) {
      const std::vector<TimerSettings> settings = search.Steady(tried);
      const std::vector<DateWindow> windows = search.Windows(tried);
      return std::all_of(members_.begin(), members_.end(),
                         [&](const auto& member) { return member->IsSure(settings, windows); });
    };
    search.Trim(choices, all_sure, false);
    return lengthen_until_sure(true);
  }

  // A step more for every device whose reach fails; where it is off or cannot, for all others instead.
  bool Lengthen(TreeSearch::Choices& choices, const std::vector<char>& fails) const {
    bool any = false;
    bool help = false;
    for (size_t i = 0; i < choices.size(); ++i) {
      if (fails[i] == 0) continue;
      if (const auto longer = members_[i]->Moved(choices[i], 1)) {
        choices[i] = *longer;
        any = true;
      } else {
        help = true;
      }
    }
    for (size_t i = 0; help && i < choices.size(); ++i) {
      if (fails[i] != 0) continue;
      if (const auto longer = members_[i]->Moved(choices[i], 1)) {
        choices[i] = *longer;
        any = true;
      }
    }
    return any;
  }

  std::vector<DevicePlan> Tell(const TreeSearch::Choices& choices,
                               const std::vector<DevicePlan>& alone) const {
    std::vector<TimerSettings> settings;
    for (size_t i = 0; i < choices.size(); ++i) settings.push_back(members_[i]->SettingsOf(choices[i]));
    std::vector<DevicePlan> plans;
    for (size_t i = 0; i < choices.size(); ++i) {
      std::vector<std::string> neighbours;
      for (size_t k = 0; k < choices.size(); ++k) {
        if (k != i && settings[k].on) neighbours.push_back(members_[k]->facts().point.code.text());
      }
      const DeviceFacts beside = WithNeighbours(devices_, joined_, i, settings);
      plans.push_back(
          RetoldTogether(alone[joining_[i]], *members_[i], beside, settings[i], neighbours, options_));
    }
    return plans;
  }

  const std::vector<DeviceFacts>& devices_;
  const PlanOptions& options_;
  std::vector<size_t> joining_;
  ReachTree joined_;
  std::vector<std::unique_ptr<TreeMember>> members_;
};

bool IsWorthIt(const std::vector<DevicePlan>& alone, const std::vector<DevicePlan>& together,
               const PlanOptions& options) {
  bool all_kept = true;
  for (size_t k = 0; k < alone.size(); ++k) {
    if (!alone[k].planned_outcome && together[k].planned_outcome) return true;  // held at last
    all_kept = all_kept && alone[k].verdict != Verdict::kChange;
  }
  const double least_saving = all_kept ? std::max(options.worth_a_visit, kWorthTheRisk) : kWorthTheRisk;
  return WaterOf(together) < WaterOf(alone) * (1 - least_saving);
}

}  // namespace

TreePlan PlanTree(const std::vector<DeviceFacts>& devices, const ReachTree& tree,
                  const PlanOptions& options) {
  TreePlan plan;
  std::vector<size_t> joining;
  for (size_t k = 0; k < tree.devices.size(); ++k) {
    DeviceFacts facts = devices[tree.devices[k]];
    // What was planned together says nothing of a device alone.
    if (facts.planned_before && facts.planned_before->together) facts.planned_before.reset();
    plan.devices.push_back(PlanDevice(facts, options));
    if (MayJoin(plan.devices.back())) joining.push_back(k);
  }
  plan.alone_m3_per_day = plan.together_m3_per_day = WaterOf(plan.devices);
  plan.all_hold_alone = std::all_of(plan.devices.begin(), plan.devices.end(), [](const DevicePlan& device) {
    return device.planned_outcome.has_value();
  });
  plan.bound.devices = tree.devices;
  if (joining.size() < 2) {
    for (const DevicePlan& device : plan.devices) {
      if (device.planned_outcome) plan.bound.m3_per_day += device.bound_m3_per_day;
    }
    return plan;
  }
  TreePlanner planner(devices, tree, joining, options);
  std::optional<std::vector<DevicePlan>> joint;
  const bool all_join = joining.size() == tree.devices.size();
  if (all_join && WerePlanned(devices, tree, true)) joint = planner.PlanAsBefore(plan.devices);
  // Where it was not worth while together it is not now.
  if (!joint && !options.ShouldStop() && !(all_join && WerePlanned(devices, tree, false)))
    joint = planner.Plan(plan.devices);
  if (joint) {
    std::vector<DevicePlan> together = plan.devices;
    for (size_t i = 0; i < joining.size(); ++i) together[joining[i]] = (*joint)[i];
    if (IsWorthIt(plan.devices, together, options)) {
      plan.is_joint = true;
      for (const size_t k : joining) together[k].planned_together = true;
      plan.devices = std::move(together);
      plan.together_m3_per_day = WaterOf(plan.devices);
    }
  }
  plan.bound.m3_per_day = planner.Bound_m3_per_day(plan.devices);
  if (options.ShouldStop()) {
    for (DevicePlan& device : plan.devices) device.stopped_early = true;
  }
  return plan;
}

std::vector<TreePlan> PlanTrees(const std::vector<DeviceFacts>& devices, const PlanOptions& options,
                                const std::function<void(size_t done)>& progress) {
  const std::vector<ReachTree> trees = TreesOf(devices);
  std::vector<TreePlan> plans(trees.size());
  // What takes long is begun first.
  std::vector<size_t> order(trees.size());
  std::iota(order.begin(), order.end(), size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](size_t a, size_t b) { return trees[a].devices.size() > trees[b].devices.size(); });
  size_t done = 0;
  std::mutex reporting;
  OnAllCores(trees.size(), [&](size_t i) {
    const size_t t = order[i];
    plans[t] = PlanTree(devices, trees[t], options);
    const std::lock_guard<std::mutex> lock(reporting);
    done += trees[t].devices.size();
    if (progress) progress(done);
  });
  return plans;
}

std::vector<DevicePlan> InOrderOfDevices(const std::vector<TreePlan>& trees) {
  std::vector<std::pair<size_t, const DevicePlan*>> placed;
  for (const TreePlan& tree : trees) {
    for (size_t k = 0; k < tree.devices.size(); ++k)
      placed.emplace_back(tree.bound.devices[k], &tree.devices[k]);
  }
  std::sort(placed.begin(), placed.end());
  std::vector<DevicePlan> plans;
  for (const auto& [place, plan] : placed) plans.push_back(*plan);
  return plans;
}

std::vector<std::string> NotesOn(const std::vector<TreePlan>& trees) {
  std::vector<std::string> notes;
  for (const TreePlan& tree : trees) {
    if (!tree.is_joint) continue;
    std::vector<std::string> codes;
    for (const DevicePlan& device : tree.devices) codes.push_back(device.point.code.text());
    std::string note = NamedTogether(codes) +
                       " share mains and are planned together: " + CubicMetresADay(tree.together_m3_per_day) +
                       " in all";
    note += tree.all_hold_alone
                ? " where each planned alone would come to " + CubicMetresADay(tree.alone_m3_per_day) + "."
                : ", and without each other not all could hold.";
    notes.push_back(std::move(note));
  }
  return notes;
}

double BoundTogether_m3_per_day(const std::vector<TreePlan>& trees) {
  double bound = 0;
  for (const TreePlan& tree : trees) bound += tree.bound.m3_per_day;
  return bound;
}

}  // namespace lastreach
