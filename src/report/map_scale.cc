#include "report/map_scale.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

namespace lastreach {
namespace {

constexpr size_t kSteps = 6;
using Inks = std::array<Ink, kSteps>;  // from the best to the worst
constexpr Inks kSandToPlum = {{{0.81, 0.73, 0.57},
                               {0.81, 0.58, 0.31},
                               {0.77, 0.40, 0.16},
                               {0.66, 0.22, 0.15},
                               {0.47, 0.13, 0.19},
                               {0.26, 0.06, 0.17}}};
constexpr Inks kAquaToNight = {{{0.59, 0.80, 0.73},
                                {0.36, 0.70, 0.68},
                                {0.21, 0.57, 0.65},
                                {0.17, 0.41, 0.57},
                                {0.15, 0.25, 0.45},
                                {0.10, 0.12, 0.29}}};
constexpr Inks kLeafToPine = {{{0.71, 0.78, 0.65},
                               {0.57, 0.68, 0.44},
                               {0.41, 0.57, 0.32},
                               {0.25, 0.44, 0.26},
                               {0.15, 0.31, 0.18},
                               {0.06, 0.17, 0.10}}};
constexpr Inks kLilacToViolet = {{{0.81, 0.74, 0.87},
                                  {0.71, 0.58, 0.81},
                                  {0.61, 0.43, 0.76},
                                  {0.48, 0.29, 0.67},
                                  {0.33, 0.18, 0.53},
                                  {0.17, 0.10, 0.35}}};
constexpr double kThin_pt = 0.9;
constexpr double kWide_pt = 3.0;

// Hours that people count water's age in.
constexpr double kHoursPerDay = 24;
constexpr std::array<double, 13> kAgeSteps_h = {0.25, 0.5, 1, 2, 4, 8, 12, 24, 48, 96, 168, 336, 672};

const Inks& InksOf(MapValue value) {
  switch (value) {
    case MapValue::kAge:
      return kSandToPlum;
    case MapValue::kResidual:
    case MapValue::kAgainstTarget:
      return kAquaToNight;
    case MapValue::kPressure:
      return kLeafToPine;
    case MapValue::kShare:
      return kLilacToViolet;
  }
  return kSandToPlum;
}

std::string Number(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.6g", value);
  return text;
}

// A limit and its unit: hours up to a day, then days.
std::string LimitText(const MapScale& scale, double limit, bool with_unit) {
  switch (scale.value) {
    case MapValue::kAge: {
      const bool days = limit >= kHoursPerDay;
      return days ? Number(limit / kHoursPerDay) + (with_unit ? " d" : "")
                  : Number(limit) + (with_unit ? " h" : "");
    }
    case MapValue::kResidual:
      return Number(limit) + (with_unit ? " mg/L" : "");
    case MapValue::kAgainstTarget:
      if (limit == 0.5) return with_unit ? "half the target" : "half";
      if (limit == 1 && with_unit) return "all of the target";
      return Number(limit) + (with_unit ? " times the target" : "");
    case MapValue::kPressure:
      return Number(limit) + (with_unit ? (scale.units == SheetUnits::kUs ? " psi" : " m") : "");
    case MapValue::kShare:
      return Number(limit) + (with_unit ? " %" : "");
  }
  return {};
}

// Five steps of hours, the last of them below the greatest age, so that the darkest class is met.
std::vector<double> AgeLimits(double greatest_h) {
  constexpr size_t kLimits = kSteps - 1;
  size_t last = kLimits - 1;
  while (last + 1 < kAgeSteps_h.size() && kAgeSteps_h[last + 1] < greatest_h) ++last;
  return {kAgeSteps_h.begin() + static_cast<long>(last + 1 - kLimits),
          kAgeSteps_h.begin() + static_cast<long>(last + 1)};
}

// The least of 1, 2 or 5 times a power of ten that makes no more limits than there are inks for.
double StepFor(double least, double greatest) {
  const double span = std::max(greatest - least, 1e-6 * std::max(1.0, std::abs(greatest)));
  for (double power = std::pow(10, std::floor(std::log10(span / kSteps)));; power *= 10) {
    for (const double digit : {1.0, 2.0, 5.0}) {
      const double step = digit * power;
      const double limits = std::floor(greatest / step - 1e-9) - std::floor(least / step + 1e-9);
      if (limits < kSteps) return step;
    }
  }
}

std::vector<double> RoundLimits(double least, double greatest, std::optional<double> limit) {
  const double step = StepFor(least, greatest);
  std::vector<double> limits;
  for (double i = std::floor(least / step + 1e-9) + 1; i * step < greatest; ++i) limits.push_back(i * step);
  if (!limit || limits.empty() || *limit <= least || *limit >= greatest) return limits;
  // What it is held to is a limit itself, in place of the nearest.
  *std::min_element(limits.begin(), limits.end(),
                    [&](double a, double b) { return std::abs(a - *limit) < std::abs(b - *limit); }) = *limit;
  return limits;
}

}  // namespace

size_t MapScale::ClassOf(double at) const {
  return static_cast<size_t>(std::upper_bound(limits.begin(), limits.end(), at) - limits.begin());
}

double MapScale::BadnessOf(size_t which) const {
  if (limits.empty()) return 0;
  const double share = static_cast<double>(which) / static_cast<double>(limits.size());
  return low_is_bad ? 1 - share : share;
}

Ink MapScale::InkOf(size_t which) const {
  return InksOf(value)[static_cast<size_t>(std::lround(BadnessOf(which) * (kSteps - 1)))];
}

double MapScale::WidthOf_pt(size_t which) const {
  return kThin_pt + (kWide_pt - kThin_pt) * BadnessOf(which);
}

std::string MapScale::LabelOf(size_t which) const {
  if (limits.empty()) return "all";
  if (which == 0) return "under " + LimitText(*this, limits.front(), true);
  if (which == limits.size()) return LimitText(*this, limits.back(), true) + " and over";
  const bool same_unit =
      value != MapValue::kAge || (limits[which - 1] >= kHoursPerDay) == (limits[which] >= kHoursPerDay);
  return LimitText(*this, limits[which - 1], !same_unit) + " to " + LimitText(*this, limits[which], true);
}

MapScale ScaleFor(MapValue value, double least, double greatest, std::optional<double> limit,
                  SheetUnits units) {
  MapScale scale;
  scale.units = units;
  scale.value = value;
  scale.low_is_bad =
      value == MapValue::kResidual || value == MapValue::kAgainstTarget || value == MapValue::kPressure;
  if (value == MapValue::kAgainstTarget) {
    scale.limits = {0.5, 1, 1.5, 2, 3};
    return scale;
  }
  scale.limits = value == MapValue::kAge ? AgeLimits(greatest) : RoundLimits(least, greatest, limit);
  return scale;
}

double PressureOnMap(double pressure_m, SheetUnits units) {
  constexpr double kPsiPerMetre = 9806.65 / 6894.757;
  return units == SheetUnits::kUs ? pressure_m * kPsiPerMetre : pressure_m;
}

}  // namespace lastreach
