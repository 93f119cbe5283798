#pragma once

#include <string>
#include <string_view>

#include "core/result.h"
#include "year/year_answer.h"

namespace lastreach {

// A year's plan as one JSON document, keys with units, described in docs/formats/year.md. `indent` < 0 writes
// one line.
std::string YearToJson(const YearAnswer& answer, int indent = 2);

// Reads back what YearToJson wrote: YearFromJson(YearToJson(x)) writes the same again.
// ERROR: kBadInput naming `file` for anything else.
Result<YearAnswer> YearFromJson(std::string_view json, const std::string& file);

}  // namespace lastreach
