#pragma once

#include <string>

#include "app/subcommands.h"
#include "import/table.h"
#include "store/project.h"

namespace lastreach {

// A sheet the demo writes, and what it is.
struct DemoSheet {
  const char* name;
  TableKind kind;
};

// Takes a sheet of `folder` into the project and says what came in and, line by line, what did not.
Status ImportDemoSheet(Project& project, const std::string& folder, const DemoSheet& sheet, Instant when,
                       Surroundings& around);

}  // namespace lastreach
