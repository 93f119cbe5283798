#pragma once

#include <optional>
#include <string>

#include "core/ids.h"
#include "core/origin.h"
#include "core/position.h"
#include "core/quantity.h"

namespace lastreach {

enum class PointKind {
  kDevice,  // opened by a timer
  kHand,    // opened by a crew
};

// Where the flushed water goes; it decides which cautions are printed.
enum class DischargeTo { kUnknown, kGround, kStormDrain, kCreek, kSewer, kRoad, kUse };

// Which residual a zone is held by.
enum class Disinfectant { kFreeChlorine, kChloramine };

// A place where the end of a main can be flushed.
struct FlushPoint {
  PointCode code;
  PointKind kind = PointKind::kHand;
  std::string place;                  // street and number, as people say it
  std::string supply_zone;            // name of a SupplyZone
  std::string controller;             // name of a ControllerForm; empty for hand-flushed points
  std::optional<Sourced<Flow>> flow;  // while open
  DischargeTo discharge = DischargeTo::kUnknown;
  std::string isolation_valve;                // where it is and how many turns
  std::string meter;                          // serial or "none"
  std::optional<Volume> meter_turns_over_at;  // the dial begins again at 0 there
  std::string notes;
  std::optional<Position> position;
  std::optional<int> drought_rank;      // the order in which points are shut in a drought, 1 first
  bool stays_on = false;                // in every drought stage
  std::string stays_on_because;         // "hospital, dialysis"
  std::optional<bool> adjustable_flow;  // whether a crew can set it lower
  std::string dechlorination;           // what is in the feeder: "sodium sulfite tablets", "none"
  std::optional<double> dechlorination_holds_kg;

  friend bool operator==(const FlushPoint&, const FlushPoint&) = default;
};

std::string_view ToText(PointKind kind);  // "device", "hand"
std::string_view ToText(
    DischargeTo to);  // "unknown", "ground", "storm drain", "creek", "sewer", "road", "use"
std::string_view ToText(Disinfectant d);  // "free chlorine", "chloramine"
Result<PointKind> ParsePointKind(std::string_view text);
Result<DischargeTo> ParseDischargeTo(std::string_view text);
Result<Disinfectant> ParseDisinfectant(std::string_view text);

}  // namespace lastreach
