#pragma once

#include <string>

namespace lastreach {

// Whether the time zone is one of the United States: then sheets and maps have their units and paper, unless
// asked otherwise.
bool IsUsZone(const std::string& zone);

}  // namespace lastreach
