#pragma once

#include <optional>
#include <string>
#include <vector>

#include "plan/facts.h"
#include "plan/numbers.h"
#include "year/season_water.h"

namespace lastreach {

// When crews come, and how often the rules make them.
struct HandFlushOptions {
  int work_from_min = 8 * 60;            // local time of the day at which a flush may begin,
  int work_to_min = 16 * 60;             // and must be over
  bool weekends = false;                 // whether crews come on Saturdays and Sundays
  std::optional<int> most_days_between;  // the user's rule, 31 for "once a month"
  std::string rule_source;
  // Whoever must come more often than this had better put a device there: common practice, no source.
  int least_days_by_hand = 7;
};

enum class HandVerdict {
  kNoFlushNeeded,           // the customers' own use keeps it fresh; what the rule asks for is still done
  kFlushEvery,              // at most so many days apart
  kTooOften,                // no crew can come as often as it takes
  kFlushingIsNotTheAnswer,  // the water that arrives is too weak already
  kTooLittleKnown,
};

// How long and how often one end is flushed by hand.
struct HandFlushPlan {
  PointCode point;
  HandVerdict verdict = HandVerdict::kTooLittleKnown;
  int minutes = 0;  // the valve stays open, at the point's flow
  double water_m3_a_flush = 0;
  // The greatest whole number of days between flushes that surely holds the target; 0 where not even a flush
  // a day does, none where no flush is needed.
  std::optional<int> days_that_hold;
  std::optional<int> days_between;  // what is planned: that, or less where a rule asks; none for no flush
  bool rule_binds = false;
  int flushes_per_year = 0;
  double water_m3_per_year = 0;
  double sureness = 0;         // share of fresh draws in which it holds as planned
  double lowest_mg_per_l = 0;  // at the asked-for sureness, just before the next flush
  std::vector<std::string> reasons, assumed, cautions;
};

// Minutes: what it takes to push one volume of the reach out, the front with it, surely.
//
//   minutes = V / F (1 + 1.64 s / V) exp(z sd),   s^2 = sum over pipes of A^2 2 K L / u,   K = 10.1 a u*
//
// with u* of a smooth pipe, s doubled where Re < 20,000, and five volumes of a pipe in which the flow is
// laminar, which leaves a twentieth of the old water behind. SOURCE: Taylor, Proc. R. Soc. A 223, 446-468,
// 1954, and A 219, 186-203, 1953 (from memory).
//
// Days: found by bisection with the transport of the planner, over the same draws of the uncertain numbers,
// at the services of the reach. A gap of N days is judged from a flush at the beginning of working hours to
// one that ends with them N days later. What the gap is confirmed with, and the sureness told, are fresh
// draws with every service.
//
// ERROR: none; kTooLittleKnown with the reason. COST: some ten times `draws` transports.
HandFlushPlan PlanHandFlush(const DeviceFacts& facts, const PlanOptions& options,
                            const HandFlushOptions& hand);

// The same for each part of the year.
struct HandFlushYear {
  std::vector<HandFlushPlan> parts;  // [part]
  int trips = 0;                     // a year
  double water_m3 = 0;
};
HandFlushYear PlanHandFlushYear(const DeviceFacts& facts, const PlanOptions& options,
                                const std::vector<YearPart>& year, const std::vector<MonthWater>& water,
                                const HandFlushOptions& hand);

// What a flush at such a flow must push out beyond the volume of the reach, over that volume [-].
double FrontAllowance(const PlanningNumbers& numbers, double flow_m3_per_s);
// Flushes a year that keep gaps to so many days, each as late as crews come; one every working day where
// weekends do not let them. REQUIRES: most_days >= 1.
int FlushesPerYear(int most_days, bool weekends);

}  // namespace lastreach
