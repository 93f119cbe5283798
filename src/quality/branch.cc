#include "quality/branch.h"

#include <cmath>
#include <numbers>
#include <span>
#include <string>
#include <string_view>

namespace lastreach {
namespace {

std::string Numbered(std::string_view kind, std::size_t number) {
  return std::string(kind) + " " + std::to_string(number);
}

Error Refused(std::string_view what, const std::string& where, double value) {
  return BadInput(where + ": " + std::string(what), {"", {}, "", std::to_string(value)});
}

// Zero or more and finite; NaN fails the comparison.
bool IsAmount(double value) { return value >= 0 && std::isfinite(value); }

Status CheckAmounts(std::span<const double> values, std::size_t size, std::string_view name) {
  if (values.size() != size) {
    return BadInput(std::string(name) + " has " + std::to_string(values.size()) + " values where " +
                    std::to_string(size) + " are needed");
  }
  for (std::size_t i = 0; i < size; ++i) {
    if (!IsAmount(values[i]))
      return Refused(std::string(name) + " must be 0 or more", Numbered("step", i), values[i]);
  }
  return Ok();
}

}  // namespace

double BranchSegment::volume_m3() const { return std::numbers::pi / 4 * diameter_m * diameter_m * length_m; }

Status CheckBranch(const Branch& branch) {
  if (branch.segments.empty()) return BadInput("a branch needs at least one segment");
  for (std::size_t j = 0; j < branch.segments.size(); ++j) {
    const BranchSegment& segment = branch.segments[j];
    const std::string where = Numbered("segment", j + 1);
    if (!IsAmount(segment.length_m) || segment.length_m == 0) {
      return Refused("length must be above 0", where, segment.length_m);
    }
    if (!IsAmount(segment.diameter_m) || segment.diameter_m == 0) {
      return Refused("diameter must be above 0", where, segment.diameter_m);
    }
    if (!IsAmount(segment.tap_demand_m3_per_s)) {
      return Refused("demand must be 0 or more", where, segment.tap_demand_m3_per_s);
    }
    if (!IsAmount(segment.bulk_per_s))
      return Refused("bulk loss must be 0 or more", where, segment.bulk_per_s);
    if (!IsAmount(segment.wall_m_per_s))
      return Refused("wall loss must be 0 or more", where, segment.wall_m_per_s);
  }
  return Ok();
}

Status CheckDrive(const BranchDrive& drive) {
  const std::size_t steps = drive.steps();
  if (steps == 0 || drive.time_s.size() != steps + 1) {
    return BadInput("a drive of " + std::to_string(steps) + " steps has " +
                    std::to_string(drive.time_s.size()) +
                    " times; it needs one more than it has steps, and at least one step");
  }
  for (std::size_t i = 0; i < steps; ++i) {
    if (!(drive.time_s[i] < drive.time_s[i + 1]) || !std::isfinite(drive.time_s[i + 1] - drive.time_s[i])) {
      return Refused("times must grow", Numbered("step", i), drive.time_s[i + 1]);
    }
  }
  for (Status status : {CheckAmounts(drive.demand_factor, steps, "demand_factor"),
                        CheckAmounts(drive.end_flow_m3_per_s, steps, "end_flow_m3_per_s"),
                        CheckAmounts(drive.bulk_factor, drive.bulk_factor.empty() ? 0 : steps, "bulk_factor"),
                        CheckAmounts(drive.root_mg_per_l, steps + 1, "root_mg_per_l")}) {
    if (!status.ok()) return status;
  }
  if (!IsAmount(drive.initial_mg_per_l)) {
    return BadInput("initial residual must be 0 or more",
                    {"", {}, "", std::to_string(drive.initial_mg_per_l)});
  }
  for (std::size_t k = 0; k < drive.side_draws.size(); ++k) {
    if (Status status =
            CheckAmounts(drive.side_draws[k].flow_m3_per_s, steps, "flow of " + Numbered("side draw", k + 1));
        !status.ok()) {
      return status;
    }
  }
  return Ok();
}

Status CheckDrive(const BranchDrive& drive, const Branch& branch) {
  for (std::size_t k = 0; k < drive.side_draws.size(); ++k) {
    if (drive.side_draws[k].segment >= branch.segments.size()) {
      return BadInput(Numbered("side draw", k + 1) + " leaves at segment " +
                      std::to_string(drive.side_draws[k].segment + 1) + " of " +
                      std::to_string(branch.segments.size()));
    }
  }
  return CheckDrive(drive);
}

}  // namespace lastreach
