#include "town/dirty_year_sheets.h"

#include <filesystem>

#include "town/device_sheets.h"
#include "town/sheet_text.h"

namespace lastreach {

std::string WrittenDay(const std::string& who, Date day) {
  if (who != "RM") return FormatDate(day);
  return std::to_string(static_cast<unsigned>(day.month())) + "/" +
         std::to_string(static_cast<unsigned>(day.day())) + "/" +
         std::to_string(static_cast<int>(day.year()) % 100);
}

std::string WrittenTime(const std::string& who, int minute) {
  if (who != "RM") return FormatTimeOfDay(minute);
  const int hour = minute / 60 % 12 == 0 ? 12 : minute / 60 % 12;
  const std::string minutes = std::to_string(minute % 60);
  return std::to_string(hour) + (minute % 60 < 10 ? ":0" : ":") + minutes +
         (minute < 12 * 60 ? " am" : " pm");
}

Status WriteDirtyYearSheets(const std::string& folder, const DirtyYear& year) {
  const std::filesystem::path to(folder);
  std::error_code failed;
  std::filesystem::create_directories(to, failed);
  if (failed) return BadInput("the folder cannot be made: " + failed.message(), {folder, {}, "", ""});
  const std::pair<const char*, std::string> texts[] = {
      {"README.txt", YearReadme()},
      {"KEY.csv", YearKeySheet(year)},
      {"timers.csv", TimersSheet()},
      {"zones.csv", ZonesSheet()},
      {"devices.csv", YearDevicesSheet(year)},
      {"ends.csv", YearEndsSheet(year)},
      {"settings.csv", YearSettingsSheet(year)},
      {"visits.csv", YearVisitsSheet(year)},
      {"reads.csv", YearReadsSheet(year)},
      {"samples.csv", YearSamplesSheet(year)},
      {"runs.csv", YearRunsSheet(year)},
      {"flow-tests.csv", YearFlowTestsSheet(year)},
      {"test-flushes.csv", YearTestFlushesSheet(year)},
      {"byproducts.csv", YearByproductsSheet(year)},
      {"production.csv", YearProductionSheet(year)},
  };
  for (const auto& [name, text] : texts) {
    if (Status written = WriteText((to / name).string(), text); !written.ok()) return written;
  }
  return Ok();
}

}  // namespace lastreach
