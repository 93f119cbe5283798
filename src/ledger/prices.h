#pragma once

#include <optional>
#include <string>

#include "core/origin.h"

namespace lastreach {

// What water and visits cost the user, to hold one against the other. The product ships no prices.
struct Prices {
  std::string currency;  // as the user writes it: "USD", "EUR"
  std::optional<Sourced<double>> water_per_m3;
  std::optional<Sourced<double>> visit;
  friend bool operator==(const Prices&, const Prices&) = default;
};

// `newer` with what it leaves empty taken from `older`.
Prices FilledFrom(Prices newer, const Prices& older);

}  // namespace lastreach
