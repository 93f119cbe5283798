#pragma once

#include <ostream>
#include <string>
#include <vector>

#include "ledger/prices.h"
#include "plan/device_plan.h"
#include "report/sheet_options.h"
#include "together/what_else.h"

namespace lastreach {

// What `what-else` tells of one device.
struct WhatElseTold {
  const DevicePlan* plan = nullptr;
  std::string season;
  Prices prices;
  std::vector<OtherWayOutcome> ways;
  std::vector<std::string> names;  // of nodes
  SheetUnits units = SheetUnits::kMetric;
};

// By the plan; as it is now where there is none.
double Water_m3_per_day(const DevicePlan& plan);

// One sentence: "Without the device its customers would fall to 0.1 mg/L (target 0.4 mg/L): ...".
std::string WordsOn(const OtherWayOutcome& outcome, double target_mg_per_l, double water_now_m3_per_day,
                    const std::string& joined_to, SheetUnits units);

void PrintWhatElse(const WhatElseTold& told, std::ostream& out);
std::string WhatElseToJson(const WhatElseTold& told);

}  // namespace lastreach
