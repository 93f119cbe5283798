#include "town/device_basis.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "town/seeded.h"
#include "town/sheet_text.h"
#include "town/town_ends.h"

namespace lastreach {
namespace {

enum class Box { kGreen, kTwoKnob, kBatteryLid };

// As devices.csv has them.
constexpr std::array<Box, 24> kBoxes = {
    Box::kGreen,   Box::kGreen,      Box::kGreen,   Box::kGreen,      Box::kGreen,      Box::kGreen,
    Box::kTwoKnob, Box::kBatteryLid, Box::kTwoKnob, Box::kGreen,      Box::kGreen,      Box::kTwoKnob,
    Box::kGreen,   Box::kTwoKnob,    Box::kGreen,   Box::kBatteryLid, Box::kGreen,      Box::kBatteryLid,
    Box::kGreen,   Box::kTwoKnob,    Box::kGreen,   Box::kGreen,      Box::kBatteryLid, Box::kGreen};
constexpr std::array<double, 24> kLidFlows_gpm = {60, 55, 45, 47, 60, 70, 50, 40, 55, 80, 65, 60,
                                                  35, 45, 75, 79, 70, 40, 60, 40, 50, 45, 55, 20};

struct WrittenUnit {
  const char* unit;
  Volume one;
  int decimals;
};
constexpr std::array<WrittenUnit, 5> kUnits = {{{"gal", Volume::Gallons(1), 0},
                                                {"x100 gal", Volume::Gallons(100), 0},
                                                {"kgal", Volume::Gallons(1000), 1},
                                                {"m3", Volume::CubicMetres(1), 1},
                                                {"ft3", Volume::CubicFeet(1), 0}}};

bool HasMeter(const std::string& code) { return code != "D08" && code != "D20"; }

int MostMinutes(Box box) { return box == Box::kTwoKnob ? 45 : box == Box::kBatteryLid ? 95 : 180; }

template <typename T>
Sourced<T> Typed(T value) {
  return {value, {OriginKind::kTyped, "town office", std::nullopt, ""}};
}

Reach MapReach(const TownEnd& end) {
  Reach reach{PointCode(end.code), {}, std::nullopt};
  double length_ft = 0;
  for (const FeetAndInches& pipe : end.pipes) length_ft += pipe.length_ft;
  int left = end.services;
  for (const FeetAndInches& pipe : end.pipes) {
    const bool last = &pipe == &end.pipes.back();
    const int here = last ? left : static_cast<int>(std::lround(end.services * pipe.length_ft / length_ft));
    left -= here;
    reach.pipes.push_back({Typed(Length::Feet(pipe.length_ft)), Typed(Diameter::Inches(pipe.diameter_in)),
                           "PVC", Typed(here), std::nullopt});
  }
  return reach;
}

constexpr std::array<double, 12> kMillraceWater_c = {4, 5, 9, 14, 19, 23, 25.5, 26, 22, 16, 10, 5};
constexpr std::array<double, 12> kHighTankWater_c = {8, 8, 11, 14, 18, 22, 24, 25, 22, 18, 13, 9};

}  // namespace

const std::vector<ControllerForm>& TownForms() {
  static const std::vector<ControllerForm> kForms = [] {
    using enum DayPatternKind;
    std::vector<ControllerForm> forms(3);
    forms[0] = {"Green box",
                3,
                4,
                5,
                1,
                360,
                1,
                10,
                200,
                10,
                PercentScope::kAll,
                {{kWeekdays, kOdd, kEven, kEveryN}},
                false,
                30,
                false,
                Overlap::kQueue};
    forms[1] = {
        "Two-knob box",   1, 2, 15, 5, 45, 5, {}, {}, {}, PercentScope::kNone, {{kWeekdays}}, {}, {}, {},
        Overlap::kUnknown};
    forms[2] = {"Battery lid box", 2, 3, {}, 1, 99, 1, {}, {}, {}, {}, {{kOdd, kEven, kEveryN}}, {}, 15, true,
                Overlap::kDrop};
    return forms;
  }();
  return kForms;
}

std::vector<SupplyZone> TownZones() {
  SupplyZone mill, tank;
  mill.name = kMillrace;
  mill.disinfectant = Disinfectant::kFreeChlorine;
  mill.target_residual = Typed(Concentration::MilligramsPerLitre(0.4));
  mill.upstream_residual = Typed(Concentration::MilligramsPerLitre(1.1));
  tank.name = kHighTank;
  tank.disinfectant = Disinfectant::kChloramine;
  tank.target_residual = Typed(Concentration::MilligramsPerLitre(1.0));
  tank.upstream_residual = Typed(Concentration::MilligramsPerLitre(2.2));
  return {mill, tank};
}

DeviceBasis MakeDeviceBasis(uint64_t seed, size_t index) {
  Seeded seeded(seed * 977 + index);
  const TownEnd& end = Devices()[index];
  const Box box = kBoxes[index];
  DeviceBasis basis;
  basis.form = TownForms()[static_cast<size_t>(box)];
  basis.reach = MapReach(end);
  basis.is_chloramine = SupplyZoneOf(end) == kHighTank;
  basis.point.code = PointCode(end.code);
  basis.point.kind = PointKind::kDevice;
  basis.point.place = "end of " + end.street;
  basis.point.supply_zone = SupplyZoneOf(end);
  basis.point.controller = basis.form.name;
  basis.point.flow = Typed(Flow::GallonsPerMinute(kLidFlows_gpm[index]));
  basis.point.discharge = DischargeTo::kGround;
  basis.start_min = 60 + 15 * seeded.Whole(0, 14);
  // The lid's number is off by a tenth or so, and the flow sinks through the year as the outlet clogs.
  basis.flow_m3_per_s = basis.point.flow->value.cubic_metres_per_second() * std::exp(0.1 * seeded.Bell());
  basis.flow_lost_in_year = 0.08 * seeded.Unit();
  basis.follows_clock_change = basis.form.follows_clock_change.value_or(seeded.Whole(0, 1) == 1);

  double volume_m3 = 0, diameter_m = 0.15;
  for (const ReachPipe& pipe : basis.reach.pipes) {
    volume_m3 += PipeVolume(pipe.length.value, pipe.inner_diameter.value).cubic_metres();
    diameter_m = pipe.inner_diameter.value.metres();
  }
  const double wanted_min =
      1.2 * volume_m3 / basis.point.flow->value.cubic_metres_per_second() / kSecondsPerMinute;
  basis.minutes = std::clamp(5 * static_cast<int>(std::ceil(wanted_min / 5)), 10, MostMinutes(box));
  basis.true_reach.volume_m3 = volume_m3;
  basis.true_reach.demand_m3_per_s =
      end.services * Flow::GallonsPerDay(150 + 50 * seeded.Unit()).cubic_metres_per_second();
  basis.true_reach.decay_per_day_20c =
      (basis.is_chloramine ? 0.05 : 0.33 + 4 * 0.003 / diameter_m) * std::exp(0.15 * seeded.Bell());

  basis.point.meter = "none";
  const WrittenUnit& unit = kUnits[static_cast<size_t>(seeded.Whole(0, 4))];
  const double standing_gal = seeded.Whole(40'000, 2'400'000);
  if (HasMeter(end.code)) {
    basis.meter = MeterHabit{"MY-" + std::to_string(1200 + 7 * index), unit.unit, unit.one, unit.decimals,
                             Volume::Gallons(standing_gal)};
    basis.point.meter = basis.meter->serial;
  }
  return basis;
}

double TrueFlow_m3_per_s(const DeviceBasis& basis, Date day) {
  const int gone_days = DayNumber(day) - DayNumber(std::chrono::year(kDirtyYear) / 1 / 1);
  return basis.flow_m3_per_s * (1 - basis.flow_lost_in_year * gone_days / 365);
}

double WaterTemperature_c(bool is_chloramine, Date day) {
  const size_t month = static_cast<unsigned>(day.month()) - 1;
  return is_chloramine ? kHighTankWater_c[month] : kMillraceWater_c[month];
}

double UpstreamResidual_mg_per_l(bool is_chloramine, Date day) {
  const double warm = WaterTemperature_c(is_chloramine, day) / 26;
  return is_chloramine ? 2.5 - 0.3 * warm : 1.3 - 0.2 * warm;
}

}  // namespace lastreach
