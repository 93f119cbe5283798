#pragma once

#include "month/month_facts.h"
#include "store/project.h"

namespace lastreach {

// All of a project that a month's account is made from; without population and doses, which no project keeps.
// ERROR: what reading the project's file gives.
Result<MonthFacts> MonthFactsOf(const Project& project, std::chrono::year_month month, Instant now);

}  // namespace lastreach
