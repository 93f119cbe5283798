#include "app/plan_on_network.h"

#include <map>
#include <optional>
#include <set>
#include <string>

#include "plan/all_cores.h"
#include "plan/alternatives.h"
#include "plan/plan_tree.h"
#include "plan/settle.h"
#include "together/arrange.h"
#include "together/speed_cautions.h"

namespace lastreach {
namespace {

constexpr int kMostAgain = 2;
constexpr int kStride_min = 60;  // hours at which a device is tried that must make room for others

// Rounds plan whole trees anew; of each the latest counts.
class LatestTrees {
 public:
  void Take(const std::vector<TreePlan>& trees) {
    for (const TreePlan& tree : trees) latest_[tree.devices.front().point.code.text()] = tree;
  }
  std::vector<TreePlan> All() const {
    std::vector<TreePlan> trees;
    for (const auto& [code, tree] : latest_) trees.push_back(tree);
    return trees;
  }

 private:
  std::map<std::string, TreePlan> latest_;  // by its first device
};

// Devices that stand shut say so; the others are planned as trees.
std::vector<DevicePlan> PlanOpen(const std::vector<DeviceFacts>& devices, const PlanOptions& options,
                                 const std::function<bool(const DeviceFacts&)>& shut,
                                 const std::function<void(size_t done)>& progress, LatestTrees& latest) {
  std::vector<DeviceFacts> open;
  for (const DeviceFacts& device : devices) {
    if (!shut || !shut(device)) open.push_back(device);
  }
  const std::vector<TreePlan> trees = PlanTrees(open, options, progress);
  latest.Take(trees);
  std::vector<DevicePlan> planned = InOrderOfDevices(trees);
  std::vector<DevicePlan> plans;
  size_t next = 0;
  for (const DeviceFacts& device : devices) {
    if (!shut || !shut(device)) {
      plans.push_back(std::move(planned[next++]));
      continue;
    }
    DevicePlan& standing = plans.emplace_back();
    standing.point = device.point;
    standing.form = device.form;
    standing.verdict = Verdict::kNoFlushNeeded;
    standing.settings.on = false;
  }
  return plans;
}

// What binds, of each plan with what it counts on.
void SayWhatBindsAll(const std::vector<DeviceFacts>& facts, const PlanOptions& options,
                     const std::function<bool(const DeviceFacts&)>& shut, std::vector<DevicePlan>& plans) {
  OnAllCores(facts.size(), [&](size_t d) {
    if (shut && shut(facts[d])) return;
    DeviceFacts counted_on = facts[d];
    if (plans[d].on_network) counted_on.root_mg_per_l_by_hour = plans[d].on_network->counted_on_mg_per_l;
    SayWhatBinds(counted_on, options, plans[d]);
  });
}

// Devices that share mains with others, by code.
std::set<std::string> SharingMains(const std::vector<DeviceFacts>& facts) {
  std::set<std::string> codes;
  for (const ReachTree& tree : TreesOf(facts)) {
    if (tree.devices.size() < 2) continue;
    for (const size_t d : tree.devices) codes.insert(facts[d].point.code.text());
  }
  return codes;
}

}  // namespace

Result<NetworkPlan> PlanSeasonOnNetwork(const std::vector<DeviceFacts>& facts, const PlanningNetwork& network,
                                        const std::vector<Limit>& together, const PlanOptions& options,
                                        const NetworkPlanOptions& network_options,
                                        const std::function<bool(const DeviceFacts&)>& shut,
                                        const std::function<void(size_t done)>& progress) {
  const DateWindow season{options.from, options.to};
  LatestTrees latest;
  PlanOptions in_rounds = options;
  in_rounds.what_binds = false;
  const PlanThese plan = [&](const std::vector<DeviceFacts>& devices) {
    return PlanOpen(devices, in_rounds, shut, progress, latest);
  };
  const TogetherLimits limits = TogetherLimitsOf(together);
  std::optional<Arranger> arranger;
  ArrangeThese arrange;
  if (limits.any()) {
    const std::set<std::string> sharing = SharingMains(facts);
    const OtherHoursOf other_hours = [&in_rounds, sharing](const DeviceFacts& device,
                                                           const DevicePlan& planned) {
      std::vector<OtherHours> hours;
      if (sharing.contains(device.point.code.text())) return hours;
      for (Alternative& alternative : AlternativesOf(device, in_rounds, planned, kStride_min)) {
        hours.push_back({std::move(alternative.settings), alternative.water_m3_per_day});
      }
      return hours;
    };
    const SettleOn settle = [&](const DeviceFacts& device, const TimerSettings& settings) {
      return Settle(device, in_rounds, settings);
    };
    auto made = Arranger::Make(network, facts, limits, options.zone, season, other_hours, settle);
    if (!made.ok()) return made.error();
    arranger = *std::move(made);
    arrange = [&](const std::vector<DeviceFacts>& devices, std::vector<DevicePlan>& plans) {
      return arranger->Arrange(devices, plans);
    };
  }
  // A week through time may show what no single hour does; devices kept apart for that are planned again.
  auto planned = PlanOnNetwork(facts, network, plan, options.zone, season, network_options, arrange);
  for (int again = 0; planned.ok() && arranger && again < kMostAgain; ++again) {
    const auto learned = arranger->ConfirmWeek(facts, planned->devices, *planned->network.together);
    if (!learned.ok()) return learned.error();
    if (!*learned) break;
    planned = PlanOnNetwork(facts, network, plan, options.zone, season, network_options, arrange);
  }
  if (!planned.ok()) return planned;
  if (options.what_binds) SayWhatBindsAll(facts, options, shut, planned->devices);
  auto closings = AddSpeedCautions(network, facts, planned->devices);
  if (!closings.ok()) return closings.error();
  planned->network.closings = *std::move(closings);
  planned->bound_m3_per_day = BoundTogether_m3_per_day(latest.All());
  planned->notes = NotesOn(latest.All());
  return planned;
}

}  // namespace lastreach
