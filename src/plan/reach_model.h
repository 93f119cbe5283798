#pragma once

#include <array>
#include <memory>
#include <optional>
#include <vector>

#include "calendar/runs.h"
#include "core/zone.h"
#include "plan/numbers.h"
#include "quality/branch.h"
#include "quality/kinetics.h"

namespace lastreach {

// Share of the day's average that households draw in each local hour, average 1. From memory: the two humps
// of a residential day; about a third of the average in the small hours.
inline constexpr double kHouseholdHours[24] = {0.40, 0.32, 0.28, 0.28, 0.35, 0.65, 1.25, 1.70,
                                               1.55, 1.25, 1.10, 1.05, 1.05, 1.00, 0.95, 1.00,
                                               1.15, 1.40, 1.60, 1.60, 1.40, 1.15, 0.88, 0.64};

inline constexpr int kEveryTap = 1 << 20;

// One device's reach under one draw of its uncertain numbers, ready for transport.
struct ReachModel {
  Branch branch;
  Kinetics kinetics;
  std::vector<size_t> judged;  // segments at whose downstream end the residual counts: the services, or the
                               // end alone where there are none
  std::vector<size_t> last_segment;  // of each pipe
  std::vector<int> service_number;   // of each judged segment, 1 nearest the main; 0 for the end
  double flow_m3_per_s = 0;
  double upstream_mg_per_l = 0;                            // the highest that ever enters
  std::optional<std::array<double, 24>> upstream_by_hour;  // lowest in each local hour, where it moves
  // What draws beside: `beside_numbers`' settings, each with the segment it leaves at and its flow here.
  struct Beside {
    size_t segment = 0;
    double flow_m3_per_s = 0;
    double mean_m3_per_s = 0;  // over the season
  };
  std::shared_ptr<const std::vector<BesideNumbers>> beside_numbers;
  std::vector<Beside> beside;
  double slowest_loss_per_s = 0;  // no water loses less than this: the bulk's
};

// Services of a pipe stand evenly along it, the last at its downstream end; each draws an equal share of the
// pipe's demand there. With more than `most_taps` services neighbours draw together, at the place of the last
// of them: fewer segments, and water a little fresher than it is, so what such a model finds is confirmed
// with all.
ReachModel ModelReach(const PlanningNumbers& numbers, const Deviates& deviates, int most_taps = kEveryTap);

// The flows of the reach between two moments: households by the local hour, the device by its runs, devices
// beside by theirs. The residual that enters is, where it differs by the hour, never above the lowest of the
// hour it is in: a broken line through the lower of two hours at each turn of the hour.
// REQUIRES: runs in order, not overlapping; begin < end, whole minutes.
BranchDrive DriveOf(const ReachModel& model, const std::vector<Run>& runs, const Zone& zone,
                    MinuteInstant begin, MinuteInstant end);

}  // namespace lastreach
