#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace lastreach {

// What the whole network, simulated with all devices at once, says of one reach; middle values, clocks right.
struct NetworkView {
  double root_mg_per_l = 0;      // the lowest in the well-fed main, all devices as planned
  double root_now_mg_per_l = 0;  // the same as they are keyed now
  double lowest_mg_per_l = 0;    // at any customer of the reach, the worst hour's mean
  double lowest_now_mg_per_l = 0;
  // The residual in the main that the settings count on, by local hour: planning it again needs them.
  std::array<double, 24> counted_on_mg_per_l{};
  bool confirmed = false;  // the main carries at least that
  friend bool operator==(const NetworkView&, const NetworkView&) = default;
};

// One round: plan, then run the whole network with the plan.
struct NetworkRound {
  std::size_t planned = 0;  // devices planned anew
  double water_m3_per_day = 0;
  // By how much the main at some device's tee carries less than its settings count on; 0 or less when
  // confirmed.
  double greatest_shortfall_mg_per_l = 0;
  friend bool operator==(const NetworkRound&, const NetworkRound&) = default;
};

// What devices do together, and what was done about it.
struct ArrangementSummary {
  std::string care;  // which clocks may be wrong without a limit being broken: "all clocks may be wrong"
  int moved = 0;     // devices moved to other hours of the day
  double water_m3_per_day = 0;
  double bound_m3_per_day = 0;         // no choice of hours tried that keeps the limits has less
  std::vector<std::string> conflicts;  // what cannot be kept by any choice of hours
  std::vector<std::string> cautions;
  std::vector<std::string> week;  // what was lowest when a week of the plan was simulated
  friend bool operator==(const ArrangementSummary&, const ArrangementSummary&) = default;
};

// What the whole network says of a plan.
struct NetworkSummary {
  bool confirmed = false;
  std::vector<NetworkRound> rounds;
  double lowest_pressure_m =
      0;  // where anything is drawn, any moment of the fortnight simulated, clocks right
  double lowest_pressure_now_m = 0;
  std::string lowest_pressure_at;              // as people say it
  std::optional<ArrangementSummary> together;  // where limits on what devices do together are given
  std::vector<std::string> closings{};         // devices that shut in the same minute and stop much water
  friend bool operator==(const NetworkSummary&, const NetworkSummary&) = default;
};

}  // namespace lastreach
