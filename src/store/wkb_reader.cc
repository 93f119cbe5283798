#include "store/wkb_reader.h"

#include <array>
#include <bit>

namespace lastreach {
namespace {

constexpr size_t kHeaderBytes = 8;

class WkbReader {
 public:
  WkbReader(const Blob& bytes, size_t at) : bytes_(bytes), at_(at) {}

  std::optional<WkbShape> Read() {
    WkbShape shape;
    if (!ReadInto(shape, 0)) return std::nullopt;
    return shape;
  }

 private:
  bool Has(size_t count) const { return bytes_.size() - at_ >= count; }

  // REQUIRES: Has(sizeof(T)).
  template <typename T>
  T Take() {
    T value = 0;
    for (size_t i = 0; i < sizeof(T); ++i) {
      const size_t from = little_ ? at_ + sizeof(T) - 1 - i : at_ + i;
      value = static_cast<T>(value << 8 | bytes_[from]);
    }
    at_ += sizeof(T);
    return value;
  }

  // A count that what follows cannot hold is refused before memory is asked for.
  std::optional<uint32_t> TakeCount(size_t bytes_each) {
    if (!Has(4)) return std::nullopt;
    const auto count = Take<uint32_t>();
    if (!Has(count * bytes_each)) return std::nullopt;
    return count;
  }

  Position TakePosition() {
    const auto x = std::bit_cast<double>(Take<uint64_t>());
    const auto y = std::bit_cast<double>(Take<uint64_t>());
    at_ += 8 * extra_numbers_;
    return {x, y};
  }
  size_t PositionBytes() const { return 16 + 8 * extra_numbers_; }

  bool TakeLine(std::vector<Position>& line) {
    const auto count = TakeCount(PositionBytes());
    if (!count) return false;
    line.reserve(*count);
    for (uint32_t i = 0; i < *count; ++i) line.push_back(TakePosition());
    return true;
  }

  bool TakeRings(std::vector<std::vector<Position>>& rings) {
    const auto count = TakeCount(4);
    if (!count) return false;
    rings.resize(*count);
    for (auto& ring : rings) {
      if (!TakeLine(ring)) return false;
    }
    return true;
  }

  bool ReadInto(WkbShape& shape, int depth) {
    if (!Has(5)) return false;
    little_ = Take<uint8_t>() == 1;
    const auto written = Take<uint32_t>();
    // SOURCE: [OGC 06-103r4] table 7: 1000 more with a height, 2000 with a measure, 3000 with both.
    if (written / 1000 > 3) return false;
    extra_numbers_ = (written / 1000 + 1) / 2;
    const uint32_t type = written % 1000;
    if (type < 1 || type > 6 || (depth > 0 && type > 3)) return false;
    if (depth == 0) shape.type = static_cast<WkbType>(type);
    switch (static_cast<WkbType>(type)) {
      case WkbType::kPoint:
        if (!Has(PositionBytes())) return false;
        shape.parts.push_back({{TakePosition()}});
        return true;
      case WkbType::kLine:
        shape.parts.emplace_back(1);
        return TakeLine(shape.parts.back().front());
      case WkbType::kPolygon:
        shape.parts.emplace_back();
        return TakeRings(shape.parts.back());
      default: {
        const auto count = TakeCount(9);
        if (!count) return false;
        for (uint32_t i = 0; i < *count; ++i) {
          if (!ReadInto(shape, depth + 1)) return false;
        }
        return true;
      }
    }
  }

  const Blob& bytes_;
  size_t at_;
  bool little_ = true;
  size_t extra_numbers_ = 0;
};

}  // namespace

std::optional<WkbShape> ReadShape(const Blob& bytes) {
  if (bytes.size() < kHeaderBytes || bytes[0] != 'G' || bytes[1] != 'P') return std::nullopt;
  // Bits 1 to 3 of the flags say how many numbers the envelope before the geometry holds.
  constexpr std::array<size_t, 8> kEnvelopeNumbers = {0, 4, 6, 6, 8, 0, 0, 0};
  const size_t at = kHeaderBytes + 8 * kEnvelopeNumbers[bytes[3] >> 1 & 7U];
  if (bytes.size() < at) return std::nullopt;
  return WkbReader(bytes, at).Read();
}

}  // namespace lastreach
