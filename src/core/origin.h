#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/civil_time.h"
#include "core/result.h"

namespace lastreach {

// How a number came to be known. The words are stored and printed: never change them.
enum class OriginKind {
  kMeasured,   // an instrument read it: a meter, a tape, a colorimeter
  kTyped,      // a person entered it and said no more
  kEstimated,  // worked out from other numbers of this site
  kAssumed,    // a default; nobody has looked
};

// Where a number came from, by whom and when. Every number a page shows can answer this.
struct Origin {
  OriginKind kind = OriginKind::kAssumed;
  std::string by;               // a person, or the name of the rule that filled it in
  std::optional<Instant> when;  // when it was measured or typed
  std::string note;             // method or source, in words: "drum and stopwatch"

  friend bool operator==(const Origin&, const Origin&) = default;
};

// A value that can say where it came from.
template <typename T>
struct Sourced {
  T value{};
  Origin origin;

  friend bool operator==(const Sourced&, const Sourced&) = default;
};

std::string_view ToText(OriginKind kind);                   // "measured", "typed", "estimated", "assumed"
Result<OriginKind> ParseOriginKind(std::string_view text);  // ERROR: kBadInput for any other word

// "measured by J. Doe on 2026-07-01 (drum and stopwatch)"; leaves out what is not known.
std::string Describe(const Origin& origin);

}  // namespace lastreach
