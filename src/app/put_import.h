#pragma once

#include "core/result.h"
#include "import/import.h"
#include "store/project.h"

namespace lastreach {

// Puts what a sheet brought into the project, and counts in `already_known` the records the project holds
// already, which are not added again. ERROR: the first that the project gives. REQUIRES: a transaction, for
// all of it or nothing.
Status PutImport(Project& project, const ImportResult& result, int& already_known);

}  // namespace lastreach
