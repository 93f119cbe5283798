#pragma once

#include <string>

namespace lastreach {

// SQL of what version 5 of the project file brought: leaks, mixing and short pressure in the network's
// tables, its rules, and the results of computing with it. Never changed once released.
std::string SimulationTables();

}  // namespace lastreach
