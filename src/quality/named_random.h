#pragma once

#include <cstdint>
#include <string_view>

namespace lastreach {

// Random numbers from a name, the same on every machine and in whatever order streams are asked for: the name
// and the number of the stream are hashed into the start of a counter, each number is the counter mixed.
// SOURCE: Fowler, Noll and Vo's hash (FNV-1a, 64 bit); the mixing of SplitMix64 (Steele, Lea and Flood 2014,
// "Fast splittable pseudorandom number generators", OOPSLA).
//
// Unit() is exact. Exponential() and Normal() go through log, cos and exp of the C library, which may differ
// in the last bit from machine to machine: who needs the same result everywhere rounds to some decimals.
class NamedRandom {
 public:
  NamedRandom(std::string_view name, uint64_t stream);

  uint64_t Next();
  double Unit();         // above 0 and below 1, all 2^52 values equally likely
  double Exponential();  // mean 1
  double Normal();       // mean 0, standard deviation 1 (Box & Muller)
  double LogNormal(double mean,
                   double standard_deviation);  // of the values. REQUIRES: mean > 0, deviation >= 0

 private:
  uint64_t counter_;
};

}  // namespace lastreach
