#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "year/drought.h"
#include "year/hand_flush.h"
#include "year/year_plan.h"

namespace lastreach {

// One end flushed by hand, through the parts of the year.
struct HandEndYear {
  FlushPoint point;
  HandFlushYear year;
};

// What the whole network, simulated with all devices as the year's plan has them, says of one part.
struct PartOnNetwork {
  bool confirmed = false;           // the main at every device's tee carries what its settings count on
  std::vector<PointCode> short_at;  // devices where it does not
  double greatest_shortfall_mg_per_l = 0;
  double lowest_pressure_m = 0;    // where anything is drawn
  std::string lowest_pressure_at;  // as people say it
};

// All that planning a year answers: what stands when, and what it rests on.
struct YearAnswer {
  std::string name;  // "April 2027 to March 2028"
  std::string zone;  // IANA name
  double sureness = 0;
  YearPlan plan;
  std::optional<YearPrices> prices;
  std::vector<HandEndYear> hand_ends;
  std::vector<DroughtPlan> drought;  // by stage, in the part of the year that takes most water
  std::map<PointCode, FrostSpell> frost;
  std::map<PointCode, std::set<int>> trip_months;  // in which somebody is there anyway
  std::vector<PartOnNetwork> on_network;           // [part]; empty where each device was planned by itself
  std::vector<std::string> notes;
};

std::string_view ToText(PartState state);      // "held", "frost", "not held"
std::string_view ToText(HandVerdict verdict);  // "no flush needed", "flush by hand", ...

}  // namespace lastreach
