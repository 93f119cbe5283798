#include "core/quantity.h"

#include <gtest/gtest.h>

#include <type_traits>

namespace lastreach {
namespace {

// SOURCE: unit constants, 1 US gal = 3.785411784 L, 1 ft3 = 7.480519 gal, 1 cfs = 448.8312 gpm,
// 1 psi = 6.894757 kPa (NIST SP 811, 2008, Appendix B). Tolerances are half a unit of the last digit printed.
TEST(Quantity, AgreesWithThePublishedConversionFactors) {
  EXPECT_NEAR(Volume::Gallons(1).litres(), 3.785411784, 1e-12);
  EXPECT_NEAR(Volume::CubicFeet(1).gallons(), 7.480519, 5e-7);
  EXPECT_NEAR(Volume::ImperialGallons(1).litres(), 4.54609, 1e-12);
  EXPECT_NEAR((Volume::CubicFeet(1) / Duration::Seconds(1)).gallons_per_minute(), 448.8312, 5e-5);
  EXPECT_NEAR(Pressure::PoundsPerSquareInch(1).kilopascals(), 6.894757, 5e-7);
  EXPECT_NEAR(Flow::GallonsPerMinute(1).litres_per_second(), 0.0631, 5e-5);
  EXPECT_NEAR(Pressure::PoundsPerSquareInch(1).metres_of_water(), 0.70307, 5e-6);
  EXPECT_NEAR(Temperature::Fahrenheit(68).celsius(), 20, 1e-12);
}

// SOURCE: gallons per 100 ft of pipe, 6 in 146.88, 8 in 261.12, 12 in 587.52 (0.0408 d^2 L, rounded constant;
// the exact factor is 0.040800 to 5 digits).
TEST(PipeVolume, AgreesWithTheGallonsPerHundredFeetTable) {
  EXPECT_NEAR(PipeVolume(Length::Feet(100), Diameter::Inches(6)).gallons(), 146.88, 0.01);
  EXPECT_NEAR(PipeVolume(Length::Feet(100), Diameter::Inches(8)).gallons(), 261.12, 0.01);
  EXPECT_NEAR(PipeVolume(Length::Feet(100), Diameter::Inches(12)).gallons(), 587.52, 0.01);
}

// COMPUTED: 60 gpm around the clock is 86,400 gal a day.
TEST(Quantity, MultipliesFlowByTimeAndDividesBack) {
  const Volume day = Flow::GallonsPerMinute(60) * Duration::Days(1);
  EXPECT_NEAR(day.gallons(), 86400, 1e-6);
  EXPECT_NEAR((day / Flow::GallonsPerMinute(60)).days(), 1, 1e-12);
  EXPECT_NEAR((Flow::LitresPerSecond(3) + Flow::LitresPerSecond(1)) / Flow::LitresPerSecond(2), 2, 1e-12);
}

TEST(Quantity, EveryUnitReadsBackWhatItWasBuiltFrom) {
  EXPECT_NEAR(Length::Feet(12.5).feet(), 12.5, 1e-12);
  EXPECT_NEAR(Diameter::Inches(8).inches(), 8, 1e-12);
  EXPECT_NEAR(Diameter::Millimetres(150).metres(), 0.15, 1e-15);
  EXPECT_NEAR(Flow::GallonsPerDay(200).gallons_per_day(), 200, 1e-9);
  EXPECT_NEAR(Flow::CubicMetresPerHour(5).cubic_metres_per_hour(), 5, 1e-12);
  EXPECT_NEAR(Flow::LitresPerMinute(9).litres_per_minute(), 9, 1e-12);
  EXPECT_NEAR(Pressure::Bar(3.5).bar(), 3.5, 1e-12);
  EXPECT_NEAR(Concentration::MilligramsPerLitre(0.4).milligrams_per_litre(), 0.4, 1e-15);
  EXPECT_NEAR(Temperature::Fahrenheit(50).fahrenheit(), 50, 1e-12);
  EXPECT_NEAR(Duration::Hours(30).days(), 1.25, 1e-15);
}

// Misuse that must not compile, asked of the compiler here.
TEST(Quantity, DoesNotMixKindsOrTakeBareNumbers) {
  static_assert(!std::is_convertible_v<double, Length>);
  static_assert(!std::is_constructible_v<Length, double>);
  static_assert(!std::is_convertible_v<Length, Diameter>);
  static_assert(!std::is_convertible_v<Flow, double>);
  static_assert(!std::is_constructible_v<Diameter, Length>);
  static_assert(!std::is_constructible_v<Temperature, double>);
}

}  // namespace
}  // namespace lastreach
