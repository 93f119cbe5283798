#pragma once

#include "plan/device_plan.h"
#include "plan/measure.h"
#include "plan/start_rules.h"
#include "plan/sureness.h"

namespace lastreach {

// How far a clock may be out either way, and runs still keep out of forbidden hours.
inline constexpr int kGuard_min = 60;

// Everything of one device and one season that does not depend on the settings tried, worked out once.
// THREADS: one object, one thread. REQUIRES: facts and options outlive it.
struct DeviceStudy {
  // `notes`: gets what had to be assumed of the timer.
  DeviceStudy(const DeviceFacts& facts, const PlanOptions& options, PlanningNumbers numbers,
              std::vector<std::string>* notes);
  DeviceStudy(const DeviceStudy&) = delete;
  DeviceStudy& operator=(const DeviceStudy&) = delete;

  StartRules Rules(int guard_min) const {
    return {form,
            facts.limits,
            options.zone,
            season,
            numbers.flow_m3_per_s,
            guard_min,
            {},
            options.least_run_minutes};
  }
  std::vector<DateWindow> WindowsFor(const DayPattern& days) const;

  const DeviceFacts& facts;
  const PlanOptions& options;
  ControllerForm form;  // cautious where the true one is not known
  DateWindow season;
  PlanningNumbers numbers;
  Deviates slopes;
  ReachModel corner;         // every service
  ReachModel coarse_corner;  // neighbours together, for the search
  Trial trial;
  SurenessJudge judge;  // the draws settings are chosen by
  SurenessJudge fresh;  // the draws of the measurer, every service
  Measurer measurer;    // fresh draws, every service: what is reported
};

}  // namespace lastreach
