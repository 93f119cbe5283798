#pragma once

#include <optional>
#include <string>
#include <vector>

#include "plan/device_plan.h"
#include "year/device_choices.h"
#include "year/year_parts.h"

namespace lastreach {

// What water and visits cost the user. The product ships no prices.
struct YearPrices {
  std::string currency;  // "USD"
  double per_m3 = 0;
  double per_visit = 0;
  std::string source;
};

// One device in one part of the year as the plan has it.
struct PartOfDevice {
  PartState state = PartState::kHeld;
  TimerSettings settings;          // as keyed then
  double water_m3 = 0;             // over the part
  std::optional<Outcome> outcome;  // judged in that part
  std::string words;               // what there is to say of it; mostly nothing
};

struct DeviceYear {
  FlushPoint point;
  std::vector<PartOfDevice> parts;  // [part]; empty where no part of the year can be held
  double water_m3 = 0;
  int visits = 0;                          // a year to change settings, besides trips made anyway
  int changes = 0;                         // of settings, a year
  std::vector<double> least_m3_by_visits;  // its own frontier, kMayNotStand where so few will not do
  std::vector<std::string> notes;
};

// A day on which something is keyed.
struct SettingsChange {
  Date when;  // before the first start of this day
  PointCode point;
  TimerSettings settings;
  std::optional<int> percent_only;  // nothing but the percentage changes, to this
  bool on_a_trip = false;           // somebody is there in that month anyway
  std::string words;
};

// Water against visits for the system: the least water with at most so many visits a year.
struct FrontierPoint {
  int visits = 0;
  double water_m3 = 0;
  double saved_m3 = 0;         // by the last of these visits; 0 for the first point
  std::optional<double> cost;  // a year, where prices are given
};

// A way of going about it for all devices alike.
struct NamedPoint {
  std::string name;  // "one setting all year"
  double water_m3 = 0;
  int visits = 0;
  int changes = 0;
  std::optional<double> cost;
  std::string note;  // which devices cannot, and what was taken for them
};

// A year that comes round: what each device stands at in each part, and when it is changed.
struct YearPlan {
  std::vector<YearPart> parts;
  std::vector<DeviceYear> devices;
  std::vector<SettingsChange> to_begin;  // once, before the first part: what does not stand so now
  std::vector<SettingsChange> changes;   // each year, by date and then device
  std::vector<FrontierPoint> frontier;   // rising visits, from the fewest that will do
                                         // to the last that saves anything
  std::vector<NamedPoint> named;
  double water_m3 = 0;
  int visits = 0;
  std::optional<double> cost;
  double worth_m3_a_visit = 0;
  std::vector<std::string> notes;
};

}  // namespace lastreach
