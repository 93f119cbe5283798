#pragma once

#include "town/device_visits.h"

namespace lastreach {

// All the water the device let out from 1 January of the year to 10 January of the next: every run its box
// made by its own clock, the test flush, and what its troubles added or took away.
TrueValve MakeTrueValve(const DeviceBasis& basis, const DeviceVisits& visits, const Zone& zone);

// The main behind the valve on a day: narrower than the map, or the long way round.
TrueReach TrueReachOn(const DeviceBasis& basis, const DeviceVisits& visits, Date day);
double OpenFlow_m3_per_s(const DeviceBasis& basis, const DeviceVisits& visits, Date day);
// Share of what is in the well-fed main that the water still has where it enters the reach.
double UpstreamShare(const DeviceVisits& visits, Date day);

// How far nitrification has got, from 0 to 1 within a month; that of nitrite a fortnight behind.
double Nitrified(const DeviceVisits& visits, Date day, int behind_days = 0);

// Where and how long the valve was open for the test flush.
Instant TestFlushBegins(const DeviceVisits& visits, const Zone& zone);
int TestFlushMinutes(const DeviceBasis& basis, const DeviceVisits& visits);

}  // namespace lastreach
