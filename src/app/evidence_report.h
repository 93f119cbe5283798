#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "evidence/reconcile.h"
#include "evidence/settings_timeline.h"

namespace lastreach {

// One device held against its meter.
struct ReconciledPoint {
  FlushPoint point;
  PointReconciliation result;
  std::vector<SettingsDifference> differences;  // planned, as-left and as-found, newest first
};

struct ReconcileReport {
  std::vector<ReconciledPoint> points;  // in order of code
  Zone zone = Zone::Utc();
  bool told_whole = false;  // one device: every read and every verdict

  // Nobody is sent to a device that has no meter.
  bool NeedsAPerson() const;
};

// docs/formats/evidence.md.
std::string ReconcileToJson(const ReconcileReport& report);

// One sentence first; then the devices that need a person, the likeliest trouble first, with what else it may
// be; then those that ran, and those nobody can know of.
void PrintReconcile(const ReconcileReport& report, std::ostream& out);

}  // namespace lastreach
