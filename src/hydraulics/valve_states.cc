#include "hydraulics/valve_states.h"

namespace lastreach {
namespace {

// Coarser than the solver's own tolerances, far finer than a gauge.
constexpr double kHead_m = 1e-6;
constexpr double kFlow_m3_per_s = 1e-9;

// Reducing and sustaining valves are the same with heads turned upside down: `excess` is how far the held
// node is on the side the valve acts against.
double Excess(const Core& core, const CoreValve& valve) {
  const double over_m = core.head_m[valve.node] - valve.set_head_m;
  return valve.kind == LinkKind::kReducing ? over_m : -over_m;
}

double DriveOf(const Core& core, const CoreLink& link) {
  return core.head_m[link.from] - core.head_m[link.to];
}

double LossOpen(LinkLaw open, double flow) {
  open.lower_m3_per_s = -std::numeric_limits<double>::infinity();
  open.upper_m3_per_s = std::numeric_limits<double>::infinity();
  return LossOf(open, flow).head_m;
}

std::vector<ValveState> StatesOf(const Core& core) {
  std::vector<ValveState> states;
  for (const CoreValve& valve : core.valves) states.push_back(valve.state);
  return states;
}

void SetStates(Core& core, const std::vector<ValveState>& states) {
  for (size_t i = 0; i < states.size(); ++i) {
    if (core.valves[i].state != states[i]) SetState(core, core.valves[i], states[i]);
  }
}

}  // namespace

ValveState WantedState(const Core& core, const CoreValve& valve) {
  if (core.LawOf(valve.link).is_out) return valve.state;
  const CoreLink& link = core.links[valve.link];
  const double flow = core.flow_m3_per_s[valve.link];
  const double excess_m = Excess(core, valve);
  const bool can_hold = valve.node < core.unknowns;
  switch (valve.state) {
    case ValveState::kOpen:
      if (excess_m <= kHead_m || flow <= kFlow_m3_per_s) return ValveState::kOpen;
      return can_hold ? ValveState::kHolding : ValveState::kShut;
    case ValveState::kHolding:
      if (flow < -kFlow_m3_per_s || excess_m > kHead_m) return ValveState::kShut;
      if (excess_m < -kHead_m) return ValveState::kOpen;
      return DriveOf(core, link) < LossOpen(core.LawOf(valve.link), flow) - kHead_m ? ValveState::kOpen
                                                                                    : ValveState::kHolding;
    case ValveState::kShut:
      break;
  }
  if (excess_m >= -kHead_m || DriveOf(core, link) <= kHead_m) return ValveState::kShut;
  return can_hold ? ValveState::kHolding : ValveState::kOpen;
}

void SetState(Core& core, CoreValve& valve, ValveState state) {
  LinkLaw& law = core.LawOf(valve.link);
  law.push_up_m = 0;
  law.push_down_m = 0;
  law.lower_m3_per_s = 0;
  law.upper_m3_per_s = std::numeric_limits<double>::infinity();
  if (state == ValveState::kShut) Shut(law);
  valve.state = state;
}

ValveSearch::Step ValveSearch::Next(Core& core) {
  const std::vector<ValveState> now = StatesOf(core);
  tried_.insert(now);
  unsettled_.clear();
  std::vector<ValveState> wanted = now;
  for (size_t i = 0; i < now.size(); ++i) {
    wanted[i] = WantedState(core, core.valves[i]);
    if (wanted[i] != now[i]) unsettled_.push_back(core.valves[i].link);
  }
  if (unsettled_.empty()) return Step::kAllAgree;
  if (!tried_.contains(wanted)) {
    SetStates(core, wanted);
    return Step::kChanged;
  }
  for (size_t i = 0; i < now.size(); ++i) {
    std::vector<ValveState> one = now;
    one[i] = wanted[i];
    if (one[i] == now[i] || tried_.contains(one)) continue;
    SetStates(core, one);
    return Step::kChanged;
  }
  return Step::kNothingNew;
}

}  // namespace lastreach
