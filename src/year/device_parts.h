#pragma once

#include <cstddef>
#include <set>
#include <string>
#include <vector>

#include "plan/device_plan.h"

namespace lastreach {

// One device through the parts of a year: what planning says of each. A face, so that tests can stand behind
// it without a network (planned_parts.h is the real thing). Every-N programmes carry no first day here: days
// are counted from the day they are keyed, which is not settled yet.
// THREADS: one object, one thread at a time.
class DeviceParts {
 public:
  virtual ~DeviceParts() = default;

  // The settings for that part alone.
  virtual DevicePlan Plan(size_t part) = 0;
  // What settings use over the part, in their calendar's own days [m3]. Cheap.
  virtual double Water_m3(size_t part, const TimerSettings& settings) = 0;
  // Whether they break no limit and the timer takes them, in that part's local hours. Cheap.
  virtual bool KeepsRules(size_t part, const TimerSettings& settings) = 0;
  // A quick look at whether they hold; may be wrong either way.
  virtual bool SeemsToHold(size_t part, const TimerSettings& settings) = 0;
  // The measure a plan itself is held to. Less sure settings than `at_least_sure` need not be followed up.
  virtual Outcome Judge(size_t part, const TimerSettings& settings, double at_least_sure) = 0;
  // What is not known of that part's water, in words.
  virtual std::vector<std::string> AsWorstWeek(size_t part) = 0;
};

// Months in which a device must be off, 1 to 12, and who says so.
struct FrostSpell {
  std::set<int> months;
  std::string source;
};

}  // namespace lastreach
