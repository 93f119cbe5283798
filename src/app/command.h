#pragma once

#include <functional>
#include <iosfwd>
#include <optional>
#include <string>

#include "core/civil_time.h"
#include "core/result.h"

namespace lastreach {

// Where a command reads the time and writes its answer, so that tests can stand in for all of it.
struct Surroundings {
  std::ostream& out;
  std::ostream& err;
  bool err_is_terminal = false;
  Instant now{};
};

// What a parsed command line asks for. Returns the exit code, or the error to print.
using Action = std::function<Result<int>()>;

// The whole program: 0 done, 1 the answer is "no", 2 the input is wrong (one line on `err`), 3 ours.
int RunCommandLine(int argc, const char* const* argv, Surroundings& around);

}  // namespace lastreach
