#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/civil_time.h"
#include "core/position.h"
#include "core/result.h"
#include "network/drawing.h"

namespace lastreach {

// What joining lines that do not meet, or meet without saying so, may be. Stored and printed: never change
// the words.
enum class RepairKind {
  kEndToEnd,   // two ends fall short of each other
  kEndToLine,  // an end falls short of a line, or runs past it
  kCrossing,   // two lines cross without a common point
  kIsland,     // lines that nothing feeds lie near ones that something does
};

// What a person said of it.
enum class Decision {
  kAccepted,  // right as proposed
  kRefused,   // never join these
  kLocked,    // join these whatever the tolerance
};

// One place where the network differs from the drawing, or might: made, or only offered. The drawing itself
// is never changed.
struct Repair {
  std::string id;  // "R0012"; of one run only, what lasts is kind, place and the two features
  RepairKind kind = RepairKind::kEndToEnd;
  Position at;
  Position other;    // the other side of the gap; equal to `at` for a crossing
  FeatureKey first;  // the line whose end it is
  FeatureKey second;
  double gap_m = 0;
  double confidence = 0;  // 0 to 1 that the pipes are joined in the ground
  bool made = false;      // the network has the joint
  std::string why;        // one sentence: the rule and the evidence
  std::optional<Decision> decision;
  friend bool operator==(const Repair&, const Repair&) = default;
};

// A decision as recorded: found again at the next import by kind, features and place.
struct RepairDecision {
  RepairKind kind = RepairKind::kEndToEnd;
  Position at;
  FeatureKey first;
  FeatureKey second;
  Decision decision = Decision::kAccepted;
  std::string who;
  Instant when{};
  std::string why;
  friend bool operator==(const RepairDecision&, const RepairDecision&) = default;
};

std::string_view ToText(RepairKind kind);    // "end to end", "end to line", "crossing", "island"
std::string_view ToText(Decision decision);  // "accepted", "refused", "locked"
Result<RepairKind> ParseRepairKind(std::string_view text);
Result<Decision> ParseDecision(std::string_view text);

}  // namespace lastreach
