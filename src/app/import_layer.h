#pragma once

#include <optional>
#include <string>

#include "app/command.h"
#include "import/layer_features.h"
#include "import/mapping.h"
#include "store/project.h"

namespace lastreach {

struct LayerRequest {
  std::string file;   // the project
  std::string table;  // the layer's path or connection
  TableKind kind = TableKind::kMains;
  std::string layer;         // of a file with several
  std::string crs;           // goes before what the file says
  std::string where;         // which features
  std::string units;         // of heights
  std::string columns_file;  // TOML; empty for none
  std::optional<double> period_days;
  std::optional<DateOrder> date_order;
  bool certain = false;
  std::string who;
  Instant when{};
  bool preview_only = false;
  bool json = false;

  // Whether anything is set that a sheet does not have.
  bool IsAsked() const {
    return !(layer.empty() && crs.empty() && where.empty() && units.empty()) || period_days || certain;
  }
};

// What a layer's coming changed in the project.
struct LayerChanges {
  size_t before = 0;
  size_t added = 0;
  size_t changed = 0;
  size_t gone = 0;
};

struct LayerReport {
  Preview preview;
  Layer layer;
  ImportedLayer result;
  LayerChanges changes;
};

// Reads a layer, finds its attributes (typed, then remembered, then by heading), makes features of its rows
// and puts them in the project in the place of those the same layer brought before, in one transaction with
// the import's own log. With preview_only nothing is written.
// ERROR: as ReadLayer, MapLayer, ImportFeatures; kBadInput if no feature comes in.
Result<LayerReport> ReadAndPutLayer(Project& project, const LayerRequest& request);

// The same and for rasters, with what there is to say, as text or JSON.
Result<int> ImportMapLayer(const LayerRequest& request, Surroundings& around);

// Says what came in and what did not.
void PrintText(const LayerReport& report, bool preview_only, std::ostream& out);
void PrintJson(const LayerReport& report, bool preview_only, std::ostream& out);

}  // namespace lastreach
