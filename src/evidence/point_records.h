#pragma once

#include <vector>

#include "calendar/controller_form.h"
#include "core/zone.h"
#include "ledger/flush_point.h"
#include "ledger/flush_runs.h"
#include "ledger/records.h"

namespace lastreach {

// All that was written down of one point, each list in order of time, as the project gives them.
struct PointRecords {
  FlushPoint point;
  ControllerForm form;  // only its name where nobody has described the timer
  Zone zone = Zone::Utc();
  std::vector<SettingsRecord> settings;
  std::vector<MeterRead> reads;
  std::vector<FlowTest> flow_tests;
  std::vector<FlushRun> flush_runs;
  std::vector<Sample> samples;
  std::vector<Visit> visits;
};

// What was written down by the end of a day: later records are taken out, so that a past day is judged as it
// would have been then.
PointRecords KnownBy(PointRecords records, Date day);

}  // namespace lastreach
