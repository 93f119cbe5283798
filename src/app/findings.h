#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/device_facts.h"
#include "ends/faults.h"

namespace lastreach {

// One thing at fault in the map or the records, ready to be shown.
struct Finding {
  std::string kind;     // words that never change
  double severity = 0;  // share of the system, or of the devices, whose answer it would change, 0 to 1
  std::string effect;   // one sentence
  std::string mend;     // one sentence
  std::optional<Position> at;
  std::string where;
  std::vector<FeatureKey> features;  // of the map
  std::vector<std::string> points;   // codes of devices and hand points
};

Finding FindingOf(const Fault& fault);

// What is missing or odd in the records, each kind once with the devices it holds for:
//   timer not described, zone not described, no upstream residual, no flow, no reach, no position,
//   no settings, far from any end, reach unlike the map's, limit without source, rows not taken
// A typed reach is unlike the map's if their volumes differ by more than 30 % of the map's (common practice,
// no source). Rows not taken are those of the latest import of each file and kind. ERROR: what reading the
// project gives.
Result<std::vector<Finding>> FindRecordFaults(const Project& project);

}  // namespace lastreach
