#include "import/layer_table.h"

#include <ogr_spatialref.h>

#include <algorithm>
#include <filesystem>
#include <optional>

#include "import/cell_words.h"
#include "import/heading_match.h"
#include "import/numbers.h"
#include "import/to_degrees.h"

namespace lastreach {
namespace {

// The column for a field of places: the one a columns file names, or the heading that fits best.
std::optional<size_t> ColumnFor(const Table& table, TableKind kind, const LayerOptions& options,
                                const char* name) {
  for (const ChosenColumn& column : options.typed) {
    if (column.field != name || column.heading.empty()) continue;
    for (size_t i = 0; i < table.headings.size(); ++i) {
      if (Plainly(table.headings[i]) == Plainly(column.heading)) return i;
    }
  }
  const Field* field = FindField(kind, name);
  std::optional<size_t> best;
  HeadingMatch best_match;
  for (size_t i = 0; field != nullptr && i < table.headings.size(); ++i) {
    const HeadingMatch match = MatchHeading(table.headings[i], *field);
    // One letter off makes another word of words as short as these.
    if (match.score < 0.9 || match.score < best_match.score) continue;
    if (best && match.score == best_match.score && match.rank >= best_match.rank) continue;
    best = i;
    best_match = match;
  }
  return best;
}

struct PlaceColumns {
  std::optional<size_t> shape, x, y;
  bool found() const { return shape || (x && y); }
};

PlaceColumns FindPlaces(const Table& table, TableKind kind, const LayerOptions& options) {
  PlaceColumns columns{ColumnFor(table, kind, options, "shape"), ColumnFor(table, kind, options, "x"),
                       ColumnFor(table, kind, options, "y")};
  if (!columns.shape) return columns;
  // A column of that name may hold an area or a word; text of a geometry has brackets.
  const auto has_text = [&](const TableRow& row) {
    return *columns.shape < row.cells.size() && row.cells[*columns.shape].find('(') != std::string::npos;
  };
  if (std::none_of(table.rows.begin(), table.rows.end(), has_text)) columns.shape.reset();
  return columns;
}

std::string Cell(const TableRow& row, size_t column) {
  return column < row.cells.size() ? Trimmed(row.cells[column]) : "";
}

std::vector<std::string> CellsOf(const Table& table, size_t column) {
  std::vector<std::string> cells;
  for (const TableRow& row : table.rows) cells.push_back(Cell(row, column));
  return cells;
}

Shape PointOf(const std::string& x_text, const std::string& y_text, DecimalMark mark) {
  const auto x = ParseNumber(x_text, mark);
  const auto y = ParseNumber(y_text, mark);
  if (SaysUnknown(x_text) && SaysUnknown(y_text)) return {ShapeKind::kNone, {}, "it has no coordinates"};
  // "95.4 W" would put a town on the wrong half of the Earth if the letter were dropped.
  if (!x.ok() || !y.ok() || !x->rest.empty() || !y->rest.empty())
    return {ShapeKind::kNone, {}, "its coordinates '" + x_text + "' and '" + y_text + "' are not numbers"};
  if (x->value == 0 && y->value == 0) return {ShapeKind::kNone, {}, "its coordinates are 0 and 0"};
  return {ShapeKind::kPoint, {{{{x->value, y->value}}}}, ""};
}

// A heading that says degrees by its name.
bool SaysDegrees(const std::string& heading) {
  const std::string plain = Plainly(heading);
  return plain.starts_with("lon") || plain == "lng";
}

}  // namespace

Result<Layer> PlacedByColumns(Layer layer, TableKind kind, const LayerOptions& options) {
  Table& table = layer.table;
  const PlaceColumns columns = FindPlaces(table, kind, options);
  if (!columns.found()) {
    return BadInput(
        "it has no places: neither geometry, nor a column of well-known text, nor columns of x and y",
        {table.file, table.heading_line > 0 ? std::optional(table.heading_line) : std::nullopt, "", ""});
  }
  std::string crs = options.crs;
  std::string named;
  OGRSpatialReference degrees;
  const OGRSpatialReference* own = nullptr;
  layer.shapes.clear();
  if (columns.shape) {
    for (const TableRow& row : table.rows)
      layer.shapes.push_back(ShapeOfText(Cell(row, *columns.shape), named));
    layer.place_from = "the column " + table.headings[*columns.shape];
  } else {
    // One hand wrote both, and the other one may tell what "-97,499" alone does not.
    std::vector<std::string> both = CellsOf(table, *columns.x);
    for (std::string& cell : CellsOf(table, *columns.y)) both.push_back(std::move(cell));
    const DecimalMark mark = DecimalMarkOf(both);
    for (const TableRow& row : table.rows)
      layer.shapes.push_back(PointOf(Cell(row, *columns.x), Cell(row, *columns.y), mark));
    layer.place_from = "the columns " + table.headings[*columns.x] + " and " + table.headings[*columns.y];
    if (SaysDegrees(table.headings[*columns.x])) {
      degrees.SetWellKnownGeogCS("WGS84");
      degrees.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
      own = &degrees;
    }
  }
  auto name = ToDegrees(table.file, own, crs.empty() ? named : crs, layer.shapes, table.notes);
  if (!name.ok()) return name.error();
  layer.crs = *name;
  return layer;
}

Result<Layer> ReadSheetAsLayer(const std::string& path, TableKind kind, const LayerOptions& options) {
  if (!options.where.empty())
    return BadRequest("--where asks a map layer; '" + path + "' is a sheet, leave the rows out there");
  ReadOptions reading;
  reading.sheet = options.layer;
  reading.headings = options.headings;
  for (const ChosenColumn& column : options.typed) reading.headings.push_back(column.heading);
  auto table = ReadTable(path, kind, reading);
  if (!table.ok()) return table.error();
  Layer layer;
  layer.table = *std::move(table);
  layer.key = std::filesystem::path(path).filename().string();
  if (!options.layer.empty()) layer.key += ":" + options.layer;
  return PlacedByColumns(std::move(layer), kind, options);
}

bool HasPlaceColumns(const std::string& path, TableKind kind, const LayerOptions& options) {
  ReadOptions reading;
  reading.sheet = options.layer;
  reading.headings = options.headings;
  const auto table = ReadTable(path, kind, reading);
  return table.ok() && FindPlaces(*table, kind, options).found();
}

}  // namespace lastreach
