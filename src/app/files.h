#pragma once

#include <string>

#include "core/result.h"

namespace lastreach {

// The whole of a file. ERROR: kNotFound, naming it.
Result<std::string> ReadFile(const std::string& path);

// Makes a folder and those above it. ERROR: kBadInput, naming it.
Status MakeFolder(const std::string& path);

}  // namespace lastreach
