#pragma once

#include <string>

#include "month/month_tables.h"

namespace lastreach {

// The month as JSON text: every table by its key, each row an object with the keys of its columns; numbers
// are the printed ones, null where nobody knows. Described in docs/formats/month.md. `indent` as of nlohmann:
// -1 is one line.
std::string MonthToJson(const MonthBook& book, int indent = 2);

}  // namespace lastreach
