#include "store/geometry.h"

#include <bit>
#include <cmath>

namespace lastreach {
namespace {

constexpr uint32_t kWgs84 = 4326;
constexpr uint32_t kWkbPoint = 1;
constexpr size_t kHeaderBytes = 8;

template <typename T>
void Append(Blob& bytes, T value) {
  for (size_t i = 0; i < sizeof(T); ++i) bytes.push_back(static_cast<unsigned char>(value >> (8 * i) & 0xFF));
}

// An unsigned number of type T at `at`. REQUIRES: it lies inside.
template <typename T>
T Take(const Blob& bytes, size_t at, bool little_endian) {
  T value = 0;
  for (size_t i = 0; i < sizeof(T); ++i) {
    const size_t from = little_endian ? at + sizeof(T) - 1 - i : at + i;
    value = static_cast<T>(value << 8 | bytes[from]);
  }
  return value;
}

}  // namespace

Blob PointBlob(const Position& position) {
  Blob bytes = {'G', 'P', 0, 1};  // flags: little-endian header, no envelope, not empty
  Append(bytes, kWgs84);
  bytes.push_back(1);  // little-endian
  Append(bytes, kWkbPoint);
  Append(bytes, std::bit_cast<uint64_t>(position.longitude_deg));
  Append(bytes, std::bit_cast<uint64_t>(position.latitude_deg));
  return bytes;
}

Result<std::optional<Position>> ReadPointBlob(const Blob& bytes) {
  const Error no_point = BadInput("the geometry of a flush point is not a point");
  if (bytes.size() < kHeaderBytes || bytes[0] != 'G' || bytes[1] != 'P') return no_point;
  // Bits 1 to 3 of the flags say how many numbers the envelope before the point holds.
  constexpr size_t kEnvelopeNumbers[] = {0, 4, 6, 6, 8, 0, 0, 0};
  const size_t at = kHeaderBytes + 8 * kEnvelopeNumbers[bytes[3] >> 1 & 7];
  if (bytes.size() < at + 21) return no_point;
  const bool little = bytes[at] == 1;
  if (Take<uint32_t>(bytes, at + 1, little) % 1000 != kWkbPoint) return no_point;
  const Position position{std::bit_cast<double>(Take<uint64_t>(bytes, at + 5, little)),
                          std::bit_cast<double>(Take<uint64_t>(bytes, at + 13, little))};
  if (std::isnan(position.longitude_deg) || std::isnan(position.latitude_deg)) {
    return std::optional<Position>();
  }
  return std::optional<Position>(position);
}

}  // namespace lastreach
