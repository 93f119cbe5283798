#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/device_facts.h"
#include "report/sheet_options.h"
#include "year/year_answer.h"

namespace lastreach {

// The latest plan through the year that a project keeps; none where no year has been planned.
// ERROR: kBadInput for one that cannot be read.
Result<std::optional<YearAnswer>> LatestYear(const Project& project, const std::string& file);

// The sheets of a year with devices: season-calendar.pdf, year-changes.pdf and, where there are stages,
// drought.pdf; their names are added to `files`. REQUIRES: `desk.paper` is kA4 or kLetter.
Status PrintYearSheets(const YearAnswer& year, const ProjectFacts& facts, const SheetOptions& desk,
                       const std::string& folder, std::vector<std::string>& files);

}  // namespace lastreach
