#include "store/float_blob.h"

#include <bit>
#include <cstdint>

namespace lastreach {

Blob FloatBlob(std::span<const float> numbers) {
  Blob bytes;
  bytes.reserve(4 * numbers.size());
  for (const float number : numbers) {
    const auto bits = std::bit_cast<uint32_t>(number);
    for (int shift = 0; shift < 32; shift += 8) bytes.push_back(static_cast<unsigned char>(bits >> shift));
  }
  return bytes;
}

void AppendFloats(const Blob& bytes, std::vector<float>& numbers) {
  for (size_t at = 0; at + 4 <= bytes.size(); at += 4) {
    uint32_t bits = 0;
    for (size_t i = 4; i-- > 0;) bits = bits << 8 | bytes[at + i];
    numbers.push_back(std::bit_cast<float>(bits));
  }
}

}  // namespace lastreach
