#include <algorithm>
#include <array>
#include <cmath>

#include "town/dirty_year.h"
#include "town/sheet_text.h"
#include "town/town_ends.h"

namespace lastreach {
namespace {

constexpr size_t kEndsFlushed = 12;  // of the forty; the others are on another crew's list
// The houses of the town, a day of the mean month.
constexpr double kTownUse_gal_per_day = 760'000;
constexpr std::array<double, 12> kUseFactor = {0.78, 0.78, 0.84, 0.95, 1.08, 1.22,
                                               1.34, 1.30, 1.10, 0.93, 0.85, 0.83};
constexpr std::array<const char*, 4> kSites = {"Town hall tap", "Depot Street store", "Skyline school",
                                               "Prairie Avenue clinic"};
constexpr std::array<unsigned, 4> kQuarterMonths = {2, 5, 8, 11};
constexpr std::array<double, 4> kWarmth = {0.75, 1.0, 1.3, 1.05};

ByproductResult Laboratory(const char* site, Date day, Byproduct what, double value_ug_per_l) {
  const std::string figures = Digits(value_ug_per_l, 1);
  return {{}, site, day, what, Concentration::MicrogramsPerLitre(std::stod(figures)), false, figures};
}

}  // namespace

std::vector<FlushPoint> HandEndPoints() {
  std::vector<FlushPoint> ends;
  for (size_t i = 0; i < kEndsFlushed; ++i) {
    const TownEnd& end = HandEnds()[i * 3];
    FlushPoint point;
    point.code = PointCode(end.code);
    point.place = "end of " + end.street;
    point.supply_zone = SupplyZoneOf(end);
    point.discharge = DischargeTo::kGround;
    point.flow = Sourced<Flow>{Flow::GallonsPerMinute(180), {OriginKind::kTyped, "town office", {}, ""}};
    ends.push_back(point);
  }
  return ends;
}

std::vector<FlushRun> MakeHandFlushes(const std::vector<FlushPoint>& ends, Seeded seeded, const Zone& zone) {
  std::vector<FlushRun> flushes;
  for (unsigned month = 3; month <= 11; ++month) {
    int minute = 8 * 60;
    for (size_t i = 0; i < ends.size(); ++i) {
      if (i == ends.size() / 2) minute = 8 * 60;
      const Date day = std::chrono::year(kDirtyYear) / std::chrono::month(month) / (i < 6 ? 17 : 18);
      FlushRun run;
      run.point = ends[i].code;
      run.begun = zone.FirstInstant(Midnight(day) + std::chrono::minutes(minute));
      const int minutes = seeded.Whole(8, 25);
      run.lasted = Duration::Minutes(minutes);
      if (seeded.Whole(0, 2) == 0) {
        run.volume = Volume::Gallons(10 * std::round(minutes * seeded.Whole(150, 210) / 10.0));
        run.by = MeasuredBy::kPitot;
      }
      run.who = i < 6 ? "KB" : "RM";
      run.why = "monthly";
      flushes.push_back(run);
      minute += minutes + seeded.Whole(20, 40);
    }
  }
  std::stable_sort(flushes.begin(), flushes.end(),
                   [](const FlushRun& a, const FlushRun& b) { return a.begun < b.begun; });
  return flushes;
}

std::vector<ByproductResult> MakeByproducts(Seeded seeded) {
  std::vector<ByproductResult> results;
  for (size_t quarter = 0; quarter < kQuarterMonths.size(); ++quarter) {
    const Date day = std::chrono::year(kDirtyYear) / std::chrono::month(kQuarterMonths[quarter]) /
                     std::chrono::day(static_cast<unsigned>(seeded.Whole(10, 14)));
    for (const char* site : kSites) {
      const double warmth = kWarmth[quarter] * std::exp(0.08 * seeded.Bell());
      results.push_back(Laboratory(site, day, Byproduct::kTotalTrihalomethanes, 52 * warmth));
      results.push_back(Laboratory(site, day, Byproduct::kHaloaceticAcids5, 31 * warmth));
    }
  }
  return results;
}

std::vector<SuppliedMonth> MakeSupplied(const std::vector<DeviceYear>& devices, Seeded seeded,
                                        const Zone& zone) {
  std::vector<SuppliedMonth> supplied;
  for (unsigned month = 1; month <= 12; ++month) {
    const Date first = std::chrono::year(kDirtyYear) / std::chrono::month(month) / 1;
    const Date next = AddDays(
        first,
        static_cast<int>(static_cast<unsigned>((first.year() / first.month() / std::chrono::last).day())));
    double flushed_m3 = 0;
    for (const DeviceYear& device : devices) {
      flushed_m3 += device.valve.VolumeBefore_m3(zone.FirstInstant(Midnight(next))) -
                    device.valve.VolumeBefore_m3(zone.FirstInstant(Midnight(first)));
    }
    const double used_gal =
        kTownUse_gal_per_day * kUseFactor[month - 1] * (DayNumber(next) - DayNumber(first));
    const double leaked = 1.06 + 0.02 * seeded.Unit();  // over what was used or flushed
    const double total_kgal = (used_gal + Volume::CubicMetres(flushed_m3).gallons()) * leaked / 1000;
    supplied.push_back({kDirtyYear, static_cast<int>(month), Volume::Gallons(1000 * std::round(total_kgal))});
  }
  return supplied;
}

}  // namespace lastreach
