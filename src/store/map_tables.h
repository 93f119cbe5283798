#pragma once

#include <string>

namespace lastreach {

// SQL of the tables that version 4 of the project file brought. Never changed once released.
std::string MapTables();  // what the layers show: mains, things, services, areas, heights, what was set aside
std::string NetworkTables();  // what was made of them: network, repairs, decisions, quiet places

}  // namespace lastreach
