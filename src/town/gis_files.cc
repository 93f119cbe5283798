#include "town/gis_files.h"

#include <cpl_conv.h>
#include <cpl_error.h>
#include <gdal_priv.h>
#include <ogr_spatialref.h>
#include <ogrsf_frmts.h>

#include <memory>

namespace lastreach {
namespace {

// The day the layers were handed over, in place of today's.
constexpr const char* kHandedOver = "2026-09-15T15:00:00.000Z";
constexpr const char* kHandedOverDay = "2026-09-15";

Error CannotWrite(const std::string& path) {
  return BadInput("the layer cannot be written", {path, {}, "", ""});
}

OGRSpatialReference System(int epsg) {
  OGRSpatialReference system;
  system.importFromEPSG(epsg);
  system.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  return system;
}

using Transformation = std::unique_ptr<OGRCoordinateTransformation>;
Transformation Between(int from, int to) {
  const OGRSpatialReference source = System(from), target = System(to);
  return Transformation(OGRCreateCoordinateTransformation(&source, &target));
}

GisPoint Transformed(OGRCoordinateTransformation& transformation, GisPoint point) {
  transformation.Transform(1, &point.longitude_deg, &point.latitude_deg);
  return point;
}

// Options of GDAL for this thread, put back at the end of the scope.
class Quiet {
 public:
  Quiet() {
    CPLPushErrorHandler(CPLQuietErrorHandler);
    CPLSetThreadLocalConfigOption("OGR_CURRENT_DATE", kHandedOver);
  }
  ~Quiet() {
    CPLSetThreadLocalConfigOption("OGR_CURRENT_DATE", nullptr);
    CPLPopErrorHandler();
  }
  Quiet(const Quiet&) = delete;
  Quiet& operator=(const Quiet&) = delete;
};

const char* DriverName(GisFormat format) {
  return format == GisFormat::kShapefile    ? "ESRI Shapefile"
         : format == GisFormat::kGeoPackage ? "GPKG"
                                            : "GeoJSON";
}

std::unique_ptr<OGRGeometry> GeometryOf(const GisFeature& feature, GisShape shape,
                                        OGRCoordinateTransformation* to) {
  const auto fill = [&](OGRSimpleCurve& curve, const GisLine& points) {
    for (GisPoint point : points) {
      if (to != nullptr) point = Transformed(*to, point);
      curve.addPoint(point.longitude_deg, point.latitude_deg);
    }
  };
  if (shape == GisShape::kPoint) {
    GisPoint point = feature.parts.front().front();
    if (to != nullptr) point = Transformed(*to, point);
    return std::make_unique<OGRPoint>(point.longitude_deg, point.latitude_deg);
  }
  if (shape == GisShape::kPolygon) {
    OGRLinearRing ring;
    fill(ring, feature.parts.front());
    ring.closeRings();
    auto polygon = std::make_unique<OGRPolygon>();
    polygon->addRing(&ring);
    return polygon;
  }
  auto lines = std::make_unique<OGRMultiLineString>();
  for (const GisLine& part : feature.parts) {
    OGRLineString line;
    fill(line, part);
    lines->addGeometry(&line);
  }
  if (lines->getNumGeometries() > 1) return lines;
  return std::unique_ptr<OGRGeometry>(lines->getGeometryRef(0)->clone());
}

void SetValue(OGRFeature& feature, int field, const GisValue& value) {
  if (const auto* text = std::get_if<std::string>(&value)) feature.SetField(field, text->c_str());
  if (const auto* whole = std::get_if<int64_t>(&value)) feature.SetField(field, static_cast<GIntBig>(*whole));
  if (const auto* number = std::get_if<double>(&value)) feature.SetField(field, *number);
}

OGRwkbGeometryType TypeOf(const GisLayer& layer) {
  if (layer.shape == GisShape::kPoint) return wkbPoint;
  return layer.shape == GisShape::kPolygon ? wkbPolygon : wkbLineString;
}

bool CreateFields(OGRLayer& made, const GisLayer& layer) {
  for (const auto& [name, kind] : layer.fields) {
    OGRFieldDefn field(name.c_str(), kind == GisField::kText    ? OFTString
                                     : kind == GisField::kWhole ? OFTInteger64
                                                                : OFTReal);
    if (made.CreateField(&field) != OGRERR_NONE) return false;
  }
  return true;
}

bool CreateFeatures(OGRLayer& made, const GisLayer& layer) {
  const Transformation to = layer.epsg == 4326 ? nullptr : Between(4326, layer.epsg);
  for (const GisFeature& feature : layer.features) {
    OGRFeature row(made.GetLayerDefn());
    row.SetGeometryDirectly(GeometryOf(feature, layer.shape, to.get()).release());
    for (size_t i = 0; i < feature.values.size(); ++i) SetValue(row, static_cast<int>(i), feature.values[i]);
    if (made.CreateFeature(&row) != OGRERR_NONE) return false;
  }
  return true;
}

}  // namespace

Status WriteGisLayer(const std::string& path, GisFormat format, const GisLayer& layer) {
  GDALAllRegister();
  const Quiet quiet;
  GDALDriver* driver = GetGDALDriverManager()->GetDriverByName(DriverName(format));
  if (driver == nullptr) return Internal("GDAL was built without " + std::string(DriverName(format)));
  VSIStatBufL there;
  if (VSIStatL(path.c_str(), &there) == 0) driver->Delete(path.c_str());
  CPLErrorReset();
  GDALDatasetUniquePtr file(driver->Create(path.c_str(), 0, 0, 0, GDT_Unknown, nullptr));
  if (!file) return CannotWrite(path);
  CPLStringList options;
  if (format == GisFormat::kShapefile) options.SetNameValue("DBF_DATE_LAST_UPDATE", kHandedOverDay);
  if (format == GisFormat::kGeoJson) options.SetNameValue("COORDINATE_PRECISION", "8");
  OGRSpatialReference system = System(layer.epsg);
  OGRLayer* made = file->CreateLayer(layer.name.c_str(), &system, TypeOf(layer), options.List());
  if (made == nullptr || !CreateFields(*made, layer)) return CannotWrite(path);
  const bool in_one_go = file->StartTransaction() == OGRERR_NONE;
  if (!CreateFeatures(*made, layer)) return CannotWrite(path);
  if (in_one_go && file->CommitTransaction() != OGRERR_NONE) return CannotWrite(path);
  file.reset();  // a full disk shows only here
  return CPLGetLastErrorType() < CE_Failure ? Ok() : Status(CannotWrite(path));
}

Status WriteGisGrid(const std::string& path, const GisGrid& grid) {
  GDALAllRegister();
  const Quiet quiet;
  GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GTiff");
  if (driver == nullptr) return Internal("GDAL was built without GTiff");
  CPLStringList options;
  options.SetNameValue("COMPRESS", "DEFLATE");
  const GDALDatasetUniquePtr file(
      driver->Create(path.c_str(), grid.width, grid.height, 1, GDT_Float32, options.List()));
  if (!file) return CannotWrite(path);
  double transform[6] = {grid.west_m, grid.cell_m, 0, grid.north_m, 0, -grid.cell_m};
  const OGRSpatialReference system = System(grid.epsg);
  file->SetGeoTransform(transform);
  file->SetSpatialRef(&system);
  std::vector<float> metres = grid.metres;
  const CPLErr written =
      file->GetRasterBand(1)->RasterIO(GF_Write, 0, 0, grid.width, grid.height, metres.data(), grid.width,
                                       grid.height, GDT_Float32, 0, 0, nullptr);
  return written == CE_None ? Ok() : Status(CannotWrite(path));
}

GisPoint ToSystem(int epsg, GisPoint degrees) { return Transformed(*Between(4326, epsg), degrees); }
GisPoint FromSystem(int epsg, GisPoint metres_or_feet) {
  return Transformed(*Between(epsg, 4326), metres_or_feet);
}

}  // namespace lastreach
