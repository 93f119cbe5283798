#include "town/town_sheets.h"

#include <filesystem>

#include "town/device_sheets.h"
#include "town/hand_ends_sheet.h"
#include "town/log_sheets.h"
#include "town/sheet_text.h"
#include "town/year_sheets.h"

namespace lastreach {
Status WriteTownSheets(const std::string& folder) {
  const std::filesystem::path to(folder);
  std::error_code failed;
  std::filesystem::create_directories(to, failed);
  if (failed) return BadInput("the folder cannot be made: " + failed.message(), {folder, {}, "", ""});
  const std::pair<const char*, std::string> texts[] = {
      {"README.txt", TownReadme()},
      {"devices.csv", DevicesSheet()},
      {"timers.csv", TimersSheet()},
      {"zones.csv", ZonesSheet()},
      {"limits.csv", LimitsSheet()},
      {"samples.csv", SamplesSheet()},
      {"reads.csv", ReadsSheet()},
      {"settings.csv", SettingsSheet()},
      {"temperatures.csv", TemperaturesSheet()},
      {"trips.csv", TripsSheet()},
      {"prices.csv", PricesSheet()},
  };
  for (const auto& [name, text] : texts) {
    if (Status written = WriteText((to / name).string(), text); !written.ok()) return written;
  }
  return WriteHandEndsSheet((to / "ends.xlsx").string());
}

}  // namespace lastreach
