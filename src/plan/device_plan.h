#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calendar/answer.h"
#include "calendar/settings_json.h"
#include "core/civil_time.h"
#include "core/ids.h"
#include "core/quantity.h"
#include "ledger/flush_point.h"
#include "plan/network_view.h"

namespace lastreach {

// One place on a reach where the residual is judged: a service, or the end itself.
struct TapName {
  int number = 0;     // 1 is nearest the well-fed main; the end has the highest number
  std::string words;  // "service 7 of 12", "the end"
};

// What one set of settings does, measured the same way whether planned or found.
struct Outcome {
  double lowest_mg_per_l = 0;  // over all services, the whole season and the clock an hour out either way,
                               // at the asked-for sureness
  double middle_lowest_mg_per_l = 0;  // the same with every uncertain number at its middle value
  TapName lowest_at;
  MinuteInstant lowest_when;
  double sureness = 0;          // share of draws in which every service holds the target, 0 to 1
  double water_m3_per_day = 0;  // over the season's days
  double runs_per_day = 0;
  double longest_gap_h = 0;  // 0 where there are fewer than two runs
  int runs_per_year = 0;
};

// The residual at one place through the fortnight around the worst moment, middle values.
struct ResidualSeries {
  std::vector<double> hours;     // since `begin`
  std::vector<double> mg_per_l;  // same size
  MinuteInstant begin;
};

enum class Verdict {
  kChange,                  // key these settings
  kKeep,                    // what is keyed now holds and nothing cheaper was found
  kNoFlushNeeded,           // the customers' own use keeps it fresh
  kFlushingIsNotTheAnswer,  // the water that arrives is too weak already
  kCannotHold,              // no settings this timer and these limits allow will hold it
  kTooLittleKnown,          // a number without which nothing can be said is missing
};

struct ReachSummary {
  double volume_m3 = 0;
  double length_m = 0;
  int services = 0;
  double demand_m3_per_day = 0;
  double upstream_mg_per_l = 0;
  double decay_per_day = 0;  // all losses together in still water, worst week, middle value
  double temperature_c = 0;
};

enum class BoundKind {
  kProven,    // holds for every schedule whatever
  kVerified,  // no counterexample known, not proven
};

// The settings for one device and everything a person needs to believe them.
struct DevicePlan {
  FlushPoint point;
  ControllerForm form;
  Verdict verdict = Verdict::kTooLittleKnown;
  double target_mg_per_l = 0;
  double asked_sureness = 0;
  TimerSettings settings;                // planned; equal to the present ones for kKeep
  std::optional<TimerSettings> present;  // latest as-found or as-left
  std::optional<Outcome> planned_outcome;
  std::optional<Outcome> present_outcome;
  ResidualSeries planned_series;  // at the service that is lowest under the plan; empty if none
  ResidualSeries present_series;  // at the same service
  // No schedule can hold the target with less if the uncertain numbers are as bad as at the corner the plan
  // is searched at: the floor is proven, that corner is a first-order guess of the asked-for sureness.
  double bound_m3_per_day = 0;
  BoundKind bound_kind = BoundKind::kProven;
  ReachSummary reach;
  std::vector<std::string> binds;     // what keeps the plan from using less water, in words
  std::vector<std::string> reasons;   // why this verdict, in words
  std::vector<std::string> assumed;   // numbers nobody measured, and what was taken
  std::vector<std::string> cautions;  // for the sheet
  std::vector<std::string> calendar_warnings;
  std::vector<Run> next_runs;             // the first three from the season's first day
  Volume volume_a_run;                    // of the first programme, effective minutes
  std::optional<NetworkView> on_network;  // where the device stands on a map
  double fast_clock_minutes = 0;          // what the present clock was last found to be off by
  // Planning was stopped: there may be better settings. Those given are as sure as they are said to be; where
  // none was sure by then the verdict is kTooLittleKnown and the present ones stand.
  bool stopped_early = false;
  bool planned_together = false;  // its settings count on those of devices that share its mains
};

struct SystemPlan {
  std::string zone;    // IANA name
  Date from;           // the season planned for
  Date to;             // left out
  std::string season;  // "summer 2026", as asked
  std::vector<DevicePlan> devices;
  double planned_m3_per_day = 0;
  double present_m3_per_day = 0;
  double bound_m3_per_day = 0;
  std::vector<std::string> notes;         // about the devices together
  std::optional<NetworkSummary> network;  // where devices stand on a map
};

}  // namespace lastreach
