#include "together/network_plan.h"

#include <algorithm>
#include <ctime>
#include <limits>
#include <optional>

#include "plan/tree_reaches.h"
#include "together/network_watch.h"

namespace lastreach {
namespace {

// Up to this round more arriving than was counted on is credited too.
constexpr size_t kCreditRounds = 2;
// More than this has to arrive for a new plan to be worth it.
constexpr double kWorthCredit_mg_per_l = 0.05;

using ByHour = std::array<double, 24>;

ByHour Flat(double mg_per_l) {
  ByHour hours;
  hours.fill(mg_per_l);
  return hours;
}

ByHour Least(const ByHour& a, const ByHour& b) {
  ByHour least;
  for (size_t hour = 0; hour < least.size(); ++hour) least[hour] = std::min(a[hour], b[hour]);
  return least;
}

// The greatest amount by which `has` falls short of `needed` in any hour.
double Shortfall(const ByHour& needed, const ByHour& has) {
  double most = -std::numeric_limits<double>::infinity();
  for (size_t hour = 0; hour < needed.size(); ++hour) most = std::max(most, needed[hour] - has[hour]);
  return most;
}

double Lowest(const ByHour& hours) { return *std::min_element(hours.begin(), hours.end()); }

double ProcessorSeconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

// What `work` gives; adds the processor time it takes.
template <typename Work>
auto Timed(double& seconds, Work work) {
  const double begin_s = ProcessorSeconds();
  auto made = work();
  seconds += ProcessorSeconds() - begin_s;
  return made;
}

class Loop {
 public:
  Loop(const std::vector<DeviceFacts>& devices, const PlanningNetwork& network, const PlanThese& plan,
       const Zone& zone, DateWindow season, const NetworkPlanOptions& options, const ArrangeThese& arrange)
      : facts_(devices),
        network_(network),
        plan_(plan),
        zone_(zone),
        season_(season),
        options_(options),
        arrange_(arrange) {}

  Result<NetworkPlan> Run() {
    auto made = NetworkWatch::Make(network_, zone_, season_);
    if (!made.ok()) return made.error();
    watch_ = *std::move(made);
    NetworkPlanSeconds& spent = out_.network.seconds;
    std::vector<DeviceDuty> present;
    for (const PlacedDevice& placed : network_.placed) present.push_back(PresentDuty(facts_[placed.device]));
    if (Status ran = RunNetwork(present, out_.network.now); !ran.ok()) return ran.error();
    if (Status told = TellPressure(present, out_.network.now); !told.ok()) return told.error();
    for (size_t i = 0; i < network_.placed.size(); ++i) CountOn(i, Arriving(i, out_.network.now));

    out_.devices.resize(facts_.size());
    std::vector<size_t> anew(facts_.size());
    for (size_t d = 0; d < anew.size(); ++d) anew[d] = d;
    for (size_t round = 0; !anew.empty(); ++round) {
      const size_t planned = anew.size();
      Timed(spent.planning, [&] { return PlanAnew(anew); });
      if (Status ran = RunNetwork(PlannedDuties(), out_.network.planned); !ran.ok()) return ran.error();
      anew = WhatToPlanAgain(round, round < kCreditRounds);
      if (anew.empty() && arrange_) {
        const std::vector<DevicePlan> before = out_.devices;
        auto arranged = Timed(spent.arranging, [&] { return arrange_(facts_, out_.devices); });
        if (!arranged.ok()) return arranged.error();
        out_.network.together = *std::move(arranged);
        if (RunsOtherwise(before)) {
          if (Status ran = RunNetwork(PlannedDuties(), out_.network.planned); !ran.ok()) return ran.error();
          anew = WhatToPlanAgain(round, false);
        }
      }
      Record(planned);
    }
    if (Status told = TellPressure(PlannedDuties(), out_.network.planned); !told.ok()) return told.error();
    View();
    return std::move(out_);
  }

 private:
  std::vector<DeviceDuty> PlannedDuties() const {
    std::vector<DeviceDuty> duties;
    for (const PlacedDevice& placed : network_.placed)
      duties.push_back(PlannedDuty(facts_[placed.device], out_.devices[placed.device]));
    return duties;
  }

  Status RunNetwork(const std::vector<DeviceDuty>& duties, NetworkJudgement& judgement) {
    auto found = Timed(out_.network.seconds.judging, [&] { return watch_->Judge(duties); });
    if (!found.ok()) return found.error();
    judgement.devices = *std::move(found);
    return Ok();
  }

  Status TellPressure(const std::vector<DeviceDuty>& duties, NetworkJudgement& judgement) {
    const auto lowest = Timed(out_.network.seconds.judging,
                              [&] { return LowestPressureOn(network_, duties, zone_, season_); });
    if (!lowest.ok()) return lowest.error();
    if (!*lowest) return Ok();
    judgement.lowest_pressure_m = (*lowest)->pressure_m;
    judgement.lowest_pressure_at = (*lowest)->node;
    judgement.lowest_pressure_hour = (*lowest)->hour;
    return Ok();
  }

  bool RunsOtherwise(const std::vector<DevicePlan>& before) const {
    for (size_t d = 0; d < before.size(); ++d) {
      if (before[d].settings != out_.devices[d].settings || before[d].verdict != out_.devices[d].verdict)
        return true;
    }
    return false;
  }

  // What arrives at the root of a placed device's reach.
  ByHour Arriving(size_t i, const NetworkJudgement& judgement) const {
    return ArrivingAtRoot(facts_[network_.placed[i].device], out_.network.now.devices[i],
                          judgement.devices[i]);
  }

  void CountOn(size_t i, const ByHour& hours) {
    DeviceFacts& facts = facts_[network_.placed[i].device];
    const bool measured = facts.reach.upstream_residual.has_value();
    const double typed = measured ? facts.reach.upstream_residual->value.milligrams_per_litre() : 0;
    if (measured && Lowest(hours) >= typed - options_.agree_mg_per_l) {
      facts.root_mg_per_l_by_hour.reset();
    } else {
      facts.root_mg_per_l_by_hour = hours;
    }
  }

  ByHour CountedOn(size_t i) const {
    const DeviceFacts& facts = facts_[network_.placed[i].device];
    if (facts.root_mg_per_l_by_hour) return *facts.root_mg_per_l_by_hour;
    return Flat(facts.reach.upstream_residual->value.milligrams_per_litre());
  }

  bool PlanAnew(const std::vector<size_t>& which) {
    std::vector<DeviceFacts> these;
    for (const size_t d : which) {
      these.push_back(facts_[d]);
      if (auto last = PlannedLast(d)) these.back().planned_before = std::move(last);
    }
    std::vector<DevicePlan> plans = plan_(these);
    planned_for_.resize(facts_.size());
    for (size_t k = 0; k < which.size(); ++k) {
      const size_t d = which[k];
      if (plans[k].stopped_early && !plans[k].planned_outcome && out_.devices[d].planned_outcome) {
        facts_[d].root_mg_per_l_by_hour = planned_for_[d];  // what it has stands on that
        out_.devices[d].stopped_early = true;
        continue;
      }
      out_.devices[d] = std::move(plans[k]);
      planned_for_[d] = facts_[d].root_mg_per_l_by_hour;
    }
    return true;
  }

  // What the round before found, to begin from; none before there was one.
  std::optional<PlannedBefore> PlannedLast(size_t d) const {
    const DevicePlan& plan = out_.devices[d];
    const bool off_together = plan.verdict == Verdict::kNoFlushNeeded && plan.planned_together;
    if (!plan.planned_outcome || (plan.verdict != Verdict::kChange && !off_together)) return std::nullopt;
    return PlannedBefore{plan.settings, plan.planned_outcome->water_m3_per_day, plan.bound_m3_per_day,
                         plan.planned_together};
  }

  std::vector<size_t> WhatToPlanAgain(size_t round, bool may_credit) {
    const bool is_last =
        round + 1 >= static_cast<size_t>(options_.most_rounds) || (options_.stop && options_.stop());
    std::vector<size_t> anew;
    shortfall_ = 0;
    for (size_t i = 0; i < network_.placed.size(); ++i) {
      const ByHour used = CountedOn(i);
      const ByHour has = Arriving(i, out_.network.planned);
      const double short_by = Shortfall(used, has);
      if (CountsOnTheMain(i)) shortfall_ = std::max(shortfall_, short_by);
      const bool too_little = short_by > options_.agree_mg_per_l;
      const bool credit = may_credit && Lowest(has) - Lowest(used) > kWorthCredit_mg_per_l;
      if (is_last || (!too_little && !credit)) continue;
      CountOn(i, may_credit ? has : Least(used, has));
      anew.push_back(network_.placed[i].device);
    }
    return WholeTrees(anew);
  }

  // Ends that share a main count on each other's runs: none of them is planned again without the others.
  std::vector<size_t> WholeTrees(const std::vector<size_t>& some) const {
    std::vector<size_t> whole;
    for (const ReachTree& tree : TreesOf(facts_)) {
      const bool any = std::any_of(tree.devices.begin(), tree.devices.end(), [&](size_t d) {
        return std::find(some.begin(), some.end(), d) != some.end();
      });
      if (any) whole.insert(whole.end(), tree.devices.begin(), tree.devices.end());
    }
    std::sort(whole.begin(), whole.end());
    return whole;
  }

  // Whether there are settings that stand on what arrives.
  bool CountsOnTheMain(size_t i) const {
    const Verdict verdict = out_.devices[network_.placed[i].device].verdict;
    return verdict == Verdict::kChange || verdict == Verdict::kKeep || verdict == Verdict::kNoFlushNeeded;
  }

  void Record(size_t planned) {
    double water_m3_per_day = 0;
    for (const DevicePlan& device : out_.devices) {
      if (device.planned_outcome) water_m3_per_day += device.planned_outcome->water_m3_per_day;
    }
    out_.network.rounds.push_back({planned, water_m3_per_day, shortfall_});
    out_.network.confirmed = shortfall_ <= options_.agree_mg_per_l;
  }

  void View() {
    for (size_t i = 0; i < network_.placed.size(); ++i) {
      const NetworkFinding& now = out_.network.now.devices[i];
      const NetworkFinding& planned = out_.network.planned.devices[i];
      NetworkView view;
      view.root_mg_per_l = planned.root_lowest_mg_per_l();
      view.root_now_mg_per_l = now.root_lowest_mg_per_l();
      view.lowest_mg_per_l = planned.lowest_mg_per_l;
      view.lowest_now_mg_per_l = now.lowest_mg_per_l;
      view.counted_on_mg_per_l = CountedOn(i);
      view.confirmed = Shortfall(CountedOn(i), Arriving(i, out_.network.planned)) <= options_.agree_mg_per_l;
      out_.devices[network_.placed[i].device].on_network = view;
    }
  }

  std::vector<DeviceFacts> facts_;  // with what each may count on
  const PlanningNetwork& network_;
  const PlanThese& plan_;
  const Zone& zone_;
  DateWindow season_;
  const NetworkPlanOptions& options_;
  const ArrangeThese& arrange_;
  std::optional<NetworkWatch> watch_;
  std::vector<std::optional<ByHour>> planned_for_;  // of each device, where not a measured residual
  double shortfall_ = 0;
  NetworkPlan out_;
};

double FlowOf_m3_per_s(const DeviceFacts& facts) {
  return facts.point.flow ? facts.point.flow->value.cubic_metres_per_second() : 0;
}

}  // namespace

std::array<double, 24> ArrivingAtRoot(const DeviceFacts& facts, const NetworkFinding& now,
                                      const NetworkFinding& judged) {
  if (!facts.reach.upstream_residual) return judged.root_mg_per_l_by_hour;
  // Somebody measured it: the simulation tells only what changes.
  const double before = now.root_lowest_mg_per_l();
  const double share = before > 0 ? std::min(1.0, judged.root_lowest_mg_per_l() / before) : 1.0;
  return Flat(facts.reach.upstream_residual->value.milligrams_per_litre() * share);
}

DeviceDuty PlannedDuty(const DeviceFacts& facts, const DevicePlan& plan) {
  switch (plan.verdict) {
    case Verdict::kChange:
      return {plan.form, plan.settings, FlowOf_m3_per_s(facts), 0};
    case Verdict::kNoFlushNeeded: {
      TimerSettings off = plan.settings;
      off.on = false;
      return {plan.form, off, FlowOf_m3_per_s(facts), 0};
    }
    case Verdict::kKeep:
    case Verdict::kFlushingIsNotTheAnswer:
    case Verdict::kCannotHold:
    case Verdict::kTooLittleKnown:
      break;
  }
  return PresentDuty(facts);
}

DeviceDuty PresentDuty(const DeviceFacts& facts) {
  TimerSettings settings = facts.present.value_or(TimerSettings{});
  if (!facts.present) settings.on = false;
  return {facts.form, settings, FlowOf_m3_per_s(facts), facts.present_clock_fast_minutes};
}

Result<NetworkPlan> PlanOnNetwork(const std::vector<DeviceFacts>& devices, const PlanningNetwork& network,
                                  const PlanThese& plan, const Zone& zone, DateWindow season,
                                  const NetworkPlanOptions& options, const ArrangeThese& arrange) {
  return Loop(devices, network, plan, zone, season, options, arrange).Run();
}

}  // namespace lastreach
