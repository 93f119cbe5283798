#include "report/figures.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace lastreach {
namespace {

std::string Fixed(double value, int decimals) {
  char text[64];
  std::snprintf(text, sizeof text, "%.*f", decimals, value);
  return text;
}

std::string WithThousands(std::string text) {
  const size_t point = std::min(text.find('.'), text.size());
  const size_t first_digit = text.starts_with('-') ? 1 : 0;
  for (size_t at = point; at > first_digit + 3;) {
    at -= 3;
    text.insert(at, ",");
  }
  return text;
}

std::string Digits(double value, int digits) {
  if (!std::isfinite(value)) return "not known";
  if (value == 0) return "0";
  const int exponent = static_cast<int>(std::floor(std::log10(std::abs(value))));
  const double unit = std::pow(10.0, exponent - digits + 1);
  std::string text = Fixed(std::round(value / unit) * unit, std::clamp(digits - 1 - exponent, 0, 9));
  if (text.find('.') != std::string::npos) {
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
  }
  return WithThousands(text);
}

}  // namespace

std::string ThreeDigits(double value) { return Digits(value, 3); }
std::string ToTwoDigits(double value) { return Digits(value, 2); }

std::string ResidualNumber(double mg_per_l) {
  if (!std::isfinite(mg_per_l)) return "not known";
  return mg_per_l < 0.05 ? "under 0.1" : Fixed(mg_per_l, 1);
}

std::string ResidualNumber(double mg_per_l, double target_mg_per_l) {
  const std::string text = ResidualNumber(mg_per_l);
  const bool would_seem_to_meet_it = mg_per_l < target_mg_per_l && text == ResidualNumber(target_mg_per_l);
  return would_seem_to_meet_it && !text.starts_with("under") ? "just under " + text : text;
}

std::string ResidualText(double mg_per_l) { return ResidualNumber(mg_per_l) + " mg/L"; }
std::string ResidualText(double mg_per_l, double target_mg_per_l) {
  return ResidualNumber(mg_per_l, target_mg_per_l) + " mg/L";
}

std::string VolumeText(Volume volume, SheetUnits units) {
  if (units == SheetUnits::kUs) return ThreeDigits(volume.gallons()) + " gal";
  if (volume.cubic_metres() >= 10) return ThreeDigits(volume.cubic_metres()) + " m³";
  return ThreeDigits(volume.litres()) + " L";
}

std::string FlowText(Flow flow, SheetUnits units) {
  if (units == SheetUnits::kUs) return ThreeDigits(flow.gallons_per_minute()) + " gpm";
  return ThreeDigits(flow.litres_per_second()) + " L/s";
}

std::string WaterNumber(double m3, SheetUnits units) {
  return ThreeDigits(units == SheetUnits::kUs ? Volume::CubicMetres(m3).gallons() : m3);
}
std::string WaterUnit(SheetUnits units) { return units == SheetUnits::kUs ? "gal" : "m³"; }
std::string WaterText(double m3, SheetUnits units) { return WaterNumber(m3, units) + " " + WaterUnit(units); }

std::string RoughWaterNumber(double m3, SheetUnits units) {
  return ToTwoDigits(units == SheetUnits::kUs ? Volume::CubicMetres(m3).gallons() : m3);
}
std::string WaterUnitInSpeech(SheetUnits units) { return units == SheetUnits::kUs ? "gallons" : "m³"; }
std::string WaterInSpeech(double m3, SheetUnits units) {
  return RoughWaterNumber(m3, units) + " " + WaterUnitInSpeech(units);
}

std::string LengthText(double length_m, SheetUnits units) {
  if (units == SheetUnits::kUs) return ThreeDigits(Length::Metres(length_m).feet()) + " ft";
  return ThreeDigits(length_m) + " m";
}

std::string PressureText(double pressure_m, SheetUnits units) {
  const Pressure pressure = Pressure::MetresOfWater(pressure_m);
  if (units == SheetUnits::kUs) return Fixed(pressure.pounds_per_square_inch(), 0) + " psi";
  return Fixed(pressure_m, 0) + " m";
}

std::string TemperatureText(double temperature_c, SheetUnits units) {
  if (units == SheetUnits::kUs) return Fixed(Temperature::Celsius(temperature_c).fahrenheit(), 0) + " °F";
  return Fixed(temperature_c, 0) + " °C";
}

std::string SurenessText(double share) {
  if (!std::isfinite(share)) return "not known";
  if (share >= 0.995) return "over 99 %";
  if (share < 0.005) return "under 1 %";
  return Fixed(100 * share, 0) + " %";
}

}  // namespace lastreach
