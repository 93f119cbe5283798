#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "evidence/flow_measure.h"
#include "ledger/flush_runs.h"

namespace lastreach {

// One residual of a test flush, with the water that had run by then.
struct CurvePoint {
  double after_s = 0;
  std::optional<double> volume_m3;  // none where no flow is known
  double mg_per_l = 0;              // the detection limit if below_detection
  bool below_detection = false;
};

// The residuals of a test flush in order of time. Volume is the integral of the flow: a straight line between
// readings that tell it, level before the first and after the last of them; `flow` where none does.
std::vector<CurvePoint> CurveOf(const TestFlush& flush, const std::optional<MeasuredFlow>& flow);

// The stretch at the end in which the residual no longer changes.
struct Plateau {
  std::size_t first = 0;         // its first point
  double mg_per_l = 0;           // the median, so that one bad reading does not move it
  bool below_detection = false;  // all of it
};

// The longest stretch that ends with the last point and spans no more than `kit_mg_per_l` from its lowest to
// its highest, of `least` points and more. One in five points may stand out, not the first of the stretch
// and not the last point of all: a kit misread. Two residuals a kit's error apart are the same.
std::optional<Plateau> FindPlateau(const std::vector<CurvePoint>& curve, double kit_mg_per_l,
                                   std::size_t least = 3);

}  // namespace lastreach
