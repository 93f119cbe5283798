#include "app/demo_sheets.h"

#include <ostream>

#include "app/import_sheet.h"

namespace lastreach {

Status ImportDemoSheet(Project& project, const std::string& folder, const DemoSheet& sheet, Instant when,
                       Surroundings& around) {
  ImportRequest request;
  request.table = folder + "/" + sheet.name;
  request.kind = sheet.kind;
  request.who = "town office";
  request.when = when;
  const auto report = ImportSheet(project, request);
  if (!report.ok()) return report.error();
  around.out << "  " << sheet.name << ": " << report->result.rows_in << " rows in, "
             << report->result.rejected.size() << " not, " << report->result.left_out.size()
             << " cells left out\n";
  for (const RejectedRow& row : report->result.rejected) {
    around.out << "      line " << row.line << (row.column.empty() ? "" : ", " + row.column)
               << (row.value.empty() ? "" : ", '" + row.value + "'") << ": " << row.reason << "\n";
  }
  return Ok();
}

}  // namespace lastreach
