#include "import/layer_features.h"

#include <algorithm>

#include "import/cell_choices.h"
#include "import/cell_words.h"
#include "import/feature_row.h"
#include "import/map_fields.h"
#include "import/sewer_signs.h"

namespace lastreach {
namespace {

std::string Kinds(const std::vector<ShapeKind>& kinds) {
  std::string text;
  for (const ShapeKind kind : kinds) text += (text.empty() ? "" : " or ") + std::string(ToText(kind)) + "s";
  return text;
}

// What a layer of that shape may be brought in as.
std::string Suggested(ShapeKind shape) {
  switch (shape) {
    case ShapeKind::kPoint:
      return "valves, hydrants, blow-offs, tanks, sources, pumps, fittings or services";
    case ShapeKind::kLine:
      return "mains, or service lines as services";
    case ShapeKind::kArea:
      return "zones, tanks or, for parcels, services";
    case ShapeKind::kNone:
      return "";
  }
  return "";
}

Status CheckShapes(const Layer& layer, TableKind kind) {
  const std::vector<ShapeKind> wanted = ShapesOf(kind);
  if (std::find(wanted.begin(), wanted.end(), layer.kind) != wanted.end()) return Ok();
  return BadInput("the layer shows " + std::string(ToText(layer.kind)) + "s, and " +
                      std::string(ToText(kind)) + " are " + Kinds(wanted) + "; it may be " +
                      Suggested(layer.kind),
                  {layer.table.file, {}, "", layer.table.sheet});
}

Status CheckSewers(const Layer& layer, const Preview& preview, const FeatureOptions& options) {
  if (preview.kind != TableKind::kMains || options.certain) return Ok();
  const SewerSigns signs = FindSewerSigns(layer, preview);
  if (!signs.likely()) return Ok();
  return Conflict("these look like sewers or drains, not drinking-water mains (" + signs.evidence +
                      "); if mains they are all the same, say --certain",
                  {layer.table.file, {}, "", layer.table.sheet});
}

Status CheckPeriod(const Layer& layer, const Preview& preview, const FeatureOptions& options) {
  if (preview.kind != TableKind::kServicePlaces || options.period_days || preview.Find("use") != nullptr)
    return Ok();
  if (preview.Find("period_days") != nullptr ||
      (preview.Find("date_old") != nullptr && preview.Find("date_new") != nullptr)) {
    return Ok();
  }
  const ColumnChoice* volume = preview.Find("volume");
  if (volume == nullptr && preview.Find("read_old") != nullptr) volume = preview.Find("read_new");
  if (volume == nullptr) return Ok();
  return BadInput("over how many days this water ran is not known; say --period-days 30, or have a column " +
                      std::string("'period days' or two of dates, or write the unit as in 'use (m3/month)'"),
                  {layer.table.file, {}, volume->heading, ""});
}

// A column of yes and no tells something where somebody has said yes.
bool EnabledTells(const Layer& layer, const Preview& preview) {
  const ColumnChoice* choice = preview.Find("enabled");
  if (choice == nullptr) return false;
  return std::any_of(layer.table.rows.begin(), layer.table.rows.end(), [&](const TableRow& row) {
    if (choice->column >= row.cells.size()) return false;
    const auto yes = ParseYesNo(row.cells[choice->column]);
    const auto on = ParseOnOff(row.cells[choice->column]);
    return (yes.ok() && *yes) || (on.ok() && *on);
  });
}

// Whether the feature is of a shape that the kind may have; rejects it if not.
bool HasItsPlace(FeatureRow& row, TableKind kind) {
  const Shape& shape = row.shape();
  if (shape.kind == ShapeKind::kNone) {
    row.cells().Reject("", shape.fault);
    return false;
  }
  const std::vector<ShapeKind> wanted = ShapesOf(kind);
  if (std::find(wanted.begin(), wanted.end(), shape.kind) != wanted.end()) return true;
  row.cells().Reject("", "it is drawn as " + std::string(shape.kind == ShapeKind::kArea ? "an " : "a ") +
                             std::string(ToText(shape.kind)) + ", and " + std::string(ToText(kind)) +
                             " are " + Kinds(wanted));
  return false;
}

}  // namespace

Result<ImportedLayer> ImportFeatures(const Layer& layer, const Preview& preview,
                                     const FeatureOptions& options) {
  if (!IsMapKind(preview.kind) || preview.kind == TableKind::kElevation)
    return Internal("a layer of " + std::string(ToText(preview.kind)) + " has no features");
  for (const Status& checked : {CheckShapes(layer, preview.kind), CheckSewers(layer, preview, options),
                                CheckPeriod(layer, preview, options)}) {
    if (!checked.ok()) return checked.error();
  }
  ImportedLayer to;
  const bool enabled_tells = EnabledTells(layer, preview);
  if (preview.Find("enabled") != nullptr && !enabled_tells)
    to.notes.push_back("'" + preview.Find("enabled")->heading + "' says yes of no feature and is not read");
  FeatureRow row(layer, preview, options, to);
  for (size_t i = 0; i < layer.table.rows.size(); ++i) {
    row.MoveTo(i);
    if (HasItsPlace(row, preview.kind)) {
      switch (preview.kind) {
        case TableKind::kMains:
          ImportMain(row, enabled_tells, to);
          break;
        case TableKind::kServicePlaces:
          ImportServicePlace(row, options, enabled_tells, to);
          break;
        case TableKind::kZoneAreas:
          ImportZoneArea(row, to);
          break;
        default:
          ImportThing(row, preview, enabled_tells, to);
      }
    }
    row.Finish();
  }
  row.AddNotes();
  return to;
}

}  // namespace lastreach
