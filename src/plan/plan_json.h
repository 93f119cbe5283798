#pragma once

#include <string>
#include <string_view>

#include "core/result.h"
#include "plan/device_plan.h"

namespace lastreach {

std::string_view ToText(
    Verdict verdict);  // "change", "keep", "no flush needed", "flushing is not the answer", ...
Result<Verdict> ParseVerdict(std::string_view text);

// A plan as one JSON document, keys with units, described in docs/formats/plan.md. `indent` < 0 writes one
// line.
std::string PlanToJson(const SystemPlan& plan, int indent = 2);

// Reads back what PlanToJson wrote; sheets are printed from it. Everything a sheet or overview shows
// survives. ERROR: kBadInput naming `file` for anything else.
Result<SystemPlan> PlanFromJson(std::string_view json, const std::string& file);

// Parts of it, for documents that hold such things too. Reading back: ERROR as PlanFromJson.
std::string PointToJson(const FlushPoint& point);
Result<FlushPoint> PointFromJson(std::string_view json, const std::string& file);
std::string OutcomeToJson(const Outcome& outcome);
Result<Outcome> OutcomeFromJson(std::string_view json, const std::string& file);

}  // namespace lastreach
