#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "core/result.h"
#include "plan/device_plan.h"
#include "plan/facts.h"
#include "together/network_plan.h"

namespace lastreach {

// Ways of doing without a device, or with less of it.
enum class OtherWay {
  kRemove,              // no device
  kMoveToLastCustomer,  // the same device at the last customer in place of the end
  kSmallerMain,         // the reach of the next smaller width
  kLoop,                // the end joined to the nearest other main
};
std::string_view ToText(OtherWay way);  // "remove", "move to the last customer", "smaller main", "loop"

// What one of them would do, the whole network run with it and all other devices as planned; middle values.
struct OtherWayOutcome {
  OtherWay way = OtherWay::kRemove;
  double lowest_mg_per_l = 0;                  // at any customer of the reach, the worst hour's mean
  bool holds = false;                          // the target, there
  double water_m3_per_day = 0;                 // of the device then
  double lowest_pressure_m = 0;                // where anything is drawn in the network
  double main_m = 0;                           // of main to be laid, for those that need it
  NodeIndex joined_to{};                       // of a loop
  Verdict verdict = Verdict::kTooLittleKnown;  // what planning says of the device then; of a loop or without
                                               // the device: whether a flush is still needed
};

// How far a loop may reach, and how much longer than the straight line it is laid (common practice, no
// source).
inline constexpr double kLongestLoop_m = 400;
inline constexpr double kLoopDetour = 1.2;

// Tries each way that can be tried for one placed device. A loop is looked for from the end to the nearest
// node of a main that is not of its own reach and has a position; none within kLongestLoop_m, no loop. No
// move where a customer stands at the end. No smaller main below 50 mm.
//
// `i`: of network.placed; `duties`: all devices as planned; `plan`: what plans the changed device.
// ERROR: what JudgeOnNetwork gives. COST: one run of the network for each way.
Result<std::vector<OtherWayOutcome>> WhatElse(const PlanningNetwork& network,
                                              const std::vector<DeviceDuty>& duties, std::size_t i,
                                              const DeviceFacts& facts, double target_mg_per_l,
                                              const PlanThese& plan, const Zone& zone, DateWindow season);

// The links on the shortest way from one node to another, in order; empty if there is none.
std::vector<LinkIndex> ShortestWay(const Network& network, NodeIndex from, NodeIndex to);

}  // namespace lastreach
