#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/result.h"
#include "together/choice_programme.h"
#include "together/pressure_judge.h"
#include "together/together_devices.h"

namespace lastreach {

struct StaggerOptions {
  // Change the answer.
  bool standard_time = true;  // whether the season has days of each
  bool summer_time = false;
  int clock_off_min = 60;                // how far a clock may be out
  double move_costs_m3_per_day = 0.001;  // a device is moved from what was wished to save more than this
  ClockCare least_care = ClockCare::kAllRight;  // less careful answers are not looked for
  // Change the speed, and how near to the least water the answer is proven to be.
  double gap = 0.001;        // share of the water
  size_t exact_up_to = 12;   // devices that share limits: with more, room at a place is lessened where sums
                             // of drops promised too much (pressure_limits.h)
  int rounds = 40;           // of choosing and judging
  int nodes = 2000;          // of the search tree, a round
  double seconds = 20;       // of processor time, a round
  double all_seconds = 120;  // by the clock: no round of the integer programme begins after that
};

struct StaggerSummary {
  size_t groups = 0;  // of devices that share limits
  size_t largest_group = 0;
  size_t places = 0;      // whose pressure the programmes looked after
  size_t sets = 0;        // of devices found to break a limit though their drops add up to less
  bool lessened = false;  // whether room at a place was lessened: choices that hold may be kept out
  size_t rows = 0;        // of the last programme of each group
  int rounds = 0;
  double total_s = 0;  // wall time
};

// Why some devices cannot all run.
struct StaggerConflict {
  std::vector<std::string> devices;  // the fewest that cannot, by code
  std::vector<std::string> limits;   // the fewest that forbid it, in words
  bool proven = false;               // else no way was found, which does not prove there is none
  std::string Words() const;
};

struct StaggerAnswer {
  std::vector<std::optional<uint32_t>> way;  // of each device; none in a group with a conflict
  ClockCare care = ClockCare::kAllRight;     // kept by all that have a way
  std::vector<ClockCare> care_of;            // of each device: among those it shares limits with
  double water_m3_per_day = 0;               // of those that have a way
  double bound_m3_per_day = 0;               // no choice that keeps the limits with the same care has less
  int moved = 0;                             // from what was wished
  std::vector<StaggerConflict> conflicts;
  std::vector<std::string> cautions;
  StaggerSummary summary;
  bool Found() const { return conflicts.empty(); }
};

// One way for each device such that what they do together keeps every limit at every minute: pressure as
// solved (`judge`; none to leave it out), and devices or flow open at once; with the least water, then the
// fewest moved.
//
// Clocks: tried first with every clock up to `clock_off_min` out either way; where no choice keeps that, with
// any one out and the others right; then all right. `care` says which was reached.
// Ways on odd or even dates or every N days may meet any day's; ways on weekdays their own days'.
// Method: docs/theory/together.md. The answer is judged minute by minute and by solved states, whatever the
// integer programme says. DETERMINISM: but for the two limits in seconds, the same answer on every machine.
// ERROR: kBadRequest where a device has no way at all or the judge knows other devices.
Result<StaggerAnswer> Stagger(const std::vector<TogetherDevice>& devices,
                              const std::vector<MostAtOnce>& limits, PressureJudge* judge,
                              const StaggerOptions& options = {},
                              const std::vector<NotTogether>& conflicts = {});

// Whether these ways, one a device (none for one that does not run), keep every limit with so much care taken
// of clocks: minute by minute, and by solved states. Nothing of how they were chosen is used.
Result<bool> KeepsTogether(const std::vector<TogetherDevice>& devices,
                           const std::vector<std::optional<uint32_t>>& way,
                           const std::vector<MostAtOnce>& limits, PressureJudge* judge, ClockCare care,
                           const StaggerOptions& options = {},
                           const std::vector<NotTogether>& conflicts = {});

}  // namespace lastreach
