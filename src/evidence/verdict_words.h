#pragma once

#include <string>

#include "evidence/reconcile.h"

namespace lastreach {

// "43 %"; odds never prove, so the ends are "over 99 %" and "under 1 %".
std::string OddsText(double probability);

// "12,300 gal (46.6 m3)", three digits at most.
std::string WaterWords(double volume_m3);
// "60.2 gpm (3.8 L/s)".
std::string FlowWords(double flow_m3_per_s);

// What one verdict rests on: the water its own days were to bring, and what was read.
struct VerdictFigures {
  double read_m3 = 0;       // in the intervals it says something else about than the settings
  double expected_m3 = 0;   // there, by the settings
  double explained_m3 = 0;  // there, by the verdict
  int intervals = 0;        // of them
  Date from{}, to{};        // first and last read of them
  int low_residuals = 0;    // after a stop
  std::optional<double> flow_by_reads_m3_per_s;
  std::string read_as_written;  // of a read mistake
};

// One or two sentences, and the visit that would settle it.
std::string EvidenceWords(const RankedVerdict& verdict, const VerdictFigures& figures);
std::string SettleWords(const RankedVerdict& verdict);

// The verdict in a few words: "stopped on about 2026-06-11 (2026-06-09 to 2026-06-30)".
std::string VerdictWords(const RankedVerdict& verdict);

}  // namespace lastreach
