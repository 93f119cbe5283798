#pragma once

#include <random>

#include "plan/tree_shape.h"

// Trees made up from a seed for the tests of this room.
namespace lastreach {

// One to `most_ends` arms on a trunk that forks up to three times; one loss everywhere if `alike`.
inline TreeShape MakeRandomTree(uint64_t seed, size_t most_ends, bool alike, bool draws = true) {
  std::mt19937_64 random(seed);
  const auto number = [&](double low, double high) {
    return std::uniform_real_distribution<>(low, high)(random);
  };
  TreeShape shape;
  const size_t ends = std::uniform_int_distribution<size_t>(1, most_ends)(random);
  const double loss_per_s = number(0.3, 1.5) / 86400;
  const auto stretch = [&](std::optional<size_t> before) {
    const double tap = draws && number(0, 1) < 0.7 ? number(0, 2e-5) : 0;
    shape.stretches.push_back({before, number(0.3, 4), alike ? loss_per_s : loss_per_s * number(1, 2), tap});
    return shape.stretches.size() - 1;
  };
  stretch({});
  for (size_t e = 0; e < ends; ++e) {
    // From some stretch that no end stands on yet.
    size_t at = std::uniform_int_distribution<size_t>(0, shape.stretches.size() - 1)(random);
    while (std::any_of(shape.ends.begin(), shape.ends.end(),
                       [&](const TreeShape::End& end) { return end.stretch == at; })) {
      at = *shape.stretches[at].before;
    }
    for (size_t more = std::uniform_int_distribution<size_t>(1, 3)(random); more > 0; --more)
      at = stretch(at);
    shape.ends.push_back({at, alike ? 1.0 : number(0.5, 1.5)});
  }
  return shape;
}

}  // namespace lastreach
