#pragma once

#include <optional>
#include <string>

#include "core/civil_time.h"
#include "core/ids.h"
#include "core/quantity.h"
#include "core/result.h"

namespace lastreach {

// By-products of disinfection that are limited as running averages. The words are stored: never change them.
enum class Byproduct { kTotalTrihalomethanes, kHaloaceticAcids5 };

// One laboratory result at one place of sampling, which need not be a flush point.
struct ByproductResult {
  ByproductId id;
  std::string site;
  Date day;
  Byproduct byproduct = Byproduct::kTotalTrihalomethanes;
  Concentration value;  // the detection limit if below_detection
  bool below_detection = false;
  std::string original;  // as written
  friend bool operator==(const ByproductResult&, const ByproductResult&) = default;
};

// What went into the system in a month, all sources together.
struct SuppliedMonth {
  int year = 0;
  int month = 0;  // 1 to 12
  Volume supplied;
  friend bool operator==(const SuppliedMonth&, const SuppliedMonth&) = default;
};

std::string_view ToText(Byproduct byproduct);  // "total trihalomethanes", "haloacetic acids (five)"
Result<Byproduct> ParseByproduct(std::string_view text);

}  // namespace lastreach
