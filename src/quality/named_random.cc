#include "quality/named_random.h"

#include <cmath>
#include <numbers>

namespace lastreach {
namespace {

uint64_t Mix(uint64_t z) {
  z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9U;
  z = (z ^ (z >> 27)) * 0x94D049BB133111EBU;
  return z ^ (z >> 31);
}

uint64_t HashOf(std::string_view name) {
  uint64_t hash = 0xCBF29CE484222325U;
  for (const char letter : name) hash = (hash ^ static_cast<unsigned char>(letter)) * 0x100000001B3U;
  return hash;
}

constexpr uint64_t kStride = 0x9E3779B97F4A7C15U;

}  // namespace

NamedRandom::NamedRandom(std::string_view name, uint64_t stream)
    : counter_(Mix(HashOf(name) + Mix(stream * kStride + 1))) {}

uint64_t NamedRandom::Next() {
  counter_ += kStride;
  return Mix(counter_);
}

double NamedRandom::Unit() { return (static_cast<double>(Next() >> 12) + 0.5) * 0x1p-52; }

double NamedRandom::Exponential() { return -std::log(Unit()); }

double NamedRandom::Normal() {
  const double radius = std::sqrt(2 * Exponential());
  return radius * std::cos(2 * std::numbers::pi * Unit());
}

double NamedRandom::LogNormal(double mean, double standard_deviation) {
  const double ratio = standard_deviation / mean;
  const double variance = std::log1p(ratio * ratio);
  return mean * std::exp(std::sqrt(variance) * Normal() - variance / 2);
}

}  // namespace lastreach
