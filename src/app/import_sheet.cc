#include "app/import_sheet.h"

#include "app/put_import.h"

namespace lastreach {
namespace {

// What was last found in each timer, so that the same sheet again finds nothing new. Where a crew has left
// other settings since, finding the old ones is news.
Result<std::vector<SettingsRecord>> LastFound(const Project& project, const std::vector<FlushPoint>& points) {
  std::vector<SettingsRecord> found;
  for (const FlushPoint& point : points) {
    const auto latest = project.LatestSettings(point.code, {SettingsKind::kAsFound, SettingsKind::kAsLeft});
    if (!latest.ok()) return latest.error();
    if (*latest && (*latest)->kind == SettingsKind::kAsFound) found.push_back(**latest);
  }
  return found;
}

// What was left or found in each timer at any time.
Result<std::vector<SettingsRecord>> Stood(const Project& project, const std::vector<FlushPoint>& points) {
  std::vector<SettingsRecord> stood;
  for (const FlushPoint& point : points) {
    const auto all = project.SettingsOf(point.code);
    if (!all.ok()) return all.error();
    for (const SettingsRecord& record : *all) {
      if (record.kind != SettingsKind::kPlanned) stood.push_back(record);
    }
  }
  return stood;
}

}  // namespace

Result<ImportReport> ImportSheet(Project& project, const ImportRequest& request) {
  ImportReport report;
  MappingOptions mapping;
  mapping.date_order = request.date_order;
  ReadOptions reading;
  reading.sheet = request.sheet;
  if (!request.columns_file.empty()) {
    const auto typed = ReadColumnsFile(request.columns_file, request.kind);
    if (!typed.ok()) return typed.error();
    mapping.typed = *typed;
    for (const ChosenColumn& column : *typed) reading.headings.push_back(column.heading);
  }
  const std::string kind(ToText(request.kind));
  const auto seen_before = project.RememberedHeadings(kind);
  if (!seen_before.ok()) return seen_before.error();
  reading.headings.insert(reading.headings.end(), seen_before->begin(), seen_before->end());
  auto table = ReadTable(request.table, request.kind, reading);
  if (!table.ok()) return table.error();
  report.table = *std::move(table);

  const auto remembered = project.RecallColumns(kind, report.table.headings);
  if (!remembered.ok()) return remembered.error();
  mapping.remembered = *remembered;
  auto preview = MapColumns(report.table, request.kind, mapping);
  if (!preview.ok()) return preview.error();
  report.preview = *std::move(preview);

  const auto info = project.Info();
  if (!info.ok()) return info.error();
  const auto zone = Zone::Find(info->zone);
  if (!zone.ok()) return zone.error();
  const auto points = project.FlushPoints();
  if (!points.ok()) return points.error();
  ImportContext context;
  context.zone = *zone;
  context.who = request.who;
  context.when = request.when;
  context.known_points = *points;
  const auto zones = project.SupplyZones();
  if (!zones.ok()) return zones.error();
  for (const SupplyZone& known : *zones) context.known_zones.push_back(known.name);
  const auto found = LastFound(project, *points);
  if (!found.ok()) return found.error();
  context.known_settings = *found;
  if (request.kind == TableKind::kVisits) {
    auto stood = Stood(project, *points);
    if (!stood.ok()) return stood.error();
    context.stood = *std::move(stood);
  }
  report.result = ImportRows(report.table, report.preview, context);
  if (request.preview_only) return report;

  const Status kept = project.InTransaction([&]() -> Status {
    if (const Status put = PutImport(project, report.result, report.already_known); !put.ok()) return put;
    const Status columns = project.RememberColumns(kind, report.table.headings, ToRemember(report.preview));
    if (!columns.ok()) return columns;
    std::vector<RejectedRow> all = report.result.rejected;
    all.insert(all.end(), report.result.left_out.begin(), report.result.left_out.end());
    const ImportEntry entry{{},
                            request.table,
                            kind,
                            request.when,
                            request.who,
                            report.result.rows_in,
                            static_cast<int>(report.result.rejected.size())};
    const auto logged = project.LogImport(entry, all);
    return logged.ok() ? Ok() : Status(logged.error());
  });
  if (!kept.ok()) return kept.error();
  return report;
}

}  // namespace lastreach
