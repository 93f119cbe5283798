#pragma once

#include <optional>
#include <vector>

#include "core/zone.h"
#include "ledger/records.h"
#include "town/device_basis.h"
#include "town/trouble.h"

namespace lastreach {

// Somebody stood at the box. What was written and what was keyed need not be the same.
struct BoxVisit {
  Instant at;
  std::string who;
  std::string why;
  std::string notes;
  std::optional<TimerSettings> written;  // on the card, as left; none: nothing was touched, or nobody wrote
  std::optional<TimerSettings> keyed;    // what stands in the box from then on; none: as before
  std::optional<Date> revert_by;
  int left_fast_min = 0;    // the clock, when they left
  bool wrote_found = true;  // whether what stood there was written down
  bool new_battery = false;
};

// A year of visits, in order, and what else befell the device. The first is on 2 January.
struct DeviceVisits {
  std::vector<BoxVisit> visits;
  std::optional<Date> dead_from;  // no run from then to the next new battery
  std::optional<Date> stuck_on;   // the first run from then on goes on to stuck_until
  std::optional<Instant> stuck_until;
  std::optional<Date> dribbles_from;
  double dribble_gpm = 0;
  std::optional<Date> mended_on;    // what was found wrong at the valve is put right
  std::optional<Date> closed_from;  // the valve upstream
  std::optional<Date> nitrifies_from;
  std::optional<Date> new_meter_on;
  double read_factor = 1;           // what is written of the new meter over what it counted
  double true_diameter_factor = 1;  // of the main over the map
  Date test_flush_on;
  std::optional<Trouble> trouble;
};

// Whether the device can have the trouble: chloramine for nitrification, a percentage to be forgotten, a
// meter.
bool CanHave(const DeviceBasis& basis, TroubleKind kind);

// REQUIRES: CanHave(basis, *trouble)
DeviceVisits MakeDeviceVisits(uint64_t seed, const DeviceBasis& basis, std::optional<TroubleKind> trouble,
                              const Zone& zone);

}  // namespace lastreach
