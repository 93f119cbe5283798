#include "ledger/trips.h"

namespace lastreach {

bool FallsInto(const Trip& trip, std::chrono::year_month month) {
  if (const auto* months = std::get_if<Months>(&trip.time)) {
    return months->Has(static_cast<int>(static_cast<unsigned>(month.month())));
  }
  const Date day = std::get<Date>(trip.time);
  return day.year() / day.month() == month;
}

std::string Describe(const TripTime& time) {
  if (const auto* months = std::get_if<Months>(&time)) return Describe(*months);
  return "on " + FormatDate(std::get<Date>(time));
}

}  // namespace lastreach
