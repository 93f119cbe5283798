// Visits that are made anyway.
#include "import/month_words.h"
#include "import/row_imports.h"

namespace lastreach {

void ImportTrip(RowReader& row, SeenRows& seen, ImportResult& result) {
  Trip trip;
  if (!ReadScope(row, seen, trip.scope, trip.subject)) return;
  const std::string when = row.Known("when");
  if (when.empty()) return row.Reject("when", "when is missing: every month, months by name, or a date");
  if (const auto months = ParseMonths(when); months.ok()) {
    trip.time = *months;
  } else if (const auto day = row.AnyDay("when"); day.ok()) {
    trip.time = day->day;
  } else {
    return row.Reject("when", "this is neither every month, nor months by name, nor a date");
  }
  trip.why = row.Known("why");
  const std::string key =
      std::string(ToText(trip.scope)) + "\n" + trip.subject + "\n" + Describe(trip.time) + "\n" + trip.why;
  if (!seen.IsNew(key, "the trip", "when", row)) return;
  result.trips.push_back(std::move(trip));
}

}  // namespace lastreach
