#pragma once

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <vector>

#include "plan/facts.h"
#include "year/device_parts.h"
#include "year/planned_parts.h"
#include "year/season_water.h"
#include "year/year_plan.h"

namespace lastreach {

// A visit is worth this much water [m3] where no prices are given: common practice, no source; about what a
// hundred cubic metres cost against a crew's trip.
inline constexpr double kWorthOfAVisit_m3 = 100;

struct YearOptions {
  double sureness = 0.9;                   // that of the plan options the devices are planned with
  std::optional<int> most_visits;          // a year, for changing settings
  std::optional<double> worth_m3_a_visit;  // else per_visit / per_m3 of the prices, else kWorthOfAVisit_m3
  std::optional<YearPrices> prices;
};

// One device for the year. `open` gives its parts; each device is opened once, on the thread that plans it.
struct DeviceInYear {
  FlushPoint point;
  std::function<std::unique_ptr<DeviceParts>()> open;
  std::optional<TimerSettings> present;  // keyed now, whether or not it may be kept
  bool present_may_stay = false;
  FrostSpell frost;
  std::set<int> trip_months;
};

// Settings for every device in every part of the year, and the visits worth making for them.
//
// Each device has its own least water for every number of visits (ChoicesOf); the system's is their exact
// min-plus sum (VisitFrontier). Of it the point is taken where water and visits together cost least, a visit
// being worth so much water, within `most_visits`. Where fewer visits are asked for than frost takes, those
// are taken and a note says so.
//
// DETERMINISM: the same on any number of threads. COST: that of ChoicesOf for each device, in parallel.
// `progress` is called after each device with how many are done; calls do not overlap.
YearPlan PlanYear(const std::vector<YearPart>& year, const std::vector<DeviceInYear>& devices,
                  const YearOptions& options, const std::function<void(size_t done)>& progress = {});

// What a supply zone's and a point's records say of the year.
struct YearRecords {
  std::vector<MonthWater> water;
  std::map<PointCode, FrostSpell> frost;
  std::map<PointCode, std::set<int>> trip_months;
  std::map<PointCode, RootsByPart> roots{};  // of devices that stand on a network
};

// The devices as PlanDevice plans them. `facts`, `options`, `year` and `records` are kept by reference.
std::vector<DeviceInYear> DevicesInYear(const std::vector<DeviceFacts>& facts, const PlanOptions& options,
                                        const std::vector<YearPart>& year, const YearRecords& records);

}  // namespace lastreach
