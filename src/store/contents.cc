#include "store/contents.h"

#include "store/geometry.h"

namespace lastreach {
namespace {

constexpr const char* kNow = "last_change = strftime('%Y-%m-%dT%H:%M:%fZ','now')";

}  // namespace

Status NoteChange(Database& database, const std::string& table) {
  return database.Run(std::string("UPDATE gpkg_contents SET ") + kNow + " WHERE table_name = ?", {table});
}

Status NoteLayerChange(Database& database, const std::string& layer) {
  Extent whole;
  Status read = database.Query("SELECT geom FROM " + layer + " WHERE geom IS NOT NULL", {},
                               [&](const Row& row) -> Status {
                                 const auto extent = ReadExtent(row.Bytes("geom"));
                                 if (!extent.ok()) return extent.error();
                                 if (extent->empty()) return Ok();
                                 whole.Grow({extent->min_longitude_deg, extent->min_latitude_deg});
                                 whole.Grow({extent->max_longitude_deg, extent->max_latitude_deg});
                                 return Ok();
                               });
  if (!read.ok()) return read;
  const auto side = [&](double degrees) { return whole.empty() ? Value() : Value(degrees); };
  return database.Run(std::string("UPDATE gpkg_contents SET ") + kNow +
                          ", min_x = ?, min_y = ?, max_x = ?, max_y = ? WHERE table_name = ?",
                      {side(whole.min_longitude_deg), side(whole.min_latitude_deg),
                       side(whole.max_longitude_deg), side(whole.max_latitude_deg), layer});
}

}  // namespace lastreach
