#pragma once

#include <map>
#include <string>
#include <vector>

#include "core/ids.h"
#include "core/result.h"
#include "report/sheet_options.h"
#include "year/drought.h"

namespace lastreach {

// Which devices stay on in which drought stage, as PDF: first all stages side by side, then for each stage
// what its rule allows and where that rule comes from, what the devices left on take a day, who goes below
// the target, and every device with its reason. `places` says where a device stands.
//
// ERROR: as WriteKeyInSheet. REQUIRES: `options.paper` is kA4 or kLetter.
Status WriteDroughtSheet(const std::vector<DroughtPlan>& stages,
                         const std::map<PointCode, std::string>& places, const SheetOptions& options,
                         const std::string& path);

}  // namespace lastreach
