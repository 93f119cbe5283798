#include "store/geometry.h"

#include <algorithm>
#include <bit>
#include <cmath>

#include "store/wkb_reader.h"

namespace lastreach {
namespace {

constexpr uint32_t kWgs84 = 4326;
constexpr unsigned char kLittleEndianNoEnvelope = 0x01;
constexpr unsigned char kLittleEndianEnvelopeXy = 0x03;

template <typename T>
void Append(Blob& bytes, T value) {
  for (size_t i = 0; i < sizeof(T); ++i) bytes.push_back(static_cast<unsigned char>(value >> (8 * i) & 0xFF));
}

void AppendNumber(Blob& bytes, double number) { Append(bytes, std::bit_cast<uint64_t>(number)); }

void AppendPosition(Blob& bytes, const Position& position) {
  AppendNumber(bytes, position.longitude_deg);
  AppendNumber(bytes, position.latitude_deg);
}

void AppendType(Blob& bytes, WkbType type) {
  bytes.push_back(1);  // little-endian
  Append(bytes, static_cast<uint32_t>(type));
}

void AppendPoints(Blob& bytes, const Line& line) {
  Append(bytes, static_cast<uint32_t>(line.size()));
  for (const Position& position : line) AppendPosition(bytes, position);
}

Blob Header(unsigned char flags) {
  Blob bytes = {'G', 'P', 0, flags};
  Append(bytes, kWgs84);
  return bytes;
}

Blob HeaderAround(const std::vector<Polygon>& parts) {
  Extent extent;
  size_t points = 0;
  for (const Polygon& part : parts) {
    for (const Line& line : part) {
      points += line.size();
      for (const Position& position : line) extent.Grow(position);
    }
  }
  Blob bytes = Header(kLittleEndianEnvelopeXy);
  bytes.reserve(64 + 16 * points + 16 * parts.size());
  AppendNumber(bytes, extent.min_longitude_deg);
  AppendNumber(bytes, extent.max_longitude_deg);
  AppendNumber(bytes, extent.min_latitude_deg);
  AppendNumber(bytes, extent.max_latitude_deg);
  return bytes;
}

}  // namespace

void Extent::Grow(const Position& position) {
  min_longitude_deg = std::min(min_longitude_deg, position.longitude_deg);
  max_longitude_deg = std::max(max_longitude_deg, position.longitude_deg);
  min_latitude_deg = std::min(min_latitude_deg, position.latitude_deg);
  max_latitude_deg = std::max(max_latitude_deg, position.latitude_deg);
}

Blob PointBlob(const Position& position) {
  Blob bytes = Header(kLittleEndianNoEnvelope);
  AppendType(bytes, WkbType::kPoint);
  AppendPosition(bytes, position);
  return bytes;
}

Blob LineBlob(const Line& line) {
  Blob bytes = HeaderAround({{line}});
  AppendType(bytes, WkbType::kLine);
  AppendPoints(bytes, line);
  return bytes;
}

Blob LinesBlob(const std::vector<Line>& lines) {
  Blob bytes = HeaderAround({lines});
  AppendType(bytes, WkbType::kLines);
  Append(bytes, static_cast<uint32_t>(lines.size()));
  for (const Line& line : lines) {
    AppendType(bytes, WkbType::kLine);
    AppendPoints(bytes, line);
  }
  return bytes;
}

Blob AreaBlob(const std::vector<Polygon>& polygons) {
  Blob bytes = HeaderAround(polygons);
  AppendType(bytes, WkbType::kPolygons);
  Append(bytes, static_cast<uint32_t>(polygons.size()));
  for (const Polygon& polygon : polygons) {
    AppendType(bytes, WkbType::kPolygon);
    Append(bytes, static_cast<uint32_t>(polygon.size()));
    for (const Line& ring : polygon) AppendPoints(bytes, ring);
  }
  return bytes;
}

Result<std::optional<Position>> ReadPointBlob(const Blob& bytes) {
  const auto shape = ReadShape(bytes);
  if (!shape || shape->type != WkbType::kPoint) return BadInput("the geometry is not a point");
  const Position position = shape->parts.front().front().front();
  // SOURCE: [OGC 12-128r17] clause 2.1.3: an empty point has NaN for coordinates.
  if (std::isnan(position.longitude_deg) || std::isnan(position.latitude_deg)) {
    return std::optional<Position>();
  }
  return std::optional<Position>(position);
}

Result<Line> ReadLineBlob(const Blob& bytes) {
  auto shape = ReadShape(bytes);
  if (!shape || shape->type != WkbType::kLine) return BadInput("the geometry is not one line");
  return std::move(shape->parts.front().front());
}

Result<std::vector<Polygon>> ReadAreaBlob(const Blob& bytes) {
  auto shape = ReadShape(bytes);
  if (!shape || (shape->type != WkbType::kPolygon && shape->type != WkbType::kPolygons)) {
    return BadInput("the geometry is not an area");
  }
  return std::move(shape->parts);
}

Result<Extent> ReadExtent(const Blob& bytes) {
  const auto shape = ReadShape(bytes);
  if (!shape) return BadInput("the geometry cannot be read");
  Extent extent;
  for (const Polygon& part : shape->parts) {
    for (const Line& line : part) {
      for (const Position& position : line) {
        if (!std::isnan(position.longitude_deg) && !std::isnan(position.latitude_deg)) extent.Grow(position);
      }
    }
  }
  return extent;
}

}  // namespace lastreach
