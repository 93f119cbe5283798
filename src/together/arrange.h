#pragma once

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "core/result.h"
#include "core/zone.h"
#include "ledger/limits.h"
#include "plan/device_plan.h"
#include "plan/facts.h"
#include "plan/network_view.h"
#include "together/confirm_pressure.h"
#include "together/planning_network.h"
#include "together/pressure_judge.h"
#include "together/together_devices.h"

namespace lastreach {

// The user's limits on what devices do together.
struct TogetherLimits {
  std::vector<LeastPressureThere> pressure;
  std::vector<MostAtOnce> at_once;
  std::vector<TankReserve> reserves;
  bool any() const { return !pressure.empty() || !at_once.empty() || !reserves.empty(); }
};
TogetherLimits TogetherLimitsOf(const std::vector<Limit>& limits);

// The same settings at other hours of the day, each surely holding, with their water. Asked of several
// devices at once, from threads of their own.
struct OtherHours {
  TimerSettings settings;
  double water_m3_per_day = 0;
};
using OtherHoursOf = std::function<std::vector<OtherHours>(const DeviceFacts&, const DevicePlan&)>;
// All that follows from settings once they are chosen.
using SettleOn = std::function<DevicePlan(const DeviceFacts&, const TimerSettings&)>;

// Moves devices through the day so that no limit on what they do together is broken, at the least water.
// THREADS: one object, one thread.
class Arranger {
 public:
  // `network` outlives it. ERROR: as PressureJudge::Make.
  static Result<Arranger> Make(const PlanningNetwork& network, const std::vector<DeviceFacts>& devices,
                               const TogetherLimits& limits, const Zone& zone, DateWindow season,
                               OtherHoursOf other_hours, SettleOn settle);
  ~Arranger();
  Arranger(Arranger&&) noexcept;
  Arranger& operator=(Arranger&&) noexcept;

  // Devices stay as they are planned where that breaks no limit though every clock may be an hour out. Else
  // each may go to other hours of the day, whichever together need the least water; those moved are settled
  // anew and say why they moved. What cannot be kept is in the summary. Devices that
  // stand at no end of the map count towards limits on how many are open, but not on pressure. `facts`: as
  // the plans, with what each may count on.
  Result<ArrangementSummary> Arrange(const std::vector<DeviceFacts>& facts, std::vector<DevicePlan>& plans);

  // The plans through a whole week (confirm_pressure.h): what was lowest, and what breaks a limit or a
  // reserve there, go into the summary. True if devices were found open together that must not be and that
  // nothing forbade till now: Arrange keeps them apart from here on. COST: two weeks of flows, or four.
  Result<bool> ConfirmWeek(const std::vector<DeviceFacts>& facts, const std::vector<DevicePlan>& plans,
                           ArrangementSummary& summary);

 private:
  class Impl;
  explicit Arranger(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

}  // namespace lastreach
