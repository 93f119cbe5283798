#include "year/hand_flush.h"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <numbers>

#include "plan/words.h"
#include "quality/kinetics.h"
#include "year/hand_trial.h"

namespace lastreach {
namespace {

constexpr int kWholeMinutes = 5;  // crews read a watch, not a timer
constexpr double kPushingReynolds = 4000;
constexpr double kWellMixedReynolds = 20000;  // below, the front is about twice as long
constexpr double kLaminarVolumes = 5;         // leave 1 / (4 x 5) of the old water
constexpr double kOneInTwenty = 1.64;         // of the front's tail is let go
constexpr double kDaysPerYear = 365.25;

// The value that all but a share of the sorted draws reach.
double AtSureness(const std::vector<double>& lows, double sureness) {
  const auto unsure =
      static_cast<size_t>(std::floor((1 - sureness) * static_cast<double>(lows.size()) + 1e-9));
  return lows[std::min(unsure, lows.size() - 1)];
}

double ShareThatHolds(const std::vector<double>& lows, double target_mg_per_l) {
  const auto first = std::lower_bound(lows.begin(), lows.end(), target_mg_per_l);
  return static_cast<double>(lows.end() - first) / static_cast<double>(lows.size());
}

class HandPlanner {
 public:
  HandPlanner(const DeviceFacts& facts, const PlanOptions& options, const HandFlushOptions& hand,
              const PlanningNumbers& numbers, HandFlushPlan& plan)
      : facts_(facts),
        options_(options),
        hand_(hand),
        numbers_(numbers),
        plan_(plan),
        search_(numbers, options.zone, options.from,
                StratifiedDraws(static_cast<size_t>(options.draws), options.seed), options.search_taps),
        fresh_(numbers, options.zone, options.from,
               PlainDraws(static_cast<size_t>(options.confirming_draws), options.seed + 1), kEveryTap) {}

  void Plan() {
    Minutes();
    if (UpstreamIsTooWeak()) return;
    if (const auto lows = fresh_.LowsWithoutFlush(); Holds(lows)) {
      plan_.verdict = HandVerdict::kNoFlushNeeded;
      plan_.days_between = hand_.most_days_between;
      Tell(lows);
      plan_.reasons.push_back("The customers' own use keeps this reach fresh: " +
                              Residual(plan_.lowest_mg_per_l) + " at the worst moment without a flush.");
    } else {
      Often();
    }
    Count();
  }

 private:
  bool Holds(const std::vector<double>& lows) const {
    return AtSureness(lows, options_.sureness) >= numbers_.target_mg_per_l;
  }

  void Tell(const std::vector<double>& lows) {
    plan_.sureness = ShareThatHolds(lows, numbers_.target_mg_per_l);
    plan_.lowest_mg_per_l = AtSureness(lows, options_.sureness);
  }

  double Quantile() const { return boost::math::quantile(boost::math::normal(), options_.sureness); }

  void Minutes() {
    const double flow = numbers_.flow_m3_per_s;
    const double sd = std::hypot(numbers_.log_sd[kReachVolume], numbers_.log_sd[kDeviceFlow]);
    const double surely = std::exp(std::max(0.0, Quantile()) * sd);
    const double volume = numbers_.volume_m3() * (1 + FrontAllowance(numbers_, flow)) * surely;
    const double minutes = volume / flow / kSecondsPerMinute;
    plan_.minutes = static_cast<int>(std::ceil(minutes / kWholeMinutes - 1e-9)) * kWholeMinutes;
    plan_.water_m3_a_flush = plan_.minutes * kSecondsPerMinute * flow;
    times_ = {plan_.minutes, hand_.work_from_min,
              std::max(hand_.work_from_min, hand_.work_to_min - plan_.minutes)};
    const double viscosity = KineticsAt(Temperature::Celsius(numbers_.temperature_c)).viscosity_m2_per_s;
    for (const PipeNumbers& pipe : numbers_.pipes) {
      if (4 * flow / (std::numbers::pi * pipe.diameter_m * viscosity) >= kPushingReynolds) continue;
      plan_.cautions.push_back(
          "So small a flow slips through the old water instead of pushing it: open wider.");
      break;
    }
    if (plan_.minutes > hand_.work_to_min - hand_.work_from_min)
      plan_.cautions.push_back("A flush takes longer than the working hours given.");
    for (const Limit& limit : facts_.limits) {
      const auto* most = std::get_if<MostVolumeARun>(&limit.rule);
      if (most == nullptr || most->volume.cubic_metres() >= plan_.water_m3_a_flush) continue;
      plan_.cautions.push_back("A flush is more than the outlet may take (" + Describe(limit.rule) +
                               "; source: " + limit.source + ").");
    }
  }

  bool UpstreamIsTooWeak() {
    Deviates weak{};
    weak[kUpstream] = Quantile();
    if (numbers_.upstream_mg_per_l * Factor(numbers_, kUpstream, weak) > numbers_.target_mg_per_l)
      return false;
    plan_.verdict = HandVerdict::kFlushingIsNotTheAnswer;
    plan_.reasons.push_back("The main upstream carries about " + Residual(numbers_.upstream_mg_per_l) +
                            ": not surely enough to leave " + Residual(numbers_.target_mg_per_l) +
                            " anywhere on the reach, however it is flushed.");
    return true;
  }

  void Often() {
    // Days that hold, and the first known not to: so long a gap is no better than no flush at all.
    int holds = 0, fails = search_.LongestGapThatMatters_days() + 1;
    while (fails - holds > 1) {
      const int days = holds + (fails - holds) / 2;
      (Holds(search_.Lows(times_, days)) ? holds : fails) = days;
    }
    std::vector<double> lows;
    while (holds > 0 && !Holds(lows = fresh_.Lows(times_, holds))) --holds;
    plan_.days_that_hold = holds;
    const int least = std::max(hand_.weekends ? 1 : 3, hand_.least_days_by_hand);
    if (holds < least) {
      plan_.verdict = HandVerdict::kTooOften;
      plan_.days_between = hand_.most_days_between;
      if (holds > 0) Tell(lows);
      plan_.reasons.push_back(
          holds == 0
              ? "It cannot be held by hand: a flush a day is not enough. Consider a device."
              : "It cannot be held by hand: it would need a flush " + Every(holds) + ". Consider a device.");
      return;
    }
    plan_.verdict = HandVerdict::kFlushEvery;
    plan_.rule_binds = hand_.most_days_between && *hand_.most_days_between < holds;
    plan_.days_between = plan_.rule_binds ? *hand_.most_days_between : holds;
    Tell(plan_.rule_binds ? fresh_.Lows(times_, *plan_.days_between) : lows);
    plan_.reasons.push_back("Flushed " + Every(holds) + " it holds: " + Residual(plan_.lowest_mg_per_l) +
                            " just before the next flush.");
  }

  static std::string Every(int days) {
    return days == 1 ? "every day" : "every " + std::to_string(days) + " days";
  }

  void Count() {
    if (!plan_.days_between) return;
    if (hand_.most_days_between && *plan_.days_between == *hand_.most_days_between) {
      plan_.reasons.push_back("The rule asks for a flush " + Every(*hand_.most_days_between) +
                              " (source: " + hand_.rule_source + ").");
    }
    plan_.flushes_per_year = FlushesPerYear(*plan_.days_between, hand_.weekends);
    plan_.water_m3_per_year = plan_.flushes_per_year * plan_.water_m3_a_flush;
  }

  const DeviceFacts& facts_;
  const PlanOptions& options_;
  const HandFlushOptions& hand_;
  const PlanningNumbers& numbers_;
  HandFlushPlan& plan_;
  HandTrial search_, fresh_;
  HandTrial::FlushTimes times_;
};

}  // namespace

HandFlushPlan PlanHandFlush(const DeviceFacts& facts, const PlanOptions& options,
                            const HandFlushOptions& hand) {
  HandFlushPlan plan;
  plan.point = facts.point.code;
  const Result<PlanningNumbers> numbers = GatherNumbers(facts, options);
  if (!numbers.ok()) {
    plan.reasons.push_back("Too little is known: " + numbers.error().message + ".");
    return plan;
  }
  plan.assumed = numbers->assumed;
  HandPlanner(facts, options, hand, *numbers, plan).Plan();
  return plan;
}

HandFlushYear PlanHandFlushYear(const DeviceFacts& facts, const PlanOptions& options,
                                const std::vector<YearPart>& year, const std::vector<MonthWater>& water,
                                const HandFlushOptions& hand) {
  HandFlushYear of_year;
  double trips = 0;
  for (const YearPart& part : year) {
    const FactsOfPart in_part = FactsIn(part, facts, options, water);
    HandFlushPlan plan = PlanHandFlush(in_part.facts, in_part.options, hand);
    trips += plan.flushes_per_year * part.length_days() / kDaysPerYear;
    of_year.water_m3 += plan.water_m3_per_year * part.length_days() / kDaysPerYear;
    of_year.parts.push_back(std::move(plan));
  }
  of_year.trips = static_cast<int>(std::ceil(trips - 1e-9));
  return of_year;
}

double FrontAllowance(const PlanningNumbers& numbers, double flow_m3_per_s) {
  const double viscosity = KineticsAt(Temperature::Celsius(numbers.temperature_c)).viscosity_m2_per_s;
  double variance_m6 = 0, more_m3 = 0;
  for (const PipeNumbers& pipe : numbers.pipes) {
    const double area = std::numbers::pi / 4 * pipe.diameter_m * pipe.diameter_m;
    const double velocity = flow_m3_per_s / area;
    const double reynolds = velocity * pipe.diameter_m / viscosity;
    if (reynolds < kPushingReynolds) {
      more_m3 += (kLaminarVolumes - 1) * area * pipe.length_m;
      continue;
    }
    // SOURCE: Blasius, 1913 (from memory), f = 0.316 Re^-0.25, and u* = u sqrt(f / 8).
    const double shear_velocity = velocity * std::sqrt(0.316 * std::pow(reynolds, -0.25) / 8);
    const double dispersion = 10.1 * pipe.diameter_m / 2 * shear_velocity;
    const double times = reynolds < kWellMixedReynolds ? 2 : 1;
    const double spread_m3 = times * area * std::sqrt(2 * dispersion * pipe.length_m / velocity);
    variance_m6 += spread_m3 * spread_m3;
  }
  return (kOneInTwenty * std::sqrt(variance_m6) + more_m3) / numbers.volume_m3();
}

int FlushesPerYear(int most_days, bool weekends) {
  if (weekends) return static_cast<int>(std::ceil(kDaysPerYear / most_days - 1e-9));
  constexpr int kWorkdaysAYear = 261;
  if (most_days < 3) return kWorkdaysAYear;
  // Day 0 is a Monday. Many years, so that where they begin does not matter.
  constexpr int kYears = 40;
  int flushes = 0;
  for (int day = 0; day < kYears * kDaysPerYear; ++flushes) {
    day += most_days;
    while (day % 7 >= 5) --day;
  }
  return static_cast<int>(std::ceil(flushes / double{kYears} - 1e-9));
}

}  // namespace lastreach
