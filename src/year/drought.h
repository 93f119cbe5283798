#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "plan/device_plan.h"
#include "plan/facts.h"

namespace lastreach {

// A drought stage as its rule has it.
struct DroughtCap {
  std::string name;  // "stage 2"
  double most_m3_per_day = 0;
  std::string source;
};

// One device when water is short: what it takes, and who goes without if it is shut.
struct DroughtDevice {
  PointCode point;
  double water_m3_per_day = 0;  // as planned
  int services = 0;             // on its reach
  double target_mg_per_l = 0;
  double low_without_mg_per_l = 0;  // lowest residual of its services with the device off, middle value
  std::string stays_on_because;     // "dialysis centre": never shut; empty for none
  std::optional<int> shut_rank;     // the user's order in which devices are shut, 1 first

  // Customers times the share of the target they would lose; 0 where nobody would lose any.
  double need() const;
};

struct DroughtChoice {
  PointCode point;
  bool on = true;
  double water_m3_per_day = 0;
  double need = 0;
  std::string reason;
};

// Which devices stay on in a drought stage.
struct DroughtPlan {
  DroughtCap cap;
  std::vector<DroughtChoice> choices;  // in the order given
  bool fits = true;                    // false: what may not be shut takes more than the cap
  double water_m3_per_day = 0;
  double need_kept = 0;
  double need_given_up = 0;
  int services_below_target = 0;  // on the reaches of devices that are shut and need them
  std::vector<std::string> notes;
};

// First the devices with a rank are shut in the user's order, one after the other, for as long as the rest
// takes more than the cap. If that is not enough, of those without a rank the set stays on that keeps the
// most need within the cap (MostWorth): exact. Those that may not be shut stay on whatever they take.
DroughtPlan PlanDrought(const std::vector<DroughtDevice>& devices, const DroughtCap& cap);

// The devices of a plan that take water, with what their ends would hold without: each is predicted with its
// device off. `facts` and `plan.devices` go together, one by one.
std::vector<DroughtDevice> DroughtDevicesOf(const std::vector<DeviceFacts>& facts, const SystemPlan& plan,
                                            const PlanOptions& options);

// The items that are worth most together within a capacity, ties to fewer weight: exact, by listing the
// sums that no other beats in both weight and worth, the most worth a weight first, and dropping those that
// cannot come up to the best known even if what is left could be split. SOURCE: Nemhauser & Ullmann,
// Management Science 15(9), 494-505, 1969 (from memory). REQUIRES: weights and worths >= 0.
std::vector<bool> MostWorth(const std::vector<double>& weights, const std::vector<double>& worths,
                            double capacity);

}  // namespace lastreach
