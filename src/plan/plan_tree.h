#pragma once

#include <functional>
#include <string>
#include <vector>

#include "plan/device_plan.h"
#include "plan/facts.h"
#include "plan/tree_bound.h"
#include "plan/tree_reaches.h"

namespace lastreach {

// The plan for devices whose reaches share their first pipes.
struct TreePlan {
  std::vector<DevicePlan> devices;  // as tree.devices
  bool is_joint = false;            // some settings count on the neighbours'; else each was planned alone
  bool all_hold_alone = false;
  double alone_m3_per_day = 0;     // all of them, each planned as if the others did not run
  double together_m3_per_day = 0;  // as planned here; never more where all hold alone
  TreeBound bound;                 // of the ends that are held, at the corner of each
};

// Plans the devices of one tree together: each reach is to hold, as surely as asked, while the others run as
// planned; the least water of all together is looked for (tree_search.h) and made sure in the draws. A device
// whose reach the others hold is turned off. Settings are those planned alone where together saves less than
// 1 %, or, where all that is keyed now holds, less than is worth a visit.
//
// A reach that cannot be held alone is tried with its neighbours' help; where not even that does, or too
// little is known of a device, it is planned alone and nobody counts on it. What beside devices are credited
// with, see BesideFlow. DETERMINISM: as PlanDevice. COST: that of PlanDevice for each, and some seconds.
TreePlan PlanTree(const std::vector<DeviceFacts>& devices, const ReachTree& tree, const PlanOptions& options);

// Every tree of the devices, on as many threads as the machine has cores; in the order of TreesOf. `progress`
// is told how many devices are done; calls do not overlap.
std::vector<TreePlan> PlanTrees(const std::vector<DeviceFacts>& devices, const PlanOptions& options,
                                const std::function<void(size_t done)>& progress = {});

// The plans of all trees in the order of the list they were made from.
std::vector<DevicePlan> InOrderOfDevices(const std::vector<TreePlan>& trees);

// What each joint tree takes together and alone, a sentence a tree.
std::vector<std::string> NotesOn(const std::vector<TreePlan>& trees);

// The least water a day with which all ends that are held can be held [m3/d].
double BoundTogether_m3_per_day(const std::vector<TreePlan>& trees);

}  // namespace lastreach
