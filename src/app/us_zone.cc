#include "app/us_zone.h"

namespace lastreach {

bool IsUsZone(const std::string& zone) {
  if (zone.rfind("US/", 0) == 0) return true;
  for (const char* name :
       {"America/New_York", "America/Chicago", "America/Denver", "America/Phoenix", "America/Los_Angeles",
        "America/Anchorage", "America/Detroit", "America/Boise", "Pacific/Honolulu"}) {
    if (zone == name) return true;
  }
  return zone.rfind("America/Indiana/", 0) == 0 || zone.rfind("America/Kentucky/", 0) == 0;
}

}  // namespace lastreach
