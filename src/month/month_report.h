#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <vector>

#include "ledger/month_records.h"
#include "month/point_water.h"
#include "month/readings.h"

namespace lastreach {

// What somebody should look at, or has looked at. The words are part of the files that are written: never
// change them.
enum class ExceptionKind {
  kBelowLimit,       // a reading below its limit; closed by a later one that is not
  kNoRead,           // a metered point not read in the month, nor enclosed by reads
  kDialFell,         // a read below the one before; closed by the next read that is not
  kUnlikeSettings,   // the meter differs from what the settings make; closed by the next interval that does
                     // not
  kSettingsOverdue,  // temporary settings past their day; closed by settings left later
  kNothingKnown,     // no read, and nobody wrote down the settings or the flow
};

struct MonthException {
  ExceptionKind kind = ExceptionKind::kBelowLimit;
  PointCode point;
  Date since;
  std::optional<Date> until;      // end of an interval between reads, or the last read there was
  double found = 0;               // mg/L or m3, as the kind has it
  double expected = 0;            // likewise: the limit, or what the settings make
  int times = 1;                  // in the month
  std::string likeliest;          // of a meter unlike its settings: what may have happened, and its odds
  std::optional<Date> closed_on;  // none: open
};

struct MonthPoint {
  FlushPoint point;
  PointWater water;
  int visits = 0;
};

// Chemicals fed into the water let out at one point.
struct MonthDechlorination {
  PointCode point;
  std::string words;  // as on the lid
  std::string agent;  // as this program names it; empty for one it does not know
  std::optional<double>
      residual_mg_per_l;  // of the water let out: mean of the month's readings, else the zone's
  bool residual_is_zones = false;
  std::optional<double> chlorine_kg;
  std::optional<double> dose_mg_per_mg;  // none where it must be the user's own and is not given
  bool dose_is_own = false;
  std::optional<double> agent_kg;
  int refills = 0;
  std::optional<double> refilled_kg;
};

struct SiteAverage {
  std::string site;
  Byproduct byproduct = Byproduct::kTotalTrihalomethanes;
  LocationalAverage average;
};

// One month, in SI units, unrounded. month_tables.h makes of it what is printed.
struct MonthReport {
  std::chrono::year_month month;
  Zone zone = Zone::Utc();
  Date through;         // the last day counted
  bool is_over = true;  // false while the month is still on
  std::vector<MonthPoint> points;
  std::vector<ResidualReading> readings;   // of the month, in order of point and time
  std::vector<ResidualSummary> residuals;  // all of them first, then zone by zone where there are several
  std::optional<int> samples_needed;       // for so many people served
  std::vector<SiteAverage> byproducts;
  std::vector<MonthDechlorination> dechlorination;
  std::vector<MonthException> exceptions;  // open ones first
  std::optional<double> supplied_m3;
  std::string currency;
  std::optional<double> price_per_m3, price_per_visit;
  int visits = 0;
  std::vector<std::string> notes;

  double metered_m3() const;
  double estimated_m3() const;
  double sd_m3() const;  // the points' deviations are independent: they add in squares
};

std::string_view ToText(ExceptionKind kind);  // "below limit", "no read", "dial fell", ...

}  // namespace lastreach
