#include "import/shape.h"

#include <ogr_geometry.h>

#include <cmath>
#include <memory>

#include "import/cell_words.h"

namespace lastreach {
namespace {

std::vector<Position> PointsOf(const OGRSimpleCurve& curve) {
  std::vector<Position> points;
  points.reserve(static_cast<size_t>(curve.getNumPoints()));
  for (int i = 0; i < curve.getNumPoints(); ++i) points.push_back({curve.getX(i), curve.getY(i)});
  return points;
}

void Add(Shape& shape, ShapeKind kind, std::vector<std::vector<Position>> part) {
  if (part.empty() || part[0].empty() || kind < shape.kind) return;
  if (kind > shape.kind) shape.parts.clear();
  shape.kind = kind;
  shape.parts.push_back(std::move(part));
}

// `geometry` has no curves.
void AddParts(const OGRGeometry& geometry, Shape& shape) {
  if (geometry.IsEmpty()) return;
  switch (wkbFlatten(geometry.getGeometryType())) {
    case wkbPoint: {
      const OGRPoint& point = *geometry.toPoint();
      return Add(shape, ShapeKind::kPoint, {{{point.getX(), point.getY()}}});
    }
    case wkbLineString:
      return Add(shape, ShapeKind::kLine, {PointsOf(*geometry.toLineString())});
    case wkbPolygon:
    case wkbTriangle: {
      std::vector<std::vector<Position>> rings;
      for (const OGRLinearRing* ring : *geometry.toPolygon()) rings.push_back(PointsOf(*ring));
      return Add(shape, ShapeKind::kArea, std::move(rings));
    }
    case wkbMultiPoint:
    case wkbMultiLineString:
    case wkbMultiPolygon:
    case wkbGeometryCollection:
      for (const OGRGeometry* part : *geometry.toGeometryCollection()) AddParts(*part, shape);
      return;
    case wkbPolyhedralSurface:
    case wkbTIN:
      for (const OGRPolygon* part : *geometry.toPolyhedralSurface()) AddParts(*part, shape);
      return;
    default:
      return;
  }
}

bool IsFinite(const Shape& shape) {
  for (const auto& part : shape.parts) {
    for (const auto& ring : part) {
      for (const Position& at : ring) {
        if (!std::isfinite(at.longitude_deg) || !std::isfinite(at.latitude_deg)) return false;
      }
    }
  }
  return true;
}

Shape Faulty(std::string fault) { return {ShapeKind::kNone, {}, std::move(fault)}; }

}  // namespace

std::string_view ToText(ShapeKind kind) {
  switch (kind) {
    case ShapeKind::kNone:
      return "nothing";
    case ShapeKind::kPoint:
      return "point";
    case ShapeKind::kLine:
      return "line";
    case ShapeKind::kArea:
      return "area";
  }
  return "nothing";
}

Shape ShapeOf(const OGRGeometry* geometry) {
  if (geometry == nullptr || geometry->IsEmpty()) return Faulty("it has no geometry");
  Shape shape;
  if (geometry->hasCurveGeometry()) {
    const std::unique_ptr<OGRGeometry> straight(geometry->getLinearGeometry());
    if (straight != nullptr) AddParts(*straight, shape);
  } else {
    AddParts(*geometry, shape);
  }
  if (shape.kind == ShapeKind::kNone) return Faulty("its geometry is of a kind that is not understood");
  if (!IsFinite(shape)) return Faulty("a coordinate of it is no number");
  // What is written where nobody knew the place. Common practice, no source.
  const Position& first = shape.parts[0][0][0];
  if (shape.kind == ShapeKind::kPoint && first.longitude_deg == 0 && first.latitude_deg == 0)
    return Faulty("its coordinates are 0 and 0");
  return shape;
}

Shape ShapeOfText(std::string_view text, std::string& crs) {
  std::string trimmed = Trimmed(text);
  if (SaysUnknown(trimmed)) return Faulty("it has no geometry");
  if (const size_t end = trimmed.find(';'); Lower(trimmed).starts_with("srid=") && end != std::string::npos) {
    crs = "EPSG:" + trimmed.substr(5, end - 5);
    trimmed.erase(0, end + 1);
  }
  OGRGeometry* geometry = nullptr;
  const OGRErr error = OGRGeometryFactory::createFromWkt(trimmed.c_str(), nullptr, &geometry);
  const std::unique_ptr<OGRGeometry> owned(geometry);
  if (error != OGRERR_NONE)
    return Faulty("its geometry is not well-known text such as LINESTRING (0 0, 1 1)");
  return ShapeOf(owned.get());
}

Position MiddleOf(const Shape& area) {
  const std::vector<Position>& ring = area.parts[0][0];
  const Position origin = ring[0];
  double twice_area = 0;
  double x = 0;
  double y = 0;
  for (size_t i = 0; i < ring.size(); ++i) {
    const Position& a = ring[i];
    const Position& b = ring[(i + 1) % ring.size()];
    const double ax = a.longitude_deg - origin.longitude_deg;
    const double ay = a.latitude_deg - origin.latitude_deg;
    const double bx = b.longitude_deg - origin.longitude_deg;
    const double by = b.latitude_deg - origin.latitude_deg;
    const double cross = ax * by - bx * ay;
    twice_area += cross;
    x += (ax + bx) * cross;
    y += (ay + by) * cross;
  }
  // Below a square millimetre or so the sums are rounding only.
  if (std::abs(twice_area) > 1e-16) {
    return {origin.longitude_deg + x / (3 * twice_area), origin.latitude_deg + y / (3 * twice_area)};
  }
  Position mean;
  for (const Position& at : ring) {
    mean.longitude_deg += at.longitude_deg / static_cast<double>(ring.size());
    mean.latitude_deg += at.latitude_deg / static_cast<double>(ring.size());
  }
  return mean;
}

}  // namespace lastreach
