#pragma once

#include <array>
#include <cstddef>

namespace lastreach {

// What is carried: quantities that mix and move unchanged (the time the water entered the network, shares of
// sources), and the disinfectant as ln c plus what its link has taken since, last of all. Another set of
// substances rides along as further passive quantities: their values on entering a link, worked on when the
// water leaves it.
template <std::size_t passive, bool disinfectant>
struct Carried {
  static constexpr std::size_t kPassive = passive;
  static constexpr bool kDisinfectant = disinfectant;
  static constexpr bool kReacting = false;      // see reacting_water.h
  static constexpr std::size_t kLog = passive;  // the place of the disinfectant, if any
  static constexpr std::size_t kCount = passive + (disinfectant ? 1 : 0);
};

template <class C>
using Values = std::array<double, C::kCount>;
template <class C>
using Bounds = std::array<float, C::kCount>;

// Water between two neighbouring breakpoints of a link: every value is straight in volume.
template <class C>
struct WaterPiece {
  double volume_m3 = 0;
  std::array<Values<C>, 2> at{};  // at the end towards `from`, towards `to`
  Bounds<C> error{};              // bound of each value's error
};

// Water that passes a node in a stretch of time, every value straight in time.
template <class C>
struct NodeStretch {
  double begin_s = 0;  // from the begin of the period
  double seconds = 0;
  Values<C> first{}, last{};  // the disinfectant: ln of mg/L
  Bounds<C> error{};
  double mean_mg_per_l = 0;  // of the disinfectant
};

// The error of the disinfectant is bounded as a share of c as it is carried, so that mixing weighs it by c. A
// change of ln c by up to `change` adds to it.
inline void AddLogError(double change, float& error) {
  error = static_cast<float>((1 + error) * (1 + change * (1 + change)) - 1);
}

// No disinfectant: ln of what is read as 0.
inline constexpr double kNoneLn = -69;
// Below this concentration (1e-6 mg/L) nothing is kept apart.
inline constexpr double kTraceLn = -13.815510557964274;
// Of less than this (1e-3 mg/L, a hundredth of what a kit tells) the share that may be wrong is not told:
// while the first of it reaches a tank, c rises from nothing and any line of ln c is far off.
inline constexpr double kToldLn = -6.907755278982137;

}  // namespace lastreach
