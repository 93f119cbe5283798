// Who stands where, what was keyed, and who went there.
#include "town/dirty_year_sheets.h"
#include "town/geography.h"
#include "town/sheet_text.h"
#include "town/town_ends.h"

namespace lastreach {
namespace {

struct DayAndTime {
  Date day;
  int minute = 0;
};

DayAndTime OnTheWall(Instant moment) {
  static const Zone kZone = *Zone::Find(kTownZoneName);
  const LocalTime local = kZone.ToLocal(moment);
  const auto midnight = std::chrono::floor<std::chrono::days>(local);
  return {Date{midnight},
          static_cast<int>(std::chrono::floor<std::chrono::minutes>(local - midnight).count())};
}

SheetRow PlaceOf(const TownEnd& end) {
  const TownPosition position = PositionOf(StreetOf(end).line.back());
  return {Digits(position.latitude_deg, 5), Digits(position.longitude_deg, 5)};
}

std::string PipesOf(const TownEnd& end) {
  std::string text;
  for (const FeetAndInches& pipe : end.pipes) {
    if (!text.empty()) text += " + ";
    text += Digits(pipe.diameter_in, 0) + "in x " + Digits(pipe.length_ft, 0) + " ft";
  }
  return text;
}

std::string DaysAsWritten(const DayPattern& days) {
  if (std::holds_alternative<OddDates>(days)) return "odd";
  if (const auto* counted = std::get_if<EveryNDays>(&days)) {
    return "every " + std::to_string(counted->n) + " days from " + FormatDate(*counted->from);
  }
  constexpr const char* kNames[] = {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};
  const Weekdays week = std::get<Weekdays>(days);
  if (week == kEveryWeekday) return "daily";
  std::string text;
  for (int day = 0; day < 7; ++day) {
    if (week.Has(day)) text += (text.empty() ? "" : " ") + std::string(kNames[day]);
  }
  return text;
}

SheetRow Written(const DeviceYear& device, const SettingsRecord& record) {
  const DayAndTime at = OnTheWall(record.recorded);
  const Programme& programme = record.settings.programmes.front();
  std::string starts;
  for (const int start : programme.starts_min) {
    starts += (starts.empty() ? "" : ", ") + FormatTimeOfDay(start);
  }
  const bool has_percent = device.form.percent_scope != PercentScope::kNone;
  return {WrittenDay(record.who, at.day),
          WrittenTime(record.who, at.minute),
          record.point.text(),
          std::string(ToText(record.kind)),
          record.who,
          record.why,
          record.revert_by ? FormatDate(*record.revert_by) : "",
          record.clock_fast_minutes ? std::to_string(*record.clock_fast_minutes) : "",
          "on",
          has_percent ? std::to_string(record.settings.percent) : "",
          starts,
          std::to_string(programme.minutes),
          DaysAsWritten(programme.days)};
}

}  // namespace

std::string YearDevicesSheet(const DirtyYear& year) {
  std::vector<SheetRow> rows = {{"Code", "Address", "Zone", "Timer", "Flow (gpm)", "Length (ft)", "Services",
                                 "Discharge to", "Meter", "Latitude", "Longitude"}};
  for (size_t i = 0; i < year.devices.size(); ++i) {
    const DeviceYear& device = year.devices[i];
    const TownEnd& end = Devices()[i];
    SheetRow row = {device.point.code.text(),
                    device.point.place,
                    device.point.supply_zone,
                    device.point.controller,
                    Digits(device.point.flow->value.gallons_per_minute(), 0),
                    PipesOf(end),
                    std::to_string(end.services),
                    "ground",
                    device.point.meter};
    for (const std::string& cell : PlaceOf(end)) row.push_back(cell);
    rows.push_back(row);
  }
  return CsvText(rows);
}

std::string YearEndsSheet(const DirtyYear& year) {
  std::vector<SheetRow> rows = {
      {"Code", "Address", "Zone", "Flow (gpm)", "Length (ft)", "Services", "Discharge to"}};
  for (const FlushPoint& point : year.hand_ends) {
    for (const TownEnd& end : HandEnds()) {
      if (end.code != point.code.text()) continue;
      rows.push_back({end.code, point.place, point.supply_zone,
                      Digits(point.flow->value.gallons_per_minute(), 0), PipesOf(end),
                      std::to_string(end.services), "ground"});
    }
  }
  return CsvText(rows);
}

std::string YearSettingsSheet(const DirtyYear& year) {
  std::vector<SheetRow> rows = {{"Date", "Time", "Code", "Kind", "Who", "Why", "Revert by", "Clock off by",
                                 "State", "Percent", "P1 starts", "P1 minutes", "P1 days"}};
  for (const DeviceYear& device : year.devices) {
    for (const SettingsRecord& record : device.settings) rows.push_back(Written(device, record));
  }
  return CsvText(rows);
}

std::string YearVisitsSheet(const DirtyYear& year) {
  std::vector<SheetRow> rows = {{"Date", "Time", "Point", "Who", "Why", "New battery", "Notes"}};
  for (const DeviceYear& device : year.devices) {
    for (const Visit& visit : device.visits) {
      const DayAndTime at = OnTheWall(visit.arrived);
      rows.push_back({WrittenDay(visit.who, at.day), WrittenTime(visit.who, at.minute), visit.point.text(),
                      visit.who, visit.why, visit.new_battery ? "yes" : "", visit.notes});
    }
  }
  return CsvText(rows);
}

}  // namespace lastreach
