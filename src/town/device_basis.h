#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calendar/controller_form.h"
#include "ledger/flush_point.h"
#include "ledger/reach.h"
#include "town/true_reach.h"

namespace lastreach {

inline constexpr int kDirtyYear = 2025;

// How a meter's numbers are written. One step of its last figure is 10^-decimals units.
struct MeterHabit {
  std::string serial;
  std::string unit;  // as written: "x100 gal"
  Volume one;        // what one unit holds
  int decimals = 0;
  Volume at_new_year;
};

// What stays the same through a year at one device: what is written of it, and what is true.
struct DeviceBasis {
  FlushPoint point;
  ControllerForm form;
  Reach reach;  // as the map has it
  bool is_chloramine = false;
  int start_min = 0;  // of the night run, by the card
  int minutes = 0;    // keyed in every season
  std::optional<MeterHabit> meter;

  bool follows_clock_change = false;
  double flow_m3_per_s = 0;      // at New Year
  double flow_lost_in_year = 0;  // share of it that is gone a year later
  TrueReach true_reach;
};

// The three timers of timers.csv and the two waters of zones.csv, as records.
const std::vector<ControllerForm>& TownForms();
std::vector<SupplyZone> TownZones();

// Device `index` of Devices(), with the numbers that nobody knows drawn by `seed`.
DeviceBasis MakeDeviceBasis(uint64_t seed, size_t index);

// Flow of the open valve on a day.
double TrueFlow_m3_per_s(const DeviceBasis& basis, Date day);

// In the mains and at the end of a month. The same every year.
double UpstreamResidual_mg_per_l(bool is_chloramine, Date day);
double WaterTemperature_c(bool is_chloramine, Date day);

}  // namespace lastreach
