#pragma once

#include <iosfwd>

#include "year/year_answer.h"

namespace lastreach {

// A year's plan for people to read: what it takes, ways of going about it, what is changed when, ends flushed
// by hand, droughts, and what it all rests on.
void PrintYear(const YearAnswer& answer, std::ostream& out);

}  // namespace lastreach
