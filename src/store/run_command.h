#pragma once

#include <array>
#include <cstdio>
#include <string>

namespace lastreach {

// Another program as judge: how it ended, and all it said.
struct Finished {
  int status = -1;
  std::string said;
};
inline Finished RunCommand(const std::string& command) {
  Finished finished;
  std::FILE* pipe = ::popen((command + " 2>&1").c_str(), "r");
  if (pipe == nullptr) return finished;
  std::array<char, 4096> part{};
  for (size_t got = 0; (got = std::fread(part.data(), 1, part.size(), pipe)) > 0;)
    finished.said.append(part.data(), got);
  finished.status = ::pclose(pipe);
  return finished;
}

}  // namespace lastreach
