#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "app/device_facts.h"
#include "ledger/prices.h"
#include "ledger/trips.h"
#include "year/plan_year.h"
#include "year/year_answer.h"

namespace lastreach {

// What the records of a project say of its year, as planning a year takes it.

// Months in which a limit keeps an outlet shut for frost; points that none does are left out.
std::map<PointCode, FrostSpell> FrostOf(const std::vector<DeviceFacts>& devices);

// Months of the year in which a trip is made anyway that reaches the device.
std::map<PointCode, std::set<int>> TripMonthsOf(const std::vector<Trip>& trips,
                                                const std::vector<DeviceFacts>& devices,
                                                const std::vector<YearPart>& year);

// Prices to hold water against visits by; none, and a sentence, where one of the two is missing.
std::optional<YearPrices> YearPricesOf(const Prices& prices, std::vector<std::string>& notes);

// The rules for one end flushed by hand: of several duties the most frequent, with its source.
HandFlushOptions HandOptionsOf(const DeviceFacts& end);

// Each end flushed by hand through the year, in the order given.
std::vector<HandEndYear> PlanHandEnds(const std::vector<DeviceFacts>& ends, const PlanOptions& options,
                                      const std::vector<YearPart>& year, const YearRecords& records);

// Which devices stay on in each drought stage, the mildest first, in the part of the year that takes most
// water. `limits`: those that devices keep together. `facts` and `plan.devices` go together, one by one.
std::vector<DroughtPlan> PlanDroughts(const std::vector<Limit>& limits, const std::vector<DeviceFacts>& facts,
                                      const YearPlan& plan, const PlanOptions& options,
                                      const YearRecords& records);

}  // namespace lastreach
