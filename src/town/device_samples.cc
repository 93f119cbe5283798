#include <algorithm>
#include <cmath>

#include "town/device_year.h"
#include "town/sheet_text.h"

namespace lastreach {
namespace {

constexpr double kKitScatter_mg_per_l = 0.05;
constexpr double kKitLeast_mg_per_l = 0.1;
// What is always there of a chloramine water, as N, and what nitrification adds. Common practice, no source.
constexpr double kAmmonia_mg_per_l = 0.12, kAmmoniaAdded_mg_per_l = 0.30;
constexpr double kNitrite_mg_per_l = 0.006, kNitriteAdded_mg_per_l = 0.12;

Sample Written(const DeviceYear& year, Date day, int minute, Analyte analyte, double value_mg_per_l,
               int decimals, double least_mg_per_l) {
  Sample sample;
  sample.point = year.point.code;
  sample.day = day;
  sample.minute_of_day = minute;
  sample.analyte = analyte;
  sample.who = static_cast<unsigned>(day.month()) % 2 == 1 ? "KB" : "RM";
  sample.below_detection = value_mg_per_l < least_mg_per_l;
  const std::string figures = Digits(sample.below_detection ? least_mg_per_l : value_mg_per_l, decimals);
  sample.original = sample.below_detection ? "<" + figures : figures;
  sample.residual = Concentration::MilligramsPerLitre(std::stod(figures));
  return sample;
}

}  // namespace

void AddSamples(DeviceYear& year, const TownRounds& rounds, Seeded seeded, const Zone& zone) {
  const bool chloramine = year.basis.is_chloramine;
  for (const Date day : rounds.samples) {
    const int minute = 9 * 60 + seeded.Whole(0, 300);
    const Instant moment = zone.FirstInstant(Midnight(day) + std::chrono::minutes(minute));
    const double residual = TrueResidual_mg_per_l(year, moment, zone) + kKitScatter_mg_per_l * seeded.Bell();
    year.samples.push_back(Written(year, day, minute,
                                   chloramine ? Analyte::kTotalChlorine : Analyte::kFreeChlorine, residual, 1,
                                   kKitLeast_mg_per_l));
    const unsigned month = static_cast<unsigned>(day.month());
    if (!chloramine || month < 4 || month > 10) continue;
    const double ammonia =
        kAmmonia_mg_per_l + kAmmoniaAdded_mg_per_l * Nitrified(year.happened, day, 7) + 0.02 * seeded.Bell();
    const double nitrite = kNitrite_mg_per_l + kNitriteAdded_mg_per_l * Nitrified(year.happened, day, 14) +
                           0.002 * seeded.Bell();
    year.samples.push_back(Written(year, day, minute, Analyte::kFreeAmmonia, ammonia, 2, 0.02));
    year.samples.push_back(Written(year, day, minute, Analyte::kNitrite, nitrite, 3, 0.005));
  }
}

}  // namespace lastreach
