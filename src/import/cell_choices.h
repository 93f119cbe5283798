#pragma once

#include <optional>
#include <string_view>

#include "core/result.h"
#include "ledger/flush_point.h"
#include "ledger/flush_runs.h"

namespace lastreach {

// Choices as people write them. ERROR: kBadInput listing what is understood.
Result<bool> ParseOnOff(std::string_view text);                // "on", "Running", "OFF", "winterized"
Result<bool> ParseYesNo(std::string_view text);                // "yes", "Y", "x", "no"
Result<PointKind> ReadPointKind(std::string_view text);        // "auto flusher", "device", "hydrant", "hand"
Result<DischargeTo> ReadDischargeTo(std::string_view text);    // "curb inlet", "grass", "creek"
Result<Disinfectant> ReadDisinfectant(std::string_view text);  // "free", "chloramine", "NH2Cl"
Result<bool> ParseDone(std::string_view text);                 // the same and "new", "changed", "OK"
Result<MeasuredBy> ReadMeasuredBy(std::string_view text);      // "meter", "bucket", "pitot", "est."
Result<bool> ReadEstimated(std::string_view text);             // "E", "est", "actual", "A", "yes"

// Percent of 100: "130 %", "130", or the 1.3 a spreadsheet keeps behind 130 %. Whole percents only.
Result<int> ParsePercent(std::string_view text);

// Minutes a clock is fast: "+12", "12 min fast", "slow 5", "1 h slow", "ok", "0".
Result<int> ParseClockOffset(std::string_view text);

// Whether a way of getting a flow is a measurement ("drum and stopwatch"), a guess ("estimated"), or not
// said.
enum class MethodKind { kMeasurement, kGuess, kNotSaid };
MethodKind ReadMethod(std::string_view text);

}  // namespace lastreach
