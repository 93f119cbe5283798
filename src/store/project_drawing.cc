// What the layers of the map show, each as a layer of the project file.
#include "store/contents.h"
#include "store/geometry.h"
#include "store/project_impl.h"

namespace lastreach {
namespace {

Place PlaceOf(const FeatureKey& key) { return {key.layer, {}, "feature", key.key}; }

Columns KeyColumns(const FeatureKey& key, Value geometry) {
  return {{"geom", std::move(geometry)}, {"layer", key.layer}, {"feature", key.key}};
}
FeatureKey ReadKey(const Row& row) { return {row.Text("layer"), row.Text("feature")}; }

Result<Columns> ColumnsOf(const DrawnMain& main) {
  if (main.line.size() < 2) return BadInput("a main needs two points or more", PlaceOf(main.key));
  Columns columns = KeyColumns(main.key, LineBlob(main.line));
  AddSourced(columns, "diameter_mm", main.diameter, kMillimetres);
  columns.insert(columns.end(), {{"material", main.material},
                                 {"year_laid", IntValue(main.year_laid)},
                                 {"street", main.street},
                                 {"zone", main.zone},
                                 {"written_length_m", NumberValue(main.written_length, kMetres)},
                                 {"status", TextOf(ToText(main.status))},
                                 {"level", int64_t{main.level}}});
  return columns;
}

Result<DrawnMain> ReadMain(const Row& row) {
  DrawnMain main;
  main.key = ReadKey(row);
  auto line = ReadLineBlob(row.Bytes("geom"));
  if (!line.ok()) return BadInput(line.error().message, PlaceOf(main.key));
  main.line = std::move(*line);
  auto diameter = ReadSourced(row, "diameter_mm", kMillimetres);
  if (!diameter.ok()) return diameter.error();
  main.diameter = std::move(*diameter);
  main.material = row.Text("material");
  main.year_laid = ReadInt(row, "year_laid");
  main.street = row.Text("street");
  main.zone = row.Text("zone");
  if (!row.IsNull("written_length_m")) main.written_length = Length::Metres(row.Number("written_length_m"));
  const auto status = ParseMainStatus(row.Text("status"));
  if (!status.ok()) return status.error();
  main.status = *status;
  main.level = static_cast<int>(row.Int("level"));
  return main;
}

Result<Position> ReadPlace(const Row& row) {
  const auto at = ReadPointBlob(row.Bytes("geom"));
  if (!at.ok()) return BadInput(at.error().message, PlaceOf(ReadKey(row)));
  if (!*at) return BadInput("the feature has no place", PlaceOf(ReadKey(row)));
  return **at;
}

Result<Columns> ColumnsOf(const DrawnThing& thing) {
  Columns columns = KeyColumns(thing.key, PointBlob(thing.at));
  columns.insert(columns.end(), {{"kind", TextOf(ToText(thing.kind))},
                                 {"name", thing.name},
                                 {"zone", thing.zone},
                                 {"closed", int64_t{thing.closed}},
                                 {"head_m", RealValue(thing.head_m)}});
  return columns;
}

Result<DrawnThing> ReadThing(const Row& row) {
  const auto kind = ParseThingKind(row.Text("kind"));
  if (!kind.ok()) return kind.error();
  const auto at = ReadPlace(row);
  if (!at.ok()) return at.error();
  return DrawnThing{
      ReadKey(row),           *kind, *at, row.Text("name"), row.Text("zone"), row.Int("closed") != 0,
      ReadReal(row, "head_m")};
}

Result<Columns> ColumnsOf(const DrawnService& service) {
  Columns columns = KeyColumns(service.key, PointBlob(service.at));
  columns.emplace_back("street", service.street);
  columns.emplace_back("connections", int64_t{service.count});
  AddSourced(columns, "use_l_per_s", service.use, kLitresPerSecond);
  return columns;
}

Result<DrawnService> ReadService(const Row& row) {
  const auto at = ReadPlace(row);
  if (!at.ok()) return at.error();
  auto use = ReadSourced(row, "use_l_per_s", kLitresPerSecond);
  if (!use.ok()) return use.error();
  return DrawnService{ReadKey(row), *at, row.Text("street"), static_cast<int>(row.Int("connections")),
                      std::move(*use)};
}

Result<Columns> ColumnsOf(const DrawnArea& area) {
  // SOURCE: [OGC 06-103r4] clause 6.1.11: a ring is closed, so the smallest has four points.
  constexpr size_t kLeastRing = 4;
  if (area.polygons.empty()) return BadInput("an area needs a polygon", PlaceOf(area.key));
  for (const Polygon& polygon : area.polygons) {
    if (polygon.empty()) return BadInput("a polygon needs a ring", PlaceOf(area.key));
    for (const Line& ring : polygon) {
      if (ring.size() < kLeastRing) return BadInput("a ring needs four points or more", PlaceOf(area.key));
    }
  }
  Columns columns = KeyColumns(area.key, AreaBlob(area.polygons));
  columns.emplace_back("name", area.name);
  return columns;
}

Result<DrawnArea> ReadArea(const Row& row) {
  auto polygons = ReadAreaBlob(row.Bytes("geom"));
  if (!polygons.ok()) return BadInput(polygons.error().message, PlaceOf(ReadKey(row)));
  return DrawnArea{ReadKey(row), row.Text("name"), std::move(*polygons)};
}

Result<Columns> ColumnsOf(const SetAside& feature) {
  Columns columns = KeyColumns(feature.key, feature.at ? Value(PointBlob(*feature.at)) : Value());
  columns.emplace_back("reason", feature.reason);
  columns.emplace_back("length_m", feature.length_m);
  return columns;
}

Result<SetAside> ReadSetAside(const Row& row) {
  SetAside feature{ReadKey(row), row.Text("reason"), row.Number("length_m"), {}};
  if (row.IsNull("geom")) return feature;
  const auto at = ReadPointBlob(row.Bytes("geom"));
  if (!at.ok()) return BadInput(at.error().message, PlaceOf(feature.key));
  feature.at = *at;
  return feature;
}

// Puts `features` in the place of those that `clear` takes away.
template <typename Feature>
Status Replace(Database& database, const std::string& table, const std::string& layer,
               const std::vector<Feature>& features, const std::string& clear,
               const std::vector<Value>& values) {
  return database.InTransaction([&]() -> Status {
    if (Status cleared = database.Run(clear, values); !cleared.ok()) return cleared;
    for (const Feature& feature : features) {
      if (feature.key.layer != layer) {
        return BadInput("the feature is not of the layer " + layer, PlaceOf(feature.key));
      }
      const auto columns = ColumnsOf(feature);
      if (!columns.ok()) return columns.error();
      if (const auto added = database.Insert(table, *columns); !added.ok()) return added.error();
    }
    return NoteLayerChange(database, table);
  });
}

template <typename Feature>
Status ReplaceLayer(Database& database, const std::string& table, const std::string& layer,
                    const std::vector<Feature>& features) {
  return Replace(database, table, layer, features, "DELETE FROM " + table + " WHERE layer = ?", {layer});
}

}  // namespace

Status Project::PutMains(const std::string& layer, const std::vector<DrawnMain>& mains) {
  return ReplaceLayer(*impl_->database, "mains", layer, mains);
}

Status Project::PutThings(const std::string& layer, ThingKind kind, const std::vector<DrawnThing>& things) {
  const std::string word = TextOf(ToText(kind));
  for (const DrawnThing& thing : things) {
    if (thing.kind == kind) continue;
    return BadInput("a " + TextOf(ToText(thing.kind)) + " stands in a list of the kind " + word,
                    PlaceOf(thing.key));
  }
  return Replace(*impl_->database, "things", layer, things, "DELETE FROM things WHERE layer = ? AND kind = ?",
                 {layer, word});
}

Status Project::PutServiceLayer(const std::string& layer, const std::vector<DrawnService>& services) {
  return ReplaceLayer(*impl_->database, "services", layer, services);
}

Status Project::PutAreas(const std::string& layer, const std::vector<DrawnArea>& areas) {
  return ReplaceLayer(*impl_->database, "supply_areas", layer, areas);
}

Status Project::PutSetAside(const std::string& layer, const std::vector<SetAside>& features) {
  return ReplaceLayer(*impl_->database, "set_aside", layer, features);
}

Result<Drawing> Project::LoadDrawing() const {
  auto mains = impl_->List<DrawnMain>("SELECT * FROM mains ORDER BY fid", {}, ReadMain);
  if (!mains.ok()) return mains.error();
  auto things = impl_->List<DrawnThing>("SELECT * FROM things ORDER BY fid", {}, ReadThing);
  if (!things.ok()) return things.error();
  auto services = impl_->List<DrawnService>("SELECT * FROM services ORDER BY fid", {}, ReadService);
  if (!services.ok()) return services.error();
  auto areas = impl_->List<DrawnArea>("SELECT * FROM supply_areas ORDER BY fid", {}, ReadArea);
  if (!areas.ok()) return areas.error();
  auto elevations = impl_->Elevations();
  if (!elevations.ok()) return elevations.error();
  return Drawing{std::move(*mains), std::move(*things), std::move(*services), std::move(*areas),
                 std::move(*elevations)};
}

Result<std::vector<SetAside>> Project::ImportSetAside() const {
  return impl_->List<SetAside>("SELECT * FROM set_aside ORDER BY fid", {}, ReadSetAside);
}

}  // namespace lastreach
