#pragma once

#include <vector>

#include "town/seeded.h"
#include "town/street_plan.h"

namespace lastreach {

// Streets that leave the side of one already in the plan into open ground, at least kClear_m from all others.
// Added to the end of the plan, without names. Fewer than asked for if there is no room.

// Dead ends of 60 to 190 m without a device or blow-off.
void AddCulsDeSac(std::vector<PlannedStreet>& plan, int count, Seeded& seeded);

// Loops out of a straight street and back into it.
void AddCrescents(std::vector<PlannedStreet>& plan, int count, Seeded& seeded);

// Five metres from the main to a hydrant at the roadside.
void AddHydrantLeads(std::vector<PlannedStreet>& plan, int count, Seeded& seeded);

}  // namespace lastreach
