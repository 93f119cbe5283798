#pragma once

#include <string>

#include "app/command.h"

namespace lastreach {

struct NetworkImport {
  std::string file;    // the project
  std::string folder;  // of plain tables
  std::string who;
  bool preview = false;  // read, and write nothing
  bool json = false;
};

// Puts the network of a folder of plain tables into a project, in the place of any that is there, with its
// repairs; says what it read. ERROR: as ReadNetworkFolder.
Result<int> ImportNetwork(const NetworkImport& request, Surroundings& around);

}  // namespace lastreach
