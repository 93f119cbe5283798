// Water let out by hand, flows measured, and flushes with readings.
#include <algorithm>

#include "town/dirty_year_sheets.h"
#include "town/geography.h"
#include "town/sheet_text.h"

namespace lastreach {
namespace {

SheetRow DayAndTime(const std::string& who, Instant moment) {
  static const Zone kZone = *Zone::Find(kTownZoneName);
  const LocalTime local = kZone.ToLocal(moment);
  const auto midnight = std::chrono::floor<std::chrono::days>(local);
  const auto minute = std::chrono::floor<std::chrono::minutes>(local - midnight).count();
  return {WrittenDay(who, Date{midnight}), WrittenTime(who, static_cast<int>(minute))};
}

}  // namespace

std::string YearRunsSheet(const DirtyYear& year) {
  std::vector<FlushRun> runs = year.hand_flushes;
  for (const DeviceYear& device : year.devices) {
    runs.insert(runs.end(), device.flush_runs.begin(), device.flush_runs.end());
  }
  std::stable_sort(runs.begin(), runs.end(),
                   [](const FlushRun& a, const FlushRun& b) { return a.begun < b.begun; });
  std::vector<SheetRow> rows = {
      {"Date", "Start", "Point", "Minutes", "Volume (gal)", "How measured", "Who", "Why"}};
  for (const FlushRun& run : runs) {
    SheetRow row = DayAndTime(run.who, run.begun);
    for (const std::string& cell : {run.point.text(), Digits(run.lasted.minutes(), 0),
                                    run.volume ? Digits(run.volume->gallons(), 0) : "",
                                    run.volume ? std::string(ToText(run.by)) : "", run.who, run.why}) {
      row.push_back(cell);
    }
    rows.push_back(row);
  }
  return CsvText(rows);
}

std::string YearFlowTestsSheet(const DirtyYear& year) {
  std::vector<SheetRow> rows = {{"Date", "Time", "Point", "Flow (gpm)", "How measured", "Who"}};
  for (const DeviceYear& device : year.devices) {
    for (const FlowTest& test : device.flow_tests) {
      rows.push_back({WrittenDay(test.who, test.day), WrittenTime(test.who, *test.minute_of_day),
                      test.point.text(), Digits(test.flow.gallons_per_minute(), 1),
                      std::string(ToText(test.by)), test.who});
    }
  }
  return CsvText(rows);
}

std::string YearTestFlushesSheet(const DirtyYear& year) {
  std::vector<SheetRow> rows = {{"Date", "Opened", "Point", "Minutes after opening", "Residual (mg/L)",
                                 "Type", "Flow (gpm)", "Upstream residual (mg/L)", "Who"}};
  for (const DeviceYear& device : year.devices) {
    for (const TestFlush& flush : device.test_flushes) {
      const SheetRow when = DayAndTime(flush.who, flush.begun);
      for (const FlushReading& reading : flush.readings) {
        const bool first = &reading == &flush.readings.front();
        rows.push_back({when[0], when[1], flush.point.text(), Digits(reading.after.minutes(), 0),
                        Digits(reading.residual->milligrams_per_litre(), 2),
                        flush.analyte == Analyte::kTotalChlorine ? "total" : "free",
                        Digits(reading.flow->gallons_per_minute(), 1),
                        first ? Digits(flush.upstream->milligrams_per_litre(), 2) : "", flush.who});
      }
    }
  }
  return CsvText(rows);
}

}  // namespace lastreach
