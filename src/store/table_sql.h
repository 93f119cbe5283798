#pragma once

#include <string>

namespace lastreach {

// Pieces of SQL that the tables of the project file are made of. Migrations are built from them and are never
// changed once released, so what these return must stay as it is: a new need is a new function.

// Number of a row of attributes, of a feature, and the flush point a row belongs to.
inline const std::string kId = "id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL";
inline const std::string kFid = "fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL";
inline const std::string kPoint = "point TEXT NOT NULL REFERENCES flush_points(code)";

// A number and where it came from: five columns.
std::string SourcedColumns(const std::string& name, const std::string& type = "REAL");

// The column that names the row of the same table which a row corrects.
std::string ReplacesColumn(const std::string& table);

// Triggers that let rows only be added. The last is for INSERT OR REPLACE, which would slip past the one on
// DELETE.
std::string AppendOnly(const std::string& table);

// Rows of the GeoPackage's list of contents: a table of attributes, and a layer of features whose column
// `geom` is of type `geometry` on WGS 84. SOURCE: [OGC 12-128r17] tables "Contents", "Geometry Columns".
std::string Register(const std::string& table, const std::string& description);
std::string RegisterLayer(const std::string& table, const std::string& geometry,
                          const std::string& description);

}  // namespace lastreach
