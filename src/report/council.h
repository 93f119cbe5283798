#pragma once

#include <optional>
#include <string>

#include "core/result.h"
#include "plan/device_plan.h"
#include "report/sheet_options.h"
#include "report/year_paper.h"

namespace lastreach {

// What the council page needs beside the plan of a season; every item may be missing.
struct CouncilPaper {
  const YearPlan* year = nullptr;      // visits, and water against visits as the chart
  std::optional<YearPrices> prices{};  // what water and visits cost
};

// One page for people who decide about money, as PDF: in plain words what flushing does, five numbers (water
// now, planned and least possible; homes held at target before and after; visits; cost if there are prices),
// one chart (water against visits of the year, else water now, planned and least possible), what flushing
// cannot mend and where to look, what it all rests on and how sure it is. Always exactly one page: what does
// not fit of a list is counted.
//
// ERROR: as WriteKeyInSheet. REQUIRES: `options.paper` is kA4 or kLetter.
Status WriteCouncilPage(const SystemPlan& plan, const CouncilPaper& paper, const SheetOptions& options,
                        const std::string& path);

}  // namespace lastreach
