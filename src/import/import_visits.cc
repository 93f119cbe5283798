// Who stood where, and what was done there.
#include "import/cell_choices.h"
#include "import/row_imports.h"

namespace lastreach {
namespace {

// How far the clock stood off tells of the timer only with its settings. Where those were left or found
// before are known, they are taken to have stood there still.
void KeepClock(RowReader& row, const Visit& visit, int fast_minutes, ImportResult& result) {
  const SettingsRecord* last = nullptr;
  for (const SettingsRecord& record : row.context().stood) {
    if (record.point == visit.point && record.kind != SettingsKind::kPlanned &&
        record.recorded < visit.arrived)
      last = &record;
  }
  if (last == nullptr) {
    row.LeaveOut("clock", "no settings of this timer are known to keep it with");
    return;
  }
  SettingsRecord found = *last;
  found.id = {};
  found.kind = SettingsKind::kAsFound;
  found.recorded = visit.arrived;
  found.who = visit.who;
  found.why = "clock looked at; the settings are those last known";
  found.revert_by.reset();
  found.clock_fast_minutes = fast_minutes;
  row.Note("the settings last known are kept as found, with the clock");
  result.settings.push_back(std::move(found));
}

}  // namespace

void ImportVisit(RowReader& row, SeenRows& seen, ImportResult& result) {
  const auto point = RequirePoint(row, seen);
  if (!point) return;
  const auto moment = RequireMoment(row);
  if (!moment) return;
  Visit visit;
  visit.point = *point;
  visit.arrived = InstantOf(*moment, row.context().zone);
  visit.who = row.Who();
  visit.why = row.Known("why");
  visit.notes = row.Text("notes");
  visit.new_battery = Optional(row, "battery", ParseDone).value_or(false);
  visit.dechlorination_refilled = Optional(row, "refilled", ParseDone).value_or(false);
  const auto clock = Optional(row, "clock", ParseClockOffset);
  const std::string key =
      point->text() + "\n" + FormatRfc3339(visit.arrived, std::chrono::seconds(0)) + "\n" + visit.why;
  if (!seen.IsNew(key, "this visit", "", row)) return;
  if (clock) KeepClock(row, visit, *clock, result);
  result.visits.push_back(std::move(visit));
}

}  // namespace lastreach
