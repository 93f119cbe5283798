#include "app/reach_spread.h"

#include <algorithm>

#include "app/spread_week.h"
#include "quality/still_water.h"

namespace lastreach {
namespace {

constexpr double kCells = 50;
constexpr double kShortestCell_m = 1;

bool HasTarget(const DeviceFacts& facts) {
  return facts.supply.target_residual ||
         std::any_of(facts.limits.begin(), facts.limits.end(),
                     [](const Limit& limit) { return std::holds_alternative<LeastResidual>(limit.rule); });
}

// What GatherNumbers asks for beyond what a spread needs.
DeviceFacts FilledIn(DeviceFacts facts) {
  if (!MakesRuns(facts)) {
    facts.point.flow = Sourced<Flow>{Flow::LitresPerSecond(1), {OriginKind::kTyped, "", {}, ""}};
    TimerSettings off;
    off.on = false;
    facts.present = off;
  }
  if (!HasTarget(facts)) {
    facts.supply.target_residual = {Concentration::MilligramsPerLitre(0.2), {OriginKind::kTyped, "", {}, ""}};
  }
  return facts;
}

// What a wall takes from a segment by the second, on average over a drive with steady taps.
double MeanWallLoss_per_s(const BranchSegment& segment, double drawn_beyond_m3_per_s,
                          const BranchDrive& drive, const Kinetics& kinetics) {
  const double radius_m = segment.diameter_m / 2;
  const StillWater still(segment.wall_m_per_s * radius_m / kinetics.diffusivity_m2_per_s);
  const double fourier_per_s = kinetics.diffusivity_m2_per_s / (radius_m * radius_m);
  double log_loss = 0;
  double rest_s = 0;
  for (size_t i = 0; i < drive.steps(); ++i) {
    const double seconds = drive.time_s[i + 1] - drive.time_s[i];
    const double flow = drive.demand_factor[i] * drawn_beyond_m3_per_s + drive.end_flow_m3_per_s[i];
    if (flow > 0) {
      log_loss += seconds * FlowingWallRate_per_s(segment.length_m, segment.diameter_m, flow,
                                                  segment.wall_m_per_s, kinetics);
      rest_s = 0;
    } else {
      log_loss += still.LogLoss(fourier_per_s * (rest_s + seconds)) - still.LogLoss(fourier_per_s * rest_s);
      rest_s += seconds;
    }
  }
  return log_loss / (drive.time_s.back() - drive.time_s.front());
}

std::vector<TapSpread> Draw(const SpreadWeek& week, const SpreadAsk& ask, const PulseLaw& law,
                            const std::function<void(size_t done)>& progress) {
  double length_m = 0;
  for (const BranchSegment& segment : week.model().branch.segments) length_m += segment.length_m;
  EnsembleOptions options;
  options.name = ask.name;
  options.members = ask.weeks;
  options.judge_from_s = week.judge_from_s();
  options.dispersion.along_the_pipe = ask.along_the_pipe;
  options.dispersion.cell_length_m = std::max(kShortestCell_m, length_m / kCells);
  options.threads = ask.threads;
  return SpreadUnderPulses(WithMeanWallLoss(week.model(), week.drive()), week.drive(), law, options,
                           week.model().kinetics, progress);
}

}  // namespace

Branch WithMeanWallLoss(const ReachModel& model, const BranchDrive& drive) {
  Branch branch = model.branch;
  double drawn_beyond_m3_per_s = 0;
  for (size_t j = branch.segments.size(); j-- > 0;) {
    BranchSegment& segment = branch.segments[j];
    drawn_beyond_m3_per_s += segment.tap_demand_m3_per_s;
    if (segment.wall_m_per_s == 0) continue;
    segment.bulk_per_s += MeanWallLoss_per_s(segment, drawn_beyond_m3_per_s, drive, model.kinetics);
    segment.wall_m_per_s = 0;
  }
  return branch;
}

size_t SpreadPlace::WeeksBelow(double mg_per_l) const {
  const std::vector<double>& lows = weeks.lowest_mg_per_l;
  return static_cast<size_t>(std::lower_bound(lows.begin(), lows.end(), mg_per_l) - lows.begin());
}

const SpreadPlace& ReachSpread::Worst() const {
  const auto middle = [](const SpreadPlace& place) { return Quantile(place.weeks.lowest_mg_per_l, 0.5); };
  const SpreadPlace* worst = &places.front();
  for (const SpreadPlace& place : places) {
    if (middle(place) <= middle(*worst)) worst = &place;
  }
  return *worst;
}

Result<ReachSpread> SpreadOnReach(const DeviceFacts& asked, const Zone& zone, const SpreadAsk& ask,
                                  const std::function<void(size_t done)>& progress) {
  const DeviceFacts facts = FilledIn(asked);
  const auto numbers = GatherNumbers(facts, {});
  if (!numbers.ok()) return numbers.error();
  if (!(numbers->demand_m3_per_s() > 0))
    return BadInput("no customer draws on the reach: nothing is left to chance");
  const SpreadWeek week(facts, zone, *numbers, ask.season);

  ReachSpread spread;
  const std::vector<TapSpread> taps = Draw(week, ask, spread.law, progress);
  spread.week = week.days();
  spread.warm_up_days = week.warm_up_days();
  spread.older_than_warm_up = week.SawInitialWater();
  spread.runs = week.RunsInTheWeek();
  spread.standing_m = week.standing_m();
  if (HasTarget(asked)) spread.target_mg_per_l = numbers->target_mg_per_l;
  spread.upstream_mg_per_l = numbers->upstream_mg_per_l;
  spread.temperature_c = numbers->temperature_c;
  spread.demand_m3_per_s = numbers->demand_m3_per_s();
  spread.services = numbers->services();
  spread.assumed = numbers->assumed;
  for (size_t i = 0; i < week.places().size(); ++i) {
    const size_t segment = week.places()[i];
    SpreadPlace place;
    place.service = i < week.model().service_number.size() ? week.model().service_number[i] : 0;
    place.words = place.service == 0
                      ? "the end"
                      : "service " + std::to_string(place.service) + " of " + std::to_string(spread.services);
    place.weeks = taps[segment];
    place.smooth_lowest_mg_per_l = week.smooth(segment).lowest_mg_per_l;
    place.smooth_greatest_age_s = week.smooth(segment).greatest_age_s;
    spread.older_than_warm_up |=
        place.weeks.greatest_age_s.back() > 0.9 * spread.warm_up_days * kSecondsPerDay;
    spread.places.push_back(std::move(place));
  }
  return spread;
}

}  // namespace lastreach
