#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

#include "quality/branch.h"

namespace lastreach {

// Demand as it comes: each use of water is a rectangular pulse, pulses arrive at random (Poisson), the more
// the busier the hour, with log-normal intensity and duration. Many homes at one tap make one such process
// with their arrivals added. SOURCE: Buchberger & Wu, J. Hydraul. Eng. 121(3), 232-246, 1995; the numbers of
// one household: Zhang, Savic, Xu et al., Environ. Sci. Ecotechnol. 18, 100317, 2023.
struct PulseLaw {
  double per_household_per_day = 91;
  double intensity_mean_m3_per_s = 0.346 / 3600;
  double intensity_deviation_m3_per_s = 0.292 / 3600;
  double duration_mean_s = 40;
  double duration_deviation_s = 55;
};

// What the flow of one household does on average over a day, arrivals at their mean rate lambda:
//   mean = lambda E[D] E[I],   variance = lambda E[D] E[I^2],   no flow exp(-lambda E[D]) of the time
// exactly, as for any Poisson arrivals of independent pulses.
struct PulseMoments {
  double mean_m3_per_s = 0;
  double variance_m6_per_s2 = 0;
  double no_flow_share = 0;
};
PulseMoments HouseholdMoments(const PulseLaw& law);

struct Pulse {
  double begin_s = 0;
  double end_s = 0;
  double flow_m3_per_s = 0;
};

// The pulses at one tap whose average draw is `mean_m3_per_s` x factor[i] over [time_s[i], time_s[i + 1]):
// arrivals are as many as that takes. In order of begin. Those that began up to an hour before time_s[0] are
// there with what is left of them, so that the draw is as random at the start as later; at the end they are
// cut. The same name and tap give the same pulses on every machine: times are rounded to milliseconds, flows
// to microlitres a second, far coarser than what C libraries differ by.
// REQUIRES: time_s strictly increasing, of factor.size() + 1 > 1 entries; mean and factors >= 0; means of the
// law above 0, deviations 0 or more.
std::vector<Pulse> DrawPulses(const PulseLaw& law, double mean_m3_per_s, std::span<const double> time_s,
                              std::span<const double> factor, std::string_view name, uint64_t tap);

// The draw of a tap from a moment on.
struct DrawChange {
  double time_s = 0;
  uint32_t tap = 0;
  double draw_m3_per_s = 0;
};

// The pulses of all taps of a branch as changes in order of time, taps without average draw left out. Each
// tap's average draw is followed with the drive's demand factors as hourly factors. What no pulse is open for
// is exactly 0. REQUIRES: CheckBranch(branch) and CheckDrive(drive) hold.
std::vector<DrawChange> DrawDemand(const PulseLaw& law, const Branch& branch, const BranchDrive& drive,
                                   std::string_view name);

}  // namespace lastreach
