#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <vector>

#include "plan/numbers.h"
#include "plan/reach_model.h"
#include "quality/transport.h"

namespace lastreach {

// The lowest residual some settings leave at any judged place.
struct Low {
  double mg_per_l = 0;
  size_t judged = 0;  // which judged place, index into ReachModel::judged
  MinuteInstant when;
};

// Clocks that settings must stand: as it should be, an hour slow, an hour fast.
inline constexpr int kClockErrors_min[] = {0, -60, 60};

// Tries settings on one reach: calendar, drive and transport in one call. Keeps buffers between calls.
// THREADS: one object, one thread.
class Trial {
 public:
  // `workspace`: another trial's, so that what it holds ready need not be worked out again; else its own.
  Trial(const ControllerForm& form, const Zone& zone, const PlanningNumbers& numbers,
        std::shared_ptr<TransportWorkspace> workspace = std::make_shared<TransportWorkspace>())
      : form_(form), zone_(zone), numbers_(numbers), workspace_(std::move(workspace)) {}

  // Whether every judged place holds the target all through the windows, with the clock right and an hour out
  // either way. Stops at the first failure.
  //
  // Water older than ln(C0 / target) / k is below the target whatever the walls do, so a warm-up of that
  // length settles it: what is still older than the warm-up has failed.
  bool Holds(const TimerSettings& settings, const ReachModel& model, const std::vector<DateWindow>& windows,
             const std::vector<int>& phases = {});

  // The lowest residual over the window and the clock errors given (minutes fast). The warm-up grows until no
  // water judged was in the reach before it, or until water that old must have less than 0.05 mg/L left, to
  // at most 64 days; what is older still counts as nothing left.
  //
  // `warm_up_days`: the warm-up to try first, set to what would have done; the low does not depend on it.
  Low Lowest(const TimerSettings& settings, const ReachModel& model, DateWindow window,
             std::span<const int> clock_errors_min, const std::vector<int>& phases = {},
             int* warm_up_days = nullptr);

  const PlanningNumbers& numbers() const { return numbers_; }
  const ControllerForm& form() const { return form_; }
  const Zone& zone() const { return zone_; }
  ClockState Clock(int fast_minutes) const {
    return {form_.follows_clock_change.value_or(false), fast_minutes};
  }
  const std::shared_ptr<TransportWorkspace>& workspace() const { return workspace_; }
  size_t trials() const { return trials_; }

 private:
  struct Judged {
    Low low;
    bool saw_initial = false;
    double greatest_age_s = 0;
  };
  Judged Judge(const TimerSettings& settings, const ReachModel& model, DateWindow window, int fast_minutes,
               int warm_up_days, const std::vector<int>& phases);

  ControllerForm form_;
  Zone zone_;
  PlanningNumbers numbers_;
  std::shared_ptr<TransportWorkspace> workspace_;
  std::vector<TapLow> lows_;
  size_t trials_ = 0;
};

}  // namespace lastreach
