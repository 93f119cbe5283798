#pragma once

#include <cstddef>
#include <iosfwd>
#include <string>

namespace lastreach {

// A bar on a terminal, "planning  [########------]  14 of 24"; silent elsewhere, so that logs and pipes stay
// clean.
class Progress {
 public:
  Progress(std::ostream& err, bool is_terminal, std::string what, size_t total);
  ~Progress();  // wipes the line
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  void Show(size_t done);

 private:
  std::ostream& err_;
  bool is_terminal_;
  std::string what_;
  size_t total_;
};

}  // namespace lastreach
