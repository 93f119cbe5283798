#include "import/layer_source.h"

#include <cpl_error.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <filesystem>
#include <regex>

#include "import/cell_words.h"

namespace lastreach {
namespace {

// "PG:dbname=town", "MSSQL:server=..."; a drive letter is no connection.
bool IsConnection(const std::string& path) {
  static const std::regex kScheme("^[A-Za-z][A-Za-z0-9]+:.*");
  return std::regex_match(path, kScheme) && !std::filesystem::exists(path);
}

// What the library says of the last thing that went wrong, in one line.
std::string LastFault() {
  std::string text = CPLGetLastErrorMsg();
  std::replace(text.begin(), text.end(), '\n', ' ');
  return WithoutPassword(Trimmed(text));
}

ShapeKind KindOf(OGRwkbGeometryType type) {
  const OGRwkbGeometryType flat = OGR_GT_Flatten(type);
  if (OGR_GT_IsSubClassOf(flat, wkbPoint) != 0 || flat == wkbMultiPoint) return ShapeKind::kPoint;
  if (OGR_GT_IsSubClassOf(flat, wkbCurve) != 0 || OGR_GT_IsSubClassOf(flat, wkbMultiCurve) != 0)
    return ShapeKind::kLine;
  if (OGR_GT_IsSubClassOf(flat, wkbSurface) != 0 || OGR_GT_IsSubClassOf(flat, wkbMultiSurface) != 0)
    return ShapeKind::kArea;
  return ShapeKind::kNone;
}

bool Fits(OGRLayer& layer, TableKind kind) {
  const OGRwkbGeometryType type = layer.GetGeomType();
  if (type == wkbNone) return false;
  const ShapeKind shape = KindOf(type);
  const std::vector<ShapeKind> wanted = ShapesOf(kind);
  // A layer that does not say may hold anything.
  return shape == ShapeKind::kNone || std::find(wanted.begin(), wanted.end(), shape) != wanted.end();
}

std::string Described(OGRLayer& layer) {
  const ShapeKind shape = KindOf(layer.GetGeomType());
  std::string text = layer.GetName();
  if (layer.GetGeomType() == wkbNone) return text + " (no places)";
  if (shape != ShapeKind::kNone) text += " (" + std::string(ToText(shape)) + "s)";
  return text;
}

Result<OGRLayer*> Choose(GDALDataset& dataset, const std::string& shown, TableKind kind,
                         const LayerOptions& options) {
  std::string names;
  std::vector<OGRLayer*> fitting;
  for (int i = 0; i < dataset.GetLayerCount(); ++i) {
    OGRLayer* layer = dataset.GetLayer(i);
    names += (names.empty() ? "" : ", ") + Described(*layer);
    if (!options.layer.empty() && options.layer == layer->GetName()) return layer;
    if (Fits(*layer, kind)) fitting.push_back(layer);
  }
  if (!options.layer.empty()) {
    // A database lists only what its catalogue of places knows.
    if (OGRLayer* layer = dataset.GetLayerByName(options.layer.c_str())) return layer;
    return NotFound("there is no such layer; there are " + names, {shown, {}, "", options.layer});
  }
  if (fitting.size() == 1) return fitting[0];
  if (dataset.GetLayerCount() == 1) return dataset.GetLayer(0);
  if (dataset.GetLayerCount() == 0) return BadInput("there is no layer in it", {shown, {}, "", ""});
  return BadInput("it has several layers; name one with --layer: " + names, {shown, {}, "", ""});
}

}  // namespace

Quietly::Quietly() {
  CPLPushErrorHandler(CPLQuietErrorHandler);
  CPLErrorReset();
}
Quietly::~Quietly() { CPLPopErrorHandler(); }

void CloseDataset::operator()(GDALDataset* dataset) const { GDALClose(dataset); }

std::string WithoutPassword(const std::string& path) {
  static const std::regex kPassword("(password|pwd)\\s*=\\s*('[^']*'|[^\\s;,]+)", std::regex::icase);
  static const std::regex kInAddress("(://[^:/@\\s]*):[^@/\\s]*@");
  return std::regex_replace(std::regex_replace(path, kPassword, "$1=***"), kInAddress, "$1:***@");
}

Result<std::string> OpenablePath(const std::string& path) {
  if (path.starts_with("/vsi") || IsConnection(path)) return path;
  if (!std::filesystem::exists(path)) return NotFound("there is no such file", {path, {}, "", ""});
  const std::string lower = Lower(path);
  const std::string absolute = std::filesystem::absolute(path).string();
  if (lower.ends_with(".zip")) return "/vsizip/" + absolute;
  if (lower.ends_with(".gz")) return "/vsigzip/" + absolute;
  return path;
}

Result<LayerSource> OpenDataset(const std::string& path) {
  const auto openable = OpenablePath(path);
  if (!openable.ok()) return openable.error();
  GDALAllRegister();
  LayerSource source;
  source.dataset.reset(
      GDALDataset::Open(openable->c_str(), GDAL_OF_VECTOR | GDAL_OF_READONLY, nullptr, nullptr, nullptr));
  if (source.dataset == nullptr) {
    const std::string fault = LastFault();
    return BadInput("this cannot be read as a map layer" + (fault.empty() ? "" : " (" + fault + ")"),
                    {WithoutPassword(path), {}, "", ""});
  }
  source.layers = source.dataset->GetLayerCount();
  return source;
}

Result<LayerSource> OpenLayer(const std::string& path, TableKind kind, const LayerOptions& options) {
  auto source = OpenDataset(path);
  if (!source.ok()) return source;
  const auto layer = Choose(*source->dataset, WithoutPassword(path), kind, options);
  if (!layer.ok()) return layer.error();
  source->layer = *layer;
  // Formats that keep all layers in one stream hold back the features of those nobody reads.
  if (EQUAL(source->dataset->GetDriverName(), "OSM")) {
    const std::string only = std::string("SET interest_layers = ") + source->layer->GetName();
    source->dataset->ReleaseResultSet(source->dataset->ExecuteSQL(only.c_str(), nullptr, nullptr));
  }
  return source;
}

bool HasPlaces(const std::string& path) {
  const auto source = OpenDataset(path);
  if (!source.ok()) return false;
  for (int i = 0; i < source->layers; ++i) {
    if (source->dataset->GetLayer(i)->GetGeomType() != wkbNone) return true;
  }
  return false;
}

}  // namespace lastreach
