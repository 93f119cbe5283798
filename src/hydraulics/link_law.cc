#include "hydraulics/link_law.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

#include "core/quantity.h"

namespace lastreach {
namespace {

Error Lacks(const Link& link, const char* what, const char* column) {
  return BadInput(
      std::string(ToText(link.kind)) + " '" + link.id + "' has no " + what + ", and it is needed here",
      {"links.csv", {}, column, ""});
}

Result<LinkLaw> PipeLaw(const Link& link, const NetworkOptions& options) {
  const double length_m = link.length_m.value;
  if (!link.inner_diameter_m && (length_m > 0 || link.minor_loss > 0)) {
    return Lacks(link, "diameter", "diameter_mm");
  }
  if (!link.roughness && length_m > 0) return Lacks(link, "roughness", "roughness");
  LinkLaw law;
  law.pipe = PipeLossOf({.length_m = length_m,
                         .inner_diameter_m = link.inner_diameter_m ? link.inner_diameter_m->value : 0,
                         .roughness = link.roughness ? link.roughness->value : 0,
                         .minor_loss = link.minor_loss},
                        options);
  if (link.kind == LinkKind::kCheck) law.lower_m3_per_s = 0;
  return law;
}

Result<LinkLaw> PumpLaw(const Link& link) {
  if (!link.pump) return Lacks(link, "curve", "shutoff_head_m");
  const PumpCurve& curve = *link.pump;
  LinkLaw law;
  law.offset_m = -curve.shutoff_head_m;
  law.square_s2_per_m5 = (curve.shutoff_head_m - curve.design_head_m) /
                         (curve.design_flow_m3_per_s * curve.design_flow_m3_per_s);
  law.linear_s_per_m2 = kLeastSlope_s_per_m2;
  law.lower_m3_per_s = 0;
  return law;
}

Result<LinkLaw> ValveLaw(const Link& link) {
  if (!link.setting) return Lacks(link, "setting", "setting_m");
  if (link.minor_loss > 0 && !link.inner_diameter_m) return Lacks(link, "diameter", "diameter_mm");
  LinkLaw law;
  if (link.minor_loss > 0) {
    law.square_s2_per_m5 = MinorCoefficient(link.minor_loss, link.inner_diameter_m->value);
  }
  law.linear_s_per_m2 = kLeastSlope_s_per_m2;
  if (link.kind == LinkKind::kLimiting) {
    law.upper_m3_per_s = *link.setting;
  } else {
    law.lower_m3_per_s = 0;
  }
  return law;
}

// A link that resists nothing loses what its least slope does; the offset gives that back. What the head was
// off is too little to move any flow.
double MoveOffset(LinkLaw& law, double flow) {
  constexpr double kNothing_m = 1e-10;
  if (!law.resists_nothing) return 0;
  const double off_m = std::abs(law.offset_m + law.linear_s_per_m2 * flow);
  law.offset_m = -law.linear_s_per_m2 * flow;
  return off_m > kNothing_m ? off_m : 0;
}

}  // namespace

LossAndSlope LossOf(const LinkLaw& law, double flow) {
  LossAndSlope loss = LossOf(law.pipe, flow);
  const double square = law.square_s2_per_m5 * std::abs(flow);
  loss.head_m += law.offset_m + (square + law.linear_s_per_m2) * flow;
  loss.slope_s_per_m2 += 2 * square + law.linear_s_per_m2;
  const double up = law.push_up_m + kWall_s_per_m2 * (law.lower_m3_per_s - flow);
  const double down = law.push_down_m + kWall_s_per_m2 * (flow - law.upper_m3_per_s);
  if (up > 0) {
    loss.head_m -= up;
    loss.slope_s_per_m2 += kWall_s_per_m2;
  }
  if (down > 0) {
    loss.head_m += down;
    loss.slope_s_per_m2 += kWall_s_per_m2;
  }
  return loss;
}

double ChordOf(const PipeLoss& pipe, double flow, const LossAndSlope& at, double drive_m) {
  // Nearer than this the slope is as good; below this head the law is no plain power.
  constexpr double kApart = 0.02;
  constexpr double kLeastDrive_m = 1e-6;
  const bool is_plain = pipe.kind == HeadLoss::kHazenWilliams && pipe.friction > 0;
  if (!is_plain || std::abs(drive_m) <= kLeastDrive_m) return at.slope_s_per_m2;
  const double driven = std::copysign(std::pow(std::abs(drive_m) / pipe.friction, 1 / 1.852), drive_m);
  if (std::abs(driven - flow) <= kApart * std::abs(flow)) return at.slope_s_per_m2;
  return std::max(kLeastSlope_s_per_m2, (at.head_m - drive_m) / (flow - driven));
}

double MovePushes(LinkLaw& law, double flow) {
  if (law.is_out) return 0;
  const double outside = std::max({0.0, law.lower_m3_per_s - flow, flow - law.upper_m3_per_s});
  const double up = law.push_up_m + kWall_s_per_m2 * (law.lower_m3_per_s - flow);
  const double down = law.push_down_m + kWall_s_per_m2 * (flow - law.upper_m3_per_s);
  // A push that is still there though the flow has left the bound is as wrong as a flow beyond it.
  const double slack = std::max(law.push_up_m > 0 ? flow - law.lower_m3_per_s : 0.0,
                                law.push_down_m > 0 ? law.upper_m3_per_s - flow : 0.0);
  law.push_up_m = std::max(0.0, up);
  law.push_down_m = std::max(0.0, down);
  return std::max({outside, slack, MoveOffset(law, flow)});
}

void Shut(LinkLaw& law) {
  law.lower_m3_per_s = 0;
  law.upper_m3_per_s = 0;
}

Result<LinkLaw> LawOf(const Link& link, const NetworkOptions& options) {
  switch (link.kind) {
    case LinkKind::kPipe:
    case LinkKind::kCheck:
      return PipeLaw(link, options);
    case LinkKind::kPump:
      return PumpLaw(link);
    case LinkKind::kReducing:
    case LinkKind::kSustaining:
    case LinkKind::kLimiting:
      return ValveLaw(link);
    case LinkKind::kClosed:
      break;
  }
  LinkLaw law;
  law.linear_s_per_m2 = kLeastSlope_s_per_m2;
  Shut(law);
  return law;
}

double OpeningConductance(double diameter_m, double coefficient) {
  return coefficient * std::numbers::pi / 4 * diameter_m * diameter_m *
         std::sqrt(2 * kStandardGravity_m_per_s2);
}

LinkLaw LawOfOpening(double conductance) {
  LinkLaw law;
  law.square_s2_per_m5 = 1 / (conductance * conductance);
  law.linear_s_per_m2 = kLeastSlope_s_per_m2;
  law.lower_m3_per_s = 0;
  return law;
}

LinkLaw LawOfDemand(double demand, const ShortPressure& pressure) {
  LinkLaw law;
  law.offset_m = pressure.none_below_m;
  law.square_s2_per_m5 = (pressure.full_above_m - pressure.none_below_m) / (demand * demand);
  law.linear_s_per_m2 = kLeastSlope_s_per_m2;
  law.lower_m3_per_s = 0;
  law.upper_m3_per_s = demand;
  return law;
}

LinkLaw LawOfTank() {
  LinkLaw law;
  law.linear_s_per_m2 = kLeastSlope_s_per_m2;
  law.resists_nothing = true;
  return law;
}

}  // namespace lastreach
