#pragma once

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "core/result.h"
#include "plan/device_plan.h"
#include "plan/facts.h"
#include "plan/network_view.h"
#include "together/network_judge.h"

namespace lastreach {

struct NetworkPlanOptions {
  int most_rounds = 6;
  // Residuals in mains that differ by less than this are the same: a fifth of what a kit can tell (+-0.1
  // mg/L).
  double agree_mg_per_l = 0.02;
  // As PlanOptions::stop: no further round is begun, and what a round stopped short of keeps the settings
  // that were sure before.
  std::function<bool()> stop{};
};

// Processor time, all threads together, where nothing else runs in the process.
struct NetworkPlanSeconds {
  double planning = 0, arranging = 0, judging = 0;
};

struct NetworkConfirmation {
  std::vector<NetworkRound> rounds;
  bool confirmed = false;
  NetworkJudgement now, planned;
  std::optional<ArrangementSummary> together;  // where there was something to arrange by
  std::vector<std::string> closings;           // speed_cautions.h
  NetworkPlanSeconds seconds;
};

struct NetworkPlan {
  std::vector<DevicePlan> devices;  // as the facts
  NetworkConfirmation network;
  // Of who plans: the least water of all devices together, of those that share mains as one, and what to say
  // of these.
  std::optional<double> bound_m3_per_day{};
  std::vector<std::string> notes{};
};

// Plans all of these devices, each for the residual its reach gets. Devices of one tree (tree_reaches.h)
// always come together.
using PlanThese = std::function<std::vector<DevicePlan>(const std::vector<DeviceFacts>&)>;

// Moves planned devices through the day where what they do together would break a limit (arrange.h). `facts`:
// with what each may count on.
using ArrangeThese = std::function<Result<ArrangementSummary>(const std::vector<DeviceFacts>& facts,
                                                              std::vector<DevicePlan>& plans)>;

// Plans devices that feed from one network: what one flushes freshens the mains that others draw from, and
// what one saves it takes from them.
//
//   1. the network as it is keyed now gives the residual at the root of every reach, hour by hour;
//   2. each reach is planned for the lowest of each hour;
//   3. the network with the plan gives them anew, hour by hour (network_watch.h). Where less arrives than was
//      counted on, the reach is planned again with that; in the first rounds also where clearly more does,
//      which is the credit for its neighbours;
//   4. once no root carries less than its plan counts on (by `agree_mg_per_l`), devices that would break a
//      limit together are moved through the day; what is short then goes back to 2.
//
// From the third round on roots are only lowered and devices then only run more, so it ends; what is not
// confirmed after `most_rounds` says so. A residual somebody measured in the main itself is never raised by a
// simulation, but falls with it where the plan takes flushing away.
//
// ERROR: what JudgeOnNetwork gives. DETERMINISM: that of `plan`.
Result<NetworkPlan> PlanOnNetwork(const std::vector<DeviceFacts>& devices, const PlanningNetwork& network,
                                  const PlanThese& plan, const Zone& zone, DateWindow season,
                                  const NetworkPlanOptions& options = {}, const ArrangeThese& arrange = {});

// What arrives at the root of a reach [mg/L] by local hour when the network is judged: what the simulation
// says, but a residual somebody measured in the main is only lowered, by the share the plan takes from it.
std::array<double, 24> ArrivingAtRoot(const DeviceFacts& facts, const NetworkFinding& now,
                                      const NetworkFinding& judged);

// What a device does by its plan: its settings where it is to be keyed or kept, off where no flush is needed,
// as it is now where there is no answer.
DeviceDuty PlannedDuty(const DeviceFacts& facts, const DevicePlan& plan);
DeviceDuty PresentDuty(const DeviceFacts& facts);

}  // namespace lastreach
