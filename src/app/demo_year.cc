#include "app/demo_year.h"

#include <ostream>

#include "app/demo_sheets.h"
#include "store/project.h"
#include "town/dirty_year_sheets.h"
#include "town/geography.h"

namespace lastreach {
namespace {

// Timers and zones first: devices name them, and everything else names devices.
constexpr DemoSheet kYearSheets[] = {{"timers.csv", TableKind::kControllers},
                                     {"zones.csv", TableKind::kZones},
                                     {"devices.csv", TableKind::kDevices},
                                     {"ends.csv", TableKind::kPoints},
                                     {"settings.csv", TableKind::kSettings},
                                     {"visits.csv", TableKind::kVisits},
                                     {"reads.csv", TableKind::kReads},
                                     {"samples.csv", TableKind::kSamples},
                                     {"runs.csv", TableKind::kRuns},
                                     {"flow-tests.csv", TableKind::kFlowTests},
                                     {"test-flushes.csv", TableKind::kTestFlushes},
                                     {"byproducts.csv", TableKind::kByproducts},
                                     {"production.csv", TableKind::kProduction}};

}  // namespace

Status MakeDirtyYearDemo(const std::string& folder, const std::string& file, Surroundings& around) {
  if (const Status written = WriteDirtyYearSheets(folder, MakeDirtyYear()); !written.ok()) return written;
  ProjectInfo info;
  info.name = kDirtyYearName;
  info.zone = kTownZoneName;
  info.created = *ParseRfc3339(kDirtyYearHandedOver);
  auto project = Project::Create(file, info);
  if (!project.ok()) return project.error();
  around.out << "Its year 2025, with twelve troubles that nobody mentions, is in " << folder
             << " (KEY.csv is the answer):\n";
  for (const DemoSheet& sheet : kYearSheets) {
    const Status in = ImportDemoSheet(*project, folder, sheet, info.created, around);
    if (!in.ok()) return in;
  }
  return Ok();
}

}  // namespace lastreach
