#pragma once

#include <gdal_priv.h>
#include <gtest/gtest.h>
#include <ogr_spatialref.h>
#include <ogrsf_frmts.h>

#include <filesystem>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "town/town_layers.h"

namespace lastreach {

// One feature as GDAL reads it back, laid out in UTM zone 14 north, so that distances are metres (4 in 10,000
// short there).
struct ReadFeature {
  std::map<std::string, std::string> cells;
  std::unique_ptr<OGRGeometry> shape;
  OGREnvelope box;
};

// The layers, written once for all tests that derive from it and read back by GDAL, not by our own code.
class WrittenLayers : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    folder_ =
        (std::filesystem::temp_directory_path() / ("lastreach-layers-" + std::to_string(getpid()))).string();
    ASSERT_TRUE(WriteTownLayers(folder_).ok());
    GDALAllRegister();
  }
  static void TearDownTestSuite() { std::filesystem::remove_all(folder_); }

  static std::string Path(const std::string& name) {
    return (std::filesystem::path(folder_) / name).string();
  }

  static std::vector<ReadFeature> Read(const std::string& name) {
    std::vector<ReadFeature> features;
    const char* columns[] = {"X_POSSIBLE_NAMES=Longitude", "Y_POSSIBLE_NAMES=Latitude", nullptr};
    const char* const* options = name == "hydrants.csv" ? columns : nullptr;
    GDALDatasetUniquePtr file(
        GDALDataset::Open(Path(name).c_str(), GDAL_OF_VECTOR, nullptr, options, nullptr));
    if (!file) return features;
    OGRLayer* layer = file->GetLayer(0);
    OGRSpatialReference degrees = System(4326), metres = System(32614);
    OGRSpatialReference source = layer->GetSpatialRef() != nullptr ? *layer->GetSpatialRef() : degrees;
    source.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    const std::unique_ptr<OGRCoordinateTransformation> to(
        OGRCreateCoordinateTransformation(&source, &metres));
    for (const auto& row : *layer) {
      ReadFeature feature;
      for (int i = 0; i < row->GetFieldCount(); ++i)
        feature.cells[row->GetFieldDefnRef(i)->GetNameRef()] = row->GetFieldAsString(i);
      if (row->GetGeometryRef() != nullptr) {
        feature.shape.reset(row->GetGeometryRef()->clone());
        feature.shape->transform(to.get());
        feature.shape->getEnvelope(&feature.box);
      }
      features.push_back(std::move(feature));
    }
    return features;
  }

  static OGRPoint PointAt(double longitude_deg, double latitude_deg) {
    OGRSpatialReference degrees = System(4326), metres = System(32614);
    OGRPoint point(longitude_deg, latitude_deg);
    const std::unique_ptr<OGRCoordinateTransformation> to(
        OGRCreateCoordinateTransformation(&degrees, &metres));
    point.transform(to.get());
    return point;
  }

  static OGRSpatialReference System(int epsg) {
    OGRSpatialReference system;
    system.importFromEPSG(epsg);
    system.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    return system;
  }

  static std::string folder_;
};
inline std::string WrittenLayers::folder_;

}  // namespace lastreach
