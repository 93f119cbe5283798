#pragma once

#include <string>

namespace lastreach {

// What the seventh version of the file adds: water seen let out, flows measured, flushes with readings,
// by-products and what was supplied, and the new columns of points, meter reads and visits. Never changed
// once released.
std::string RecordTables();

}  // namespace lastreach
