#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calendar/runs.h"
#include "core/zone.h"
#include "report/page.h"
#include "report/sheet_options.h"

namespace lastreach {

// The residual at one end through the days shown.
struct EndCurve {
  std::string title;             // "Far Meadow Road, D14"
  std::vector<double> hours;     // since EndsChart::begin
  std::vector<double> mg_per_l;  // same size; not finite where nothing is known
  std::optional<double> target_mg_per_l;
  std::vector<Run> runs;  // of the device that stands there
  // Where and by what it is judged: the end of the longest gap.
  std::optional<double> judged_hour;
  double judged_mg_per_l = 0;
  std::string judged_words;  // "0.3 mg/L at the end of 23 h without a run"
};

// Small pictures of one kind, two side by side, all with the same axes so that they can be held against each
// other.
struct EndsChart {
  std::string title;
  std::string period;
  Instant begin;
  Zone zone = Zone::Utc();
  std::vector<EndCurve> ends;  // up to six
  std::string foot;            // one sentence
};

// One page on its side: at each end the residual as a line, its target dotted, the device's runs as ticks
// under it, and a ring where the end is judged.
void DrawEndsChart(Canvas& canvas, const EndsChart& chart, SheetUnits units);

// The same as `stem`.pdf, and `stem`.png of 1980 pixels across. ERROR: kBadInput if a file cannot be written;
// kBadRequest for no end with a curve.
Status WriteEndsChart(const EndsChart& chart, const SheetOptions& options, const std::string& stem);

}  // namespace lastreach
