#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/civil_time.h"
#include "core/ids.h"
#include "core/quantity.h"
#include "core/result.h"
#include "ledger/records.h"

namespace lastreach {

// How a volume or a flow became known. The words are stored: never change them.
enum class MeasuredBy {
  kMeter,
  kDrum,      // a container and a watch
  kPitot,     // pressure at the centre of an open jet
  kEstimate,  // from what is written elsewhere, or by eye
};

// Water that was let out once and seen: a hand flush, a run somebody logged, a break that was left to run.
struct FlushRun {
  FlushRunId id;
  PointCode point;
  Instant begun;
  Duration lasted;
  std::optional<Volume> volume;  // where it is not the flow of the point for so long
  MeasuredBy by = MeasuredBy::kEstimate;
  std::string who;
  std::string why;  // "monthly", "complaint", "after repair"
  std::string notes;
  friend bool operator==(const FlushRun&, const FlushRun&) = default;
};

// The flow of a point while it is open, measured.
struct FlowTest {
  FlowTestId id;
  PointCode point;
  Date day;
  std::optional<int> minute_of_day;
  Flow flow;
  MeasuredBy by = MeasuredBy::kEstimate;
  std::optional<double> accuracy;  // one standard deviation as a share of the flow; else that of the method
  std::string who;
  std::string notes;
  friend bool operator==(const FlowTest&, const FlowTest&) = default;
};

// What was read while the water ran, `after` opening.
struct FlushReading {
  Duration after;
  std::optional<Concentration> residual;  // the detection limit if below_detection
  bool below_detection = false;
  std::optional<Temperature> temperature;
  std::optional<double> turbidity_ntu;
  std::optional<Flow> flow;
  std::optional<Pressure> pressure;  // at the outlet, or beside it
  friend bool operator==(const FlushReading&, const FlushReading&) = default;
};

// A flush with readings at its outlet until they are flat.
struct TestFlush {
  TestFlushId id;
  PointCode point;
  Instant begun;
  Analyte analyte = Analyte::kFreeChlorine;
  std::optional<Concentration> upstream;  // in the well-fed main on that day
  std::vector<FlushReading> readings;     // in order of time
  std::string who;
  std::string notes;
  friend bool operator==(const TestFlush&, const TestFlush&) = default;
};

std::string_view ToText(MeasuredBy by);  // "meter", "drum", "pitot", "estimate"
Result<MeasuredBy> ParseMeasuredBy(std::string_view text);

}  // namespace lastreach
