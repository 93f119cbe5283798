#pragma once

#include <iosfwd>
#include <string>

#include "app/reach_spread.h"

namespace lastreach {

// What `spread` tells, and of what.
struct SpreadTold {
  std::string id;      // of the device or the end asked for
  std::string where;   // street or place; may be empty
  std::string device;  // code of the one that stands there; empty for none
  std::string season;
  SpreadAsk ask;
  ReachSpread spread;
  std::vector<std::string> notes;  // in words
};

// "0.1 lower", "about the same": what two residuals differ by as they are printed, to 0.1 mg/L.
std::string ResidualDifference(double mg_per_l, double beside_mg_per_l);
// "9 h older", "about the same": less than a tenth, or than an hour, is no difference.
std::string AgeDifference(double age_s, double beside_s);

// For people: residuals to 0.1 mg/L, as good as the kit. At most a dozen places, the last and the worst among
// them.
void PrintSpread(const SpreadTold& told, std::ostream& out);
// One document, units in its keys: docs/formats/spread.md.
std::string SpreadToJson(const SpreadTold& told);

}  // namespace lastreach
