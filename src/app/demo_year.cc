#include "app/demo_year.h"

#include <ostream>

#include "app/import_sheet.h"
#include "store/project.h"
#include "town/dirty_year_sheets.h"
#include "town/geography.h"

namespace lastreach {
namespace {

struct YearSheet {
  const char* name;
  TableKind kind;
};
// Timers and zones first: devices name them, and everything else names devices.
constexpr YearSheet kYearSheets[] = {{"timers.csv", TableKind::kControllers},
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
  for (const YearSheet& sheet : kYearSheets) {
    ImportRequest request;
    request.table = folder + "/" + sheet.name;
    request.kind = sheet.kind;
    request.who = "town office";
    request.when = info.created;
    const auto report = ImportSheet(*project, request);
    if (!report.ok()) return report.error();
    around.out << "  " << sheet.name << ": " << report->result.rows_in << " rows in, "
               << report->result.rejected.size() << " not, " << report->result.left_out.size()
               << " cells left out\n";
  }
  return Ok();
}

}  // namespace lastreach
