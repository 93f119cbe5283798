#pragma once

#include <string>

namespace lastreach {

// SQL of what the sixth version of the project file brings: limits on devices together and through the year,
// who stays on in a drought, water by month, trips and prices. Never changed once released.
std::string SystemTables();

}  // namespace lastreach
