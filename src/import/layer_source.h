#pragma once

#include <memory>
#include <string>

#include "core/result.h"
#include "import/layer.h"

class GDALDataset;
class OGRLayer;

namespace lastreach {

// Closes the file when it goes.
struct CloseDataset {
  void operator()(GDALDataset* dataset) const;
};

// A layer opened, before it is read.
struct LayerSource {
  std::unique_ptr<GDALDataset, CloseDataset> dataset;
  OGRLayer* layer = nullptr;  // owned by the dataset
  int layers = 0;             // in the file
};

// What the library may be asked to open: a zipped or gzipped file gets the prefix that looks inside.
// ERROR: kNotFound if it is a path and there is nothing.
Result<std::string> OpenablePath(const std::string& path);

// Opens `path`, with no layer chosen. ERROR: kNotFound; kBadInput with what the library says.
Result<LayerSource> OpenDataset(const std::string& path);

// Opens `path` and finds the layer for `kind`, as ReadLayer.
Result<LayerSource> OpenLayer(const std::string& path, TableKind kind, const LayerOptions& options);

// Whether some layer of it has a geometry; false if it cannot be opened.
bool HasPlaces(const std::string& path);

// Keeps the library from printing, for as long as it stands.
class Quietly {
 public:
  Quietly();
  ~Quietly();
  Quietly(const Quietly&) = delete;
  Quietly& operator=(const Quietly&) = delete;
};

}  // namespace lastreach
