#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <vector>

#include "plan/numbers.h"
#include "plan/reach_model.h"
#include "plan/ready_reach.h"
#include "plan/timeline.h"

namespace lastreach {

// The lowest residual some settings leave at any judged place.
struct Low {
  double mg_per_l = 0;
  size_t judged = 0;  // which judged place, index into ReachModel::judged
  MinuteInstant when;
};

// Clocks that settings must stand: as it should be, an hour slow, an hour fast.
inline constexpr int kClockErrors_min[] = {0, -60, 60};

// Tries settings on one reach: calendar and transport in one call. Keeps buffers between calls, and where the
// last settings failed, to look there first.
// THREADS: one object, one thread.
class Trial {
 public:
  // `workspace`: another trial's, so that what it holds ready need not be worked out again; else its own.
  Trial(const ControllerForm& form, const Zone& zone, const PlanningNumbers& numbers,
        std::shared_ptr<ReadyReach::Workspace> workspace = std::make_shared<ReadyReach::Workspace>())
      : form_(form),
        grids_(zone, numbers.beside, numbers.upstream_by_hour.has_value()),
        numbers_(numbers),
        workspace_(std::move(workspace)) {}

  // Whether every judged place holds the target all through the windows, with the clock right and an hour out
  // either way. Stops at the first failure.
  //
  // Water older than ln(C0 / target) / k is below the target whatever the walls do, so a warm-up of that
  // length settles it: what is still older than the warm-up has failed.
  bool Holds(const TimerSettings& settings, const ReachModel& model, const std::vector<DateWindow>& windows,
             const std::vector<int>& phases = {});
  // The same for settings and a model made ready once for many calls.
  bool Holds(LaidOut& laid, ReadyReach& reach);

  // The lowest residual over the window and the clock errors given (minutes fast). The warm-up grows until no
  // water judged was in the reach before it, or until water that old must have less than 0.05 mg/L left, to
  // at most 64 days; what is older still counts as nothing left.
  Low Lowest(const TimerSettings& settings, const ReachModel& model, DateWindow window,
             std::span<const int> clock_errors_min, const std::vector<int>& phases = {});
  Low Lowest(LaidOut& laid, ReadyReach& reach);

  // REQUIRES: `settings` and this trial outlive the answer.
  LaidOut Lay(const TimerSettings& settings, std::span<const DateWindow> windows,
              std::span<const int> clock_errors_min, const std::vector<int>& phases = {}) {
    return LaidOut(form_, settings, grids_, windows, clock_errors_min, phases);
  }

  const PlanningNumbers& numbers() const { return numbers_; }
  const ControllerForm& form() const { return form_; }
  const Zone& zone() const { return grids_.zone(); }
  ClockState Clock(int fast_minutes) const {
    return {form_.follows_clock_change.value_or(false), fast_minutes};
  }
  const std::shared_ptr<ReadyReach::Workspace>& workspace() const { return workspace_; }

 private:
  bool HoldsIn(const Timeline& line, ReadyReach& reach, std::optional<ReachFailure>& last);

  ControllerForm form_;
  LaidOut::Grids grids_;
  PlanningNumbers numbers_;
  std::shared_ptr<ReadyReach::Workspace> workspace_;
};

}  // namespace lastreach
