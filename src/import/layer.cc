#include "import/layer.h"

#include <cpl_conv.h>
#include <cpl_error.h>
#include <cpl_string.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <array>
#include <climits>
#include <filesystem>
#include <fstream>
#include <set>

#include "import/cell_words.h"
#include "import/layer_source.h"
#include "import/layer_table.h"
#include "import/tags.h"
#include "import/to_degrees.h"

namespace lastreach {
namespace {

// Code to description, for a field whose values are codes.
using Codes = std::map<std::string, std::string>;

Codes CodesOf(const GDALDataset& dataset, const OGRFieldDefn& field) {
  Codes codes;
  const OGRFieldDomain* domain = dataset.GetFieldDomain(field.GetDomainName());
  if (domain == nullptr || domain->GetDomainType() != OFDT_CODED) return codes;
  const auto* coded = dynamic_cast<const OGRCodedFieldDomain*>(domain);
  if (coded == nullptr) return codes;
  for (const OGRCodedValue* value = coded->GetEnumeration(); value->pszCode != nullptr; ++value) {
    if (value->pszValue != nullptr) codes.emplace(value->pszCode, value->pszValue);
  }
  return codes;
}

// Old formats do not say how their letters are coded.
std::string ToUtf8(std::string text) {
  if (CPLIsUTF8(text.c_str(), static_cast<int>(text.size()))) return text;
  char* recoded = CPLRecode(text.c_str(), "CP1252", CPL_ENC_UTF8);
  text = recoded;
  CPLFree(recoded);
  return text;
}

std::string CellOf(const OGRFeature& feature, int i, const Codes& codes) {
  if (!feature.IsFieldSetAndNotNull(i)) return "";
  std::string cell = ToUtf8(feature.GetFieldAsString(i));
  const auto described = codes.find(cell);
  return described == codes.end() ? cell : described->second;
}

Error NotAskable(const Table& table, const std::string& where) {
  return BadRequest("--where: the layer " + table.sheet + " of " + table.file + " cannot be asked '" + where +
                    "'");
}

// Whether the format numbers features from 0, so that people count from one less.
bool NumbersFromZero(OGRLayer& layer) {
  const std::unique_ptr<OGRFeature> first(layer.GetNextFeature());
  layer.ResetReading();
  return first != nullptr && first->GetFID() == 0;
}

void ReadFeatures(const GDALDataset& dataset, OGRLayer& layer, bool from_zero, Layer& to) {
  const OGRFeatureDefn& definition = *layer.GetLayerDefn();
  std::vector<Codes> codes;
  for (int i = 0; i < definition.GetFieldCount(); ++i) {
    to.table.headings.push_back(ToUtf8(definition.GetFieldDefn(i)->GetNameRef()));
    codes.push_back(CodesOf(dataset, *definition.GetFieldDefn(i)));
  }
  bool fits = true;
  std::set<int64_t> numbers;
  std::vector<int64_t> number_of;
  while (const std::unique_ptr<OGRFeature> feature{layer.GetNextFeature()}) {
    const int64_t number = feature->GetFID() + (from_zero ? 1 : 0);
    fits = fits && number >= 1 && number < INT_MAX && numbers.insert(number).second;
    number_of.push_back(number);
    TableRow row;
    row.cells.reserve(codes.size());
    for (size_t i = 0; i < codes.size(); ++i)
      row.cells.push_back(CellOf(*feature, static_cast<int>(i), codes[i]));
    to.table.rows.push_back(std::move(row));
    to.shapes.push_back(ShapeOf(feature->GetGeometryRef()));
  }
  for (size_t i = 0; i < to.table.rows.size(); ++i) {
    TableRow& row = to.table.rows[i];
    row.line = row.last_line = fits ? static_cast<int>(number_of[i]) : static_cast<int>(i + 1);
    to.table.lines = std::max(to.table.lines, row.line);
  }
}

ShapeKind CommonestKind(const std::vector<Shape>& shapes) {
  std::array<size_t, 4> counts{};
  for (const Shape& shape : shapes) ++counts[static_cast<size_t>(shape.kind)];
  const auto best = std::max_element(counts.begin() + 1, counts.end());
  return *best == 0 ? ShapeKind::kNone : static_cast<ShapeKind>(best - counts.begin());
}

std::string KeyOf(const std::string& path, const std::string& layer, int layers) {
  std::string base = std::filesystem::path(path).filename().string();
  // A connection is no name, and may change while the table stays.
  if (!path.starts_with("/vsi") && !std::filesystem::exists(path)) return layer;
  if (base.empty()) base = std::filesystem::path(path).parent_path().filename().string();
  return layers > 1 ? base + ":" + layer : base;
}

Result<Layer> ReadMap(const std::string& path, TableKind kind, const LayerOptions& options) {
  const Quietly quietly;
  auto source = OpenLayer(path, kind, options);
  if (!source.ok()) return source.error();
  Layer layer;
  layer.table.file = WithoutPassword(path);
  layer.table.sheet = source->layer->GetName();
  layer.key = KeyOf(path, layer.table.sheet, source->layers);
  layer.place_from = kOwnGeometry;
  const bool from_zero = NumbersFromZero(*source->layer);
  if (!options.where.empty() && source->layer->SetAttributeFilter(options.where.c_str()) != OGRERR_NONE)
    return NotAskable(layer.table, options.where);
  CPLErrorReset();
  ReadFeatures(*source->dataset, *source->layer, from_zero, layer);
  if (CPLGetLastErrorType() == CE_Failure) {
    // Databases find a fault in the question only when they are read.
    if (!options.where.empty() && layer.table.rows.empty()) return NotAskable(layer.table, options.where);
    return BadInput("the layer breaks off after " + std::to_string(layer.table.rows.size()) +
                        " features: " + Trimmed(CPLGetLastErrorMsg()),
                    {layer.table.file, {}, "", layer.table.sheet});
  }
  SpreadTags(layer.table, kind);
  // A table without places may have them in its columns.
  if (source->layer->GetGeomType() == wkbNone) return PlacedByColumns(std::move(layer), kind, options);
  auto crs = ToDegrees(layer.table.file, source->layer->GetSpatialRef(), options.crs, layer.shapes,
                       layer.table.notes);
  if (!crs.ok()) return crs.error();
  layer.crs = *crs;
  return layer;
}

// A text or workbook, which has a reader of its own that knows titles, separators and encodings.
bool IsSheet(const std::string& path) {
  if (!std::filesystem::is_regular_file(path)) return false;
  const std::string lower = Lower(path);
  for (const char* ending : {".csv", ".txt", ".tsv", ".xlsx", ".xls"}) {
    if (lower.ends_with(ending)) return true;
  }
  return false;
}

}  // namespace

std::vector<ShapeKind> ShapesOf(TableKind kind) {
  switch (kind) {
    case TableKind::kMains:
      return {ShapeKind::kLine};
    case TableKind::kValves:
    case TableKind::kHydrants:
    case TableKind::kBlowOffs:
    case TableKind::kTanks:
    case TableKind::kSources:
    case TableKind::kPumps:
    case TableKind::kFittings:
      return {ShapeKind::kPoint, ShapeKind::kArea};
    case TableKind::kServicePlaces:
      return {ShapeKind::kPoint, ShapeKind::kArea, ShapeKind::kLine};
    case TableKind::kZoneAreas:
      return {ShapeKind::kArea};
    default:
      return {};
  }
}

Result<Layer> ReadLayer(const std::string& path, TableKind kind, const LayerOptions& options) {
  auto layer = IsSheet(path) ? ReadSheetAsLayer(path, kind, options) : ReadMap(path, kind, options);
  if (!layer.ok()) return layer;
  if (layer->table.rows.empty()) {
    return BadInput(options.where.empty() ? "the layer has no features"
                                          : "no feature of the layer is such that " + options.where,
                    {layer->table.file, {}, "", layer->table.sheet});
  }
  layer->kind = CommonestKind(layer->shapes);
  if (layer->kind == ShapeKind::kNone)
    return BadInput("no feature of it has a place; the first: " + layer->shapes[0].fault,
                    {layer->table.file, layer->table.rows[0].line, "", ""});
  layer->table.notes.push_back(
      std::to_string(layer->shapes.size()) + (layer->shapes.size() == 1 ? " feature" : " features") +
      (options.where.empty() ? "" : " such that " + options.where) + ", mostly " +
      std::string(ToText(layer->kind)) + "s, placed by " + layer->place_from + ", in " + layer->crs);
  return layer;
}

bool HoldsShapes(const std::string& path, TableKind kind, const LayerOptions& options) {
  if (IsSheet(path)) return HasPlaceColumns(path, kind, options);
  const Quietly quietly;
  return HasPlaces(path);
}

}  // namespace lastreach
