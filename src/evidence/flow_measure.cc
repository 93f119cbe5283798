#include "evidence/flow_measure.h"

#include <cmath>
#include <cstdio>
#include <numbers>

namespace lastreach {
namespace {

constexpr double kMeterShare = 0.02;
constexpr double kDrumShare = 0.05;
constexpr double kPitotShare = 0.10;
constexpr double kWatch_s = 0.5;
constexpr double kGaugeSd_psi = 0.5;
constexpr double kDensity_kg_per_m3 = 62.37 * 0.45359237 / (kMetresPerFoot * kMetresPerFoot * kMetresPerFoot);

std::string Say(const char* format, double value) {
  char text[120];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

Status CheckTimed(double volume_m3, double time_s) {
  if (!(volume_m3 > 0)) return BadInput(Say("a volume of %g m3 makes no flow", volume_m3));
  if (!(time_s > 0)) return BadInput(Say("a time of %g s makes no flow", time_s));
  return Ok();
}

}  // namespace

double UsualLogSd(MeasuredBy by) {
  switch (by) {
    case MeasuredBy::kMeter:
      return 0.035;
    case MeasuredBy::kDrum:
      return 0.075;
    case MeasuredBy::kPitot:
      return 0.125;
    case MeasuredBy::kEstimate:
      return 0.40;
  }
  return 0.40;
}

Result<MeasuredFlow> FlowByMeter(Volume before, Volume after, Duration time, Volume dial_step) {
  const double volume_m3 = (after - before).cubic_metres();
  if (const Status timed = CheckTimed(volume_m3, time.seconds()); !timed.ok()) return timed.error();
  // Two readings, each even over a step: a variance of 1/12 of its square each.
  const double dial = dial_step.cubic_metres() * std::sqrt(2.0 / 12) / volume_m3;
  const double sd = std::hypot(kMeterShare, dial, kWatch_s / time.seconds());
  return MeasuredFlow{volume_m3 / time.seconds(), sd, MeasuredBy::kMeter};
}

Result<MeasuredFlow> FlowByDrum(Volume filled, Duration time) {
  if (const Status timed = CheckTimed(filled.cubic_metres(), time.seconds()); !timed.ok())
    return timed.error();
  const double sd = std::hypot(kDrumShare, kWatch_s / time.seconds());
  return MeasuredFlow{filled.cubic_metres() / time.seconds(), sd, MeasuredBy::kDrum};
}

Result<MeasuredFlow> FlowByPitot(Diameter outlet, double coefficient, Pressure pitot) {
  if (!(outlet.metres() > 0))
    return BadInput(Say("an outlet %g mm wide gives no flow", outlet.millimetres()));
  if (!(pitot.pascals() > 0)) {
    return BadInput(Say("a pitot gauge at %g psi gives no flow", pitot.pounds_per_square_inch()));
  }
  if (!(coefficient >= 0.3 && coefficient <= 1))
    return BadInput(Say("an outlet coefficient of %g is not from 0.3 to 1", coefficient));
  const double area_m2 = std::numbers::pi / 4 * outlet.metres() * outlet.metres();
  const double flow = coefficient * area_m2 * std::sqrt(2 * pitot.pascals() / kDensity_kg_per_m3);
  const double gauge = 0.5 * kGaugeSd_psi / pitot.pounds_per_square_inch();
  return MeasuredFlow{flow, std::hypot(kPitotShare, gauge), MeasuredBy::kPitot};
}

double FlowAtPressure_m3_per_s(double flow_m3_per_s, Pressure measured_at, Pressure now) {
  return flow_m3_per_s * std::sqrt(now / measured_at);
}

}  // namespace lastreach
