#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/ids.h"
#include "core/origin.h"
#include "core/quantity.h"
#include "ledger/flush_point.h"

namespace lastreach {

// One stretch of main of one width, with the services on it spread evenly along it.
struct ReachPipe {
  Sourced<Length> length;
  Sourced<Diameter> inner_diameter;
  std::string material;  // as typed; empty when nobody knows
  Sourced<int> services;
  std::optional<Sourced<Flow>> demand;  // average of all its services together; else the zone's use a service
  friend bool operator==(const ReachPipe&, const ReachPipe&) = default;
};

// The branch behind one flush point: pipes in order from the well-fed main to the end.
struct Reach {
  PointCode point;
  std::vector<ReachPipe> pipes;
  std::optional<Sourced<Concentration>> upstream_residual;  // in the well-fed main; else the zone's
  friend bool operator==(const Reach&, const Reach&) = default;
};

// What is known of the water of one part of the system. Empty items fall back on documented defaults.
struct SupplyZone {
  std::string name;
  Disinfectant disinfectant = Disinfectant::kFreeChlorine;
  std::optional<Sourced<Concentration>> target_residual;
  std::optional<Sourced<Concentration>> upstream_residual;
  std::optional<Sourced<double>> bulk_per_day_at_20c;  // first-order loss in the bulk of the water [1/d]
  std::optional<Sourced<double>> wall_m_per_day;       // first-order loss at the wall [m/d]
  std::optional<Sourced<Temperature>> worst_week;      // water temperature in the worst week
  std::optional<Sourced<Flow>> demand_per_service;
  friend bool operator==(const SupplyZone&, const SupplyZone&) = default;
};

}  // namespace lastreach
