#pragma once

#include <cstdint>

namespace lastreach {

// A small generator of our own, because the distributions of the standard library differ between libraries
// and the town must be the same to the byte everywhere. It is for invented data only.
//
// SOURCE: the 64-bit mixing steps known as SplitMix64 (Steele, Lea and Flood 2014, "Fast splittable
// pseudorandom number generators", OOPSLA), constants checked in seeded_test.cc.
class Seeded {
 public:
  explicit Seeded(uint64_t seed) : state_(seed) {}

  uint64_t Next() {
    state_ += 0x9E3779B97F4A7C15U;
    uint64_t z = state_;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9U;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBU;
    return z ^ (z >> 31);
  }

  // A whole number in [least, most]. The lean towards small numbers is below 3e-6 here, where ranges stay
  // under 10,000. REQUIRES: least <= most.
  int Whole(int least, int most) {
    const uint64_t width = static_cast<uint64_t>(most - least) + 1;
    return least + static_cast<int>((Next() >> 32) % width);
  }

  // In [0, 1).
  double Unit() { return static_cast<double>(Next() >> 11) * 0x1.0p-53; }

  // A bell-like number with mean 0 and standard deviation 1: the sum of twelve units less six.
  double Bell() {
    double sum = -6;
    for (int i = 0; i < 12; ++i) sum += Unit();
    return sum;
  }

 private:
  uint64_t state_;
};

}  // namespace lastreach
