#pragma once

#include <vector>

#include "import/fields.h"

namespace lastreach {

// What sheets of flush runs, flow tests, test flushes, visits, by-products and water supplied may tell.
std::vector<Field> RunFields();
std::vector<Field> FlowTestFields();
std::vector<Field> TestFlushFields();
std::vector<Field> VisitFields();
std::vector<Field> ByproductFields();
std::vector<Field> ProductionFields();

}  // namespace lastreach
