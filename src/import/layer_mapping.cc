#include "import/layer_mapping.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <unordered_set>

#include "import/cell_words.h"
#include "import/ground_length.h"
#include "import/heading_match.h"

namespace lastreach {
namespace {

double DrawnLength_m(const Shape& shape) {
  double length_m = 0;
  for (const auto& part : shape.parts) length_m += GroundLength_m(part[0]);
  return length_m;
}

// Middle ratio of a column's numbers to the drawn metres; none if no row has both.
std::optional<double> RatioToDrawing(const Layer& layer, const std::vector<double>& drawn_m, size_t column) {
  std::vector<double> ratios;
  for (size_t i = 0; i < drawn_m.size(); ++i) {
    const TableRow& row = layer.table.rows[i];
    if (drawn_m[i] < 1 || column >= row.cells.size()) continue;
    const auto number = ParseNumber(row.cells[column]);
    if (number.ok() && number->rest.empty() && number->value > 0)
      ratios.push_back(number->value / drawn_m[i]);
  }
  if (ratios.empty()) return std::nullopt;
  std::sort(ratios.begin(), ratios.end());
  return ratios[ratios.size() / 2];
}

SeenColumn SeenLength(const std::string& heading, double ratio) {
  char shown[32];
  std::snprintf(shown, sizeof shown, "%.4g", ratio);
  for (const char* name : {"m", "ft", "km"}) {
    const auto unit = FindUnit(Dimension::kLength, name);
    if (std::abs(ratio * unit->factor - 1) < 0.1)
      return {"length", heading, unit, std::string("values are ") + shown + " times the drawn metres"};
  }
  return {"length",
          heading,
          {},
          std::string("its numbers are ") + shown + " times the drawn metres: neither metres nor feet"};
}

std::vector<SeenColumn> SeenLengths(const Layer& layer, TableKind kind) {
  std::vector<SeenColumn> seen;
  const Field* field = FindField(kind, "length");
  if (field == nullptr || layer.kind != ShapeKind::kLine) return seen;
  std::vector<double> drawn_m;
  for (const Shape& shape : layer.shapes)
    drawn_m.push_back(shape.kind == ShapeKind::kLine ? DrawnLength_m(shape) : 0);
  for (size_t i = 0; i < layer.table.headings.size(); ++i) {
    const std::string& heading = layer.table.headings[i];
    const HeadingMatch match = MatchHeading(heading, *field);
    if (match.score <= 0 || match.unit) continue;
    if (const auto ratio = RatioToDrawing(layer, drawn_m, i)) seen.push_back(SeenLength(heading, *ratio));
  }
  return seen;
}

// Blank in no row and different in all.
bool NumbersAll(const Table& table, size_t column) {
  std::unordered_set<std::string> seen;
  for (const TableRow& row : table.rows) {
    const std::string cell = column < row.cells.size() ? Trimmed(row.cells[column]) : "";
    if (SaysUnknown(cell) || !seen.insert(cell).second) return false;
  }
  return true;
}

}  // namespace

Result<Preview> MapLayer(const Layer& layer, TableKind kind, const MappingOptions& options) {
  MappingOptions mapping = options;
  mapping.seen = SeenLengths(layer, kind);
  if (layer.place_from == kOwnGeometry) mapping.not_wanted = {"shape", "x", "y"};
  return MapColumns(layer.table, kind, mapping);
}

KeyColumn FindKeyColumn(const Layer& layer, const Preview& preview) {
  const ColumnChoice* chosen = preview.Find("id");
  if (chosen == nullptr) return {};
  if (NumbersAll(layer.table, chosen->column)) return {chosen->column, ""};
  const Field& field = *FindField(preview.kind, "id");
  std::optional<size_t> best;
  size_t best_rank = field.headings.size();
  for (size_t i = 0; i < layer.table.headings.size(); ++i) {
    const HeadingMatch match = MatchHeading(layer.table.headings[i], field);
    if (match.score < 0.9 || match.rank >= best_rank || !NumbersAll(layer.table, i)) continue;
    best = i;
    best_rank = match.rank;
  }
  const std::string why =
      "'" + chosen->heading + "' is blank or the same for several features, so they go by ";
  if (best) return {best, why + "'" + layer.table.headings[*best] + "'"};
  return {std::nullopt, why + "their own numbers in the file"};
}

}  // namespace lastreach
