#include "app/import_layer.h"

#include <algorithm>

#include "app/layer_changes.h"
#include "import/layer_mapping.h"
#include "import/value_maps.h"

namespace lastreach {
namespace {

Status PutFeatures(Project& project, const LayerReport& report) {
  const std::string& layer = report.layer.key;
  const ImportedLayer& result = report.result;
  switch (report.preview.kind) {
    case TableKind::kMains:
      return project.PutMains(layer, result.mains);
    case TableKind::kServicePlaces:
      return project.PutServiceLayer(layer, result.services);
    case TableKind::kZoneAreas:
      return project.PutAreas(layer, result.areas);
    default:
      for (const ThingKind kind : ThingsOf(report.preview.kind)) {
        std::vector<DrawnThing> things;
        for (const DrawnThing& thing : result.things) {
          if (thing.kind == kind) things.push_back(thing);
        }
        if (Status put = project.PutThings(layer, kind, things); !put.ok()) return put;
      }
      return Ok();
  }
}

Status Keep(Project& project, const LayerRequest& request, const LayerReport& report) {
  const std::string kind(ToText(request.kind));
  return project.InTransaction([&]() -> Status {
    if (Status put = PutFeatures(project, report); !put.ok()) return put;
    if (Status put = project.PutSetAside(report.layer.key, report.result.set_aside); !put.ok()) return put;
    if (Status columns =
            project.RememberColumns(kind, report.layer.table.headings, ToRemember(report.preview));
        !columns.ok()) {
      return columns;
    }
    std::vector<RejectedRow> all = report.result.rejected;
    all.insert(all.end(), report.result.left_out.begin(), report.result.left_out.end());
    const ImportEntry entry{{},
                            report.layer.table.file,
                            kind,
                            request.when,
                            request.who,
                            report.result.rows_in,
                            static_cast<int>(report.result.rejected.size())};
    const auto logged = project.LogImport(entry, all);
    return logged.ok() ? Ok() : Status(logged.error());
  });
}

}  // namespace

Result<LayerReport> ReadAndPutLayer(Project& project, const LayerRequest& request) {
  LayerOptions reading;
  reading.layer = request.layer;
  reading.crs = request.crs;
  reading.where = request.where;
  MappingOptions mapping;
  mapping.date_order = request.date_order;
  FeatureOptions features;
  features.who = request.who;
  features.when = request.when;
  features.period_days = request.period_days;
  features.certain = request.certain;
  if (!request.columns_file.empty()) {
    const auto typed = ReadColumnsFile(request.columns_file, request.kind);
    if (!typed.ok()) return typed.error();
    const auto values = ReadValueMaps(request.columns_file, request.kind);
    if (!values.ok()) return values.error();
    mapping.typed = *typed;
    reading.typed = *typed;
    features.values = *values;
  }
  const std::string kind(ToText(request.kind));
  const auto seen_before = project.RememberedHeadings(kind);
  if (!seen_before.ok()) return seen_before.error();
  reading.headings = *seen_before;

  LayerReport report;
  auto layer = ReadLayer(request.table, request.kind, reading);
  if (!layer.ok()) return layer.error();
  report.layer = *std::move(layer);
  const auto remembered = project.RecallColumns(kind, report.layer.table.headings);
  if (!remembered.ok()) return remembered.error();
  mapping.remembered = *remembered;
  auto preview = MapLayer(report.layer, request.kind, mapping);
  if (!preview.ok()) return preview.error();
  report.preview = *std::move(preview);
  auto result = ImportFeatures(report.layer, report.preview, features);
  if (!result.ok()) return result.error();
  report.result = *std::move(result);
  if (report.result.rows_in == 0) {
    const RejectedRow& first = report.result.rejected.front();
    return BadInput("no feature came in; the first: " + first.reason,
                    {report.layer.table.file, first.line, first.column, first.value});
  }
  const auto before = project.LoadDrawing();
  if (!before.ok()) return before.error();
  report.changes = CompareWith(*before, report.result, report.layer.key, request.kind);
  if (request.preview_only) return report;
  if (Status kept = Keep(project, request, report); !kept.ok()) return kept.error();
  return report;
}

}  // namespace lastreach
