#pragma once

#include <string>
#include <variant>

#include "core/civil_time.h"
#include "core/ids.h"
#include "ledger/limits.h"
#include "ledger/months.h"

namespace lastreach {

// Once in each of these months, on a day not yet settled, or on one day.
using TripTime = std::variant<Months, Date>;

// A visit that is made anyway, and that a change of settings can ride on: "read the meters, every month".
struct Trip {
  TripId id;
  LimitScope scope = LimitScope::kPoint;  // whom the visit reaches: one point, all of a zone, or all
  std::string subject;                    // name of the zone or code of the point; empty for the system
  TripTime time = kEveryMonth;
  std::string why;
  friend bool operator==(const Trip&, const Trip&) = default;
};

// Whether the trip falls into that month of that year.
bool FallsInto(const Trip& trip, std::chrono::year_month month);

std::string Describe(const TripTime& time);  // "every month", "March and September", "on 2027-04-14"

}  // namespace lastreach
