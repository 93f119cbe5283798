#pragma once

#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <memory>
#include <string>
#include <vector>

namespace lastreach {

// One feature for a test: well-known text in degrees (empty for none) and its attributes as text.
struct WrittenFeature {
  std::string wkt;
  std::vector<std::string> cells;  // empty ones become NULL
};

struct WrittenAttribute {
  std::string name;
  OGRFieldType type = OFTString;
};

// A layer for a test, written by the geodata library itself with coordinates of `crs`.
struct WrittenLayer {
  std::string driver = "GPKG";
  std::string crs = "EPSG:4326";  // empty for none
  std::string name = "mains";
  std::vector<WrittenAttribute> attributes;
  std::vector<WrittenFeature> features;
  OGRwkbGeometryType type = wkbUnknown;
  std::vector<std::string> options;  // of the layer
};

inline void WriteFeatures(OGRLayer& layer, const WrittenLayer& written, const OGRSpatialReference& crs) {
  OGRSpatialReference degrees;
  degrees.SetWellKnownGeogCS("WGS84");
  degrees.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  const std::unique_ptr<OGRCoordinateTransformation> to(
      written.crs.empty() ? nullptr : OGRCreateCoordinateTransformation(&degrees, &crs));
  for (const WrittenAttribute& attribute : written.attributes) {
    OGRFieldDefn field(attribute.name.c_str(), attribute.type);
    ASSERT_EQ(layer.CreateField(&field), OGRERR_NONE);
  }
  for (const WrittenFeature& from : written.features) {
    const std::unique_ptr<OGRFeature> feature(OGRFeature::CreateFeature(layer.GetLayerDefn()));
    for (size_t i = 0; i < from.cells.size(); ++i) {
      if (!from.cells[i].empty())
        feature->SetField(written.attributes[i].name.c_str(), from.cells[i].c_str());
    }
    if (!from.wkt.empty()) {
      OGRGeometry* geometry = nullptr;
      ASSERT_EQ(OGRGeometryFactory::createFromWkt(from.wkt.c_str(), nullptr, &geometry), OGRERR_NONE);
      if (to != nullptr) {
        ASSERT_EQ(geometry->transform(to.get()), OGRERR_NONE);
      }
      feature->SetGeometryDirectly(geometry);
    }
    ASSERT_EQ(layer.CreateFeature(feature.get()), OGRERR_NONE);
  }
}

// Adds to the file if it is there.
inline void WriteLayer(const std::string& path, const WrittenLayer& written) {
  GDALAllRegister();
  GDALDriver* driver = GetGDALDriverManager()->GetDriverByName(written.driver.c_str());
  ASSERT_NE(driver, nullptr);
  GDALDatasetUniquePtr dataset(
      GDALDataset::Open(path.c_str(), GDAL_OF_VECTOR | GDAL_OF_UPDATE, nullptr, nullptr, nullptr));
  if (dataset == nullptr) dataset.reset(driver->Create(path.c_str(), 0, 0, 0, GDT_Unknown, nullptr));
  ASSERT_NE(dataset, nullptr);
  OGRSpatialReference crs;
  if (!written.crs.empty()) {
    ASSERT_EQ(crs.SetFromUserInput(written.crs.c_str()), OGRERR_NONE);
  }
  crs.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  CPLStringList options;
  for (const std::string& option : written.options) options.AddString(option.c_str());
  OGRLayer* layer = dataset->CreateLayer(written.name.c_str(), written.crs.empty() ? nullptr : &crs,
                                         written.type, options.List());
  ASSERT_NE(layer, nullptr);
  WriteFeatures(*layer, written, crs);
}

}  // namespace lastreach
