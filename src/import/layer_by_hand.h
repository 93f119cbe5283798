#pragma once

// Layers written by hand for the tests of this room.

#include <string>
#include <utility>
#include <vector>

#include "import/layer_features.h"
#include "import/layer_mapping.h"

namespace lastreach {

inline Shape Line(std::vector<Position> line) { return {ShapeKind::kLine, {{std::move(line)}}, ""}; }
inline Shape Point(double longitude_deg, double latitude_deg) {
  return {ShapeKind::kPoint, {{{{longitude_deg, latitude_deg}}}}, ""};
}

// A layer by hand. Each row has its own shape, or a line 100 m and more long.
inline Layer LayerOf(std::vector<std::string> headings, std::vector<std::vector<std::string>> rows,
                     std::vector<Shape> shapes = {}) {
  Layer layer;
  layer.table.file = "town.gpkg";
  layer.table.sheet = "layer 1";
  layer.table.headings = std::move(headings);
  int line = 0;
  for (auto& cells : rows) {
    ++line;
    layer.table.rows.push_back({line, line, std::move(cells)});
  }
  layer.shapes = std::move(shapes);
  while (layer.shapes.size() < layer.table.rows.size()) {
    const double at = static_cast<double>(layer.shapes.size());
    layer.shapes.push_back(Line({{at / 100, 30}, {at / 100 + 0.001, 30}}));
  }
  layer.kind = layer.shapes[0].kind;
  layer.key = "town.gpkg";
  layer.place_from = kOwnGeometry;
  return layer;
}

inline Result<ImportedLayer> Import(const Layer& layer, TableKind kind, const FeatureOptions& options = {}) {
  const auto preview = MapLayer(layer, kind);
  if (!preview.ok()) return preview.error();
  return ImportFeatures(layer, *preview, options);
}

inline std::vector<std::string> KeysOf(const ImportedLayer& imported) {
  std::vector<std::string> keys;
  for (const DrawnMain& main : imported.mains) keys.push_back(main.key.key);
  return keys;
}

}  // namespace lastreach
