#pragma once

#include <string>
#include <vector>

#include "core/result.h"
#include "import/shape.h"
#include "import/table.h"
#include "ledger/imports.h"

namespace lastreach {

// place_from of a layer whose features have a geometry.
inline constexpr const char* kOwnGeometry = "its geometry";

// A layer of a map before anybody has said what its attributes mean: a table with a row for each feature, and
// where each is.
struct Layer {
  // file: as given, without a password; sheet: the layer's name; headings: the attributes' names; a row's
  // line: the feature's own number, or its place in the file from 1 where the format numbers from 0.
  Table table;
  std::string key;  // FeatureKey.layer of all its features: "mains.gpkg", or "town.gpkg:mains" of several
  std::vector<Shape> shapes;          // one a row
  ShapeKind kind = ShapeKind::kNone;  // of most of its features
  std::string crs;                    // name of the coordinate system it was in
  std::string place_from;             // kOwnGeometry, "the column WKT", "the columns lon and lat"
};

struct LayerOptions {
  std::string layer;                  // its name (a sheet's in a workbook). DEFAULT: the only one that fits
  std::string crs;                    // "EPSG:2278": goes before what the file says
  std::string where;                  // keeps the features for which it holds: "highway IS NOT NULL"
  std::vector<std::string> headings;  // as ReadOptions
  std::vector<ChosenColumn> typed;    // from a columns file: may name columns for shape, x and y
};

// Reads a layer of whatever the geodata library knows: GeoPackage, GeoJSON, Shapefile (zipped too),
// FlatGeobuf, a text table or a workbook with a column of well-known text or of x and y, a database
// ("PG:dbname=town"). Coordinates become WGS 84 degrees (to_degrees.h); codes of a coded domain become their
// descriptions. Features without a geometry stay, with a Shape that says so.
// ERROR: kNotFound if there is no such file or layer; kBadInput if it cannot be read, if several layers fit
// and none is named (the message names them), or for its coordinate system; kBadRequest for `where`.
// COST: 100,000 lines of 10 points in 2 to 3 s.
Result<Layer> ReadLayer(const std::string& path, TableKind kind, const LayerOptions& options = {});

// Whether ReadLayer would find places in it: false for a sheet without a column of them and for a file that
// is not there.
bool HoldsShapes(const std::string& path, TableKind kind, const LayerOptions& options = {});

// What a feature of that kind may be drawn as. Empty for sheets and rasters.
std::vector<ShapeKind> ShapesOf(TableKind kind);

// A path or connection string to be shown and kept: without its password.
std::string WithoutPassword(const std::string& path);

}  // namespace lastreach
