#pragma once

#include <compare>

namespace lastreach {

// Quantities are built by unit and read by unit, and nothing else:
//
//   const Flow flow = Flow::GallonsPerMinute(60);
//   flow.litres_per_second();            // 3.785...
//   Length l = 300.0;                    // does not compile
//   Diameter d = Length::Metres(0.15);   // does not compile: a pipe's length is not its width
//
// Inside they hold SI. They are for the edges (import, sheets, screens); the inner loops use plain
// doubles whose names carry the unit.
//
// SOURCE: inch, pound and US gallon as defined exactly in NIST SP 811 (2008), Appendix B:
// 1 in = 0.0254 m, 1 US gal = 231 in3, 1 imperial gal = 4.54609 L, 1 psi = 6894.757 Pa.
inline constexpr double kMetresPerInch = 0.0254;
inline constexpr double kMetresPerFoot = 12 * kMetresPerInch;
inline constexpr double kCubicMetresPerGallon = 231 * kMetresPerInch * kMetresPerInch * kMetresPerInch;
inline constexpr double kCubicMetresPerImperialGallon = 4.54609e-3;
inline constexpr double kCubicMetresPerCubicFoot = kMetresPerFoot * kMetresPerFoot * kMetresPerFoot;
inline constexpr double kSecondsPerMinute = 60;
inline constexpr double kSecondsPerHour = 3600;
inline constexpr double kSecondsPerDay = 86400;
inline constexpr double kStandardGravity_m_per_s2 = 9.80665;
inline constexpr double kNewtonsPerPoundForce = 0.45359237 * kStandardGravity_m_per_s2;
inline constexpr double kPascalsPerPsi = kNewtonsPerPoundForce / (kMetresPerInch * kMetresPerInch);
// Water at 1000 kg/m3, the convention behind "metres of head".
inline constexpr double kPascalsPerMetreOfWater = 1000 * kStandardGravity_m_per_s2;

namespace internal {

// Arithmetic that keeps the kind: sums and differences of one kind, scaling, and the ratio of two.
template <typename Derived>
class Quantity {
 public:
  friend constexpr auto operator<=>(const Quantity&, const Quantity&) = default;
  friend constexpr Derived operator+(Derived a, Derived b) { return Derived(Raw{a.si_ + b.si_}); }
  friend constexpr Derived operator-(Derived a, Derived b) { return Derived(Raw{a.si_ - b.si_}); }
  friend constexpr Derived operator*(Derived a, double factor) { return Derived(Raw{a.si_ * factor}); }
  friend constexpr Derived operator*(double factor, Derived a) { return a * factor; }
  friend constexpr Derived operator/(Derived a, double divisor) { return Derived(Raw{a.si_ / divisor}); }
  friend constexpr double operator/(Derived a, Derived b) { return a.si_ / b.si_; }

 protected:
  struct Raw {
    double si;
  };
  constexpr Quantity() = default;
  constexpr explicit Quantity(Raw raw) : si_(raw.si) {}
  double si_ = 0;
};

}  // namespace internal

class Length : public internal::Quantity<Length> {
 public:
  constexpr Length() = default;
  static constexpr Length Metres(double x) { return Length(Raw{x}); }
  static constexpr Length Feet(double x) { return Length(Raw{x * kMetresPerFoot}); }
  constexpr double metres() const { return si_; }
  constexpr double feet() const { return si_ / kMetresPerFoot; }

 private:
  friend class internal::Quantity<Length>;
  using Quantity::Quantity;
};

class Diameter : public internal::Quantity<Diameter> {
 public:
  constexpr Diameter() = default;
  static constexpr Diameter Millimetres(double x) { return Diameter(Raw{x / 1000}); }
  static constexpr Diameter Inches(double x) { return Diameter(Raw{x * kMetresPerInch}); }
  constexpr double metres() const { return si_; }
  constexpr double millimetres() const { return si_ * 1000; }
  constexpr double inches() const { return si_ / kMetresPerInch; }

 private:
  friend class internal::Quantity<Diameter>;
  using Quantity::Quantity;
};

class Duration : public internal::Quantity<Duration> {
 public:
  constexpr Duration() = default;
  static constexpr Duration Seconds(double x) { return Duration(Raw{x}); }
  static constexpr Duration Minutes(double x) { return Duration(Raw{x * kSecondsPerMinute}); }
  static constexpr Duration Hours(double x) { return Duration(Raw{x * kSecondsPerHour}); }
  static constexpr Duration Days(double x) { return Duration(Raw{x * kSecondsPerDay}); }
  constexpr double seconds() const { return si_; }
  constexpr double minutes() const { return si_ / kSecondsPerMinute; }
  constexpr double hours() const { return si_ / kSecondsPerHour; }
  constexpr double days() const { return si_ / kSecondsPerDay; }

 private:
  friend class internal::Quantity<Duration>;
  using Quantity::Quantity;
};

class Volume : public internal::Quantity<Volume> {
 public:
  constexpr Volume() = default;
  static constexpr Volume CubicMetres(double x) { return Volume(Raw{x}); }
  static constexpr Volume Litres(double x) { return Volume(Raw{x / 1000}); }
  static constexpr Volume Gallons(double x) { return Volume(Raw{x * kCubicMetresPerGallon}); }
  static constexpr Volume ImperialGallons(double x) { return Volume(Raw{x * kCubicMetresPerImperialGallon}); }
  static constexpr Volume CubicFeet(double x) { return Volume(Raw{x * kCubicMetresPerCubicFoot}); }
  constexpr double cubic_metres() const { return si_; }
  constexpr double litres() const { return si_ * 1000; }
  constexpr double gallons() const { return si_ / kCubicMetresPerGallon; }
  constexpr double imperial_gallons() const { return si_ / kCubicMetresPerImperialGallon; }
  constexpr double cubic_feet() const { return si_ / kCubicMetresPerCubicFoot; }

 private:
  friend class internal::Quantity<Volume>;
  using Quantity::Quantity;
};

class Flow : public internal::Quantity<Flow> {
 public:
  constexpr Flow() = default;
  static constexpr Flow CubicMetresPerSecond(double x) { return Flow(Raw{x}); }
  static constexpr Flow CubicMetresPerHour(double x) { return Flow(Raw{x / kSecondsPerHour}); }
  static constexpr Flow CubicMetresPerDay(double x) { return Flow(Raw{x / kSecondsPerDay}); }
  static constexpr Flow LitresPerSecond(double x) { return Flow(Raw{x / 1000}); }
  static constexpr Flow LitresPerMinute(double x) { return Flow(Raw{x / 1000 / kSecondsPerMinute}); }
  static constexpr Flow GallonsPerMinute(double x) {
    return Flow(Raw{x * kCubicMetresPerGallon / kSecondsPerMinute});
  }
  static constexpr Flow GallonsPerDay(double x) {
    return Flow(Raw{x * kCubicMetresPerGallon / kSecondsPerDay});
  }
  constexpr double cubic_metres_per_second() const { return si_; }
  constexpr double cubic_metres_per_hour() const { return si_ * kSecondsPerHour; }
  constexpr double cubic_metres_per_day() const { return si_ * kSecondsPerDay; }
  constexpr double litres_per_second() const { return si_ * 1000; }
  constexpr double litres_per_minute() const { return si_ * 1000 * kSecondsPerMinute; }
  constexpr double gallons_per_minute() const { return si_ * kSecondsPerMinute / kCubicMetresPerGallon; }
  constexpr double gallons_per_day() const { return si_ * kSecondsPerDay / kCubicMetresPerGallon; }

 private:
  friend class internal::Quantity<Flow>;
  using Quantity::Quantity;
};

class Pressure : public internal::Quantity<Pressure> {
 public:
  constexpr Pressure() = default;
  static constexpr Pressure Pascals(double x) { return Pressure(Raw{x}); }
  static constexpr Pressure Kilopascals(double x) { return Pressure(Raw{x * 1000}); }
  static constexpr Pressure Bar(double x) { return Pressure(Raw{x * 1e5}); }
  static constexpr Pressure PoundsPerSquareInch(double x) { return Pressure(Raw{x * kPascalsPerPsi}); }
  static constexpr Pressure MetresOfWater(double x) { return Pressure(Raw{x * kPascalsPerMetreOfWater}); }
  constexpr double pascals() const { return si_; }
  constexpr double kilopascals() const { return si_ / 1000; }
  constexpr double bar() const { return si_ / 1e5; }
  constexpr double pounds_per_square_inch() const { return si_ / kPascalsPerPsi; }
  constexpr double metres_of_water() const { return si_ / kPascalsPerMetreOfWater; }

 private:
  friend class internal::Quantity<Pressure>;
  using Quantity::Quantity;
};

// Mass per volume of water. 1 mg/L is what the trade also calls 1 ppm.
class Concentration : public internal::Quantity<Concentration> {
 public:
  constexpr Concentration() = default;
  static constexpr Concentration MilligramsPerLitre(double x) { return Concentration(Raw{x * 1e-3}); }
  static constexpr Concentration MicrogramsPerLitre(double x) { return Concentration(Raw{x * 1e-6}); }
  constexpr double milligrams_per_litre() const { return si_ * 1e3; }
  constexpr double micrograms_per_litre() const { return si_ * 1e6; }

 private:
  friend class internal::Quantity<Concentration>;  // held in kg/m3
  using Quantity::Quantity;
};

// A point on the temperature scale, so it has order but no sums: 20 C + 20 C means nothing.
class Temperature {
 public:
  constexpr Temperature() = default;
  static constexpr Temperature Kelvin(double x) { return Temperature(x); }
  static constexpr Temperature Celsius(double x) { return Temperature(x + kZeroCelsius_k); }
  static constexpr Temperature Fahrenheit(double x) { return Celsius((x - 32) / 1.8); }
  constexpr double kelvin() const { return kelvin_; }
  constexpr double celsius() const { return kelvin_ - kZeroCelsius_k; }
  constexpr double fahrenheit() const { return celsius() * 1.8 + 32; }
  friend constexpr auto operator<=>(const Temperature&, const Temperature&) = default;

 private:
  static constexpr double kZeroCelsius_k = 273.15;
  constexpr explicit Temperature(double kelvin) : kelvin_(kelvin) {}
  double kelvin_ = kZeroCelsius_k;
};

constexpr Volume operator*(Flow flow, Duration time) {
  return Volume::CubicMetres(flow.cubic_metres_per_second() * time.seconds());
}
constexpr Volume operator*(Duration time, Flow flow) { return flow * time; }
constexpr Duration operator/(Volume volume, Flow flow) {
  return Duration::Seconds(volume.cubic_metres() / flow.cubic_metres_per_second());
}
constexpr Flow operator/(Volume volume, Duration time) {
  return Flow::CubicMetresPerSecond(volume.cubic_metres() / time.seconds());
}

// Water held by a full circular pipe, V = pi d^2 L / 4.
constexpr Volume PipeVolume(Length length, Diameter inner) {
  constexpr double kPi = 3.14159265358979323846;
  return Volume::CubicMetres(kPi / 4 * inner.metres() * inner.metres() * length.metres());
}

}  // namespace lastreach
