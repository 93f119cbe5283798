#pragma once

#include <set>
#include <string>
#include <vector>

#include "town/street_plan.h"

namespace lastreach {

// Hands out names nobody else has, always in the same order: "Ashbrook Street", "Birchdale Avenue". Streets
// that run west to east are Streets, south to north Avenues, curved ones Drives, dead ends Courts, crescents
// Crescents.
class StreetNames {
 public:
  explicit StreetNames(std::set<std::string> taken) : taken_(std::move(taken)) {}

  // Names every street of the list that has no name yet.
  void NameAll(std::vector<PlannedStreet>& streets);

 private:
  std::string Next(const std::string& ending);

  std::set<std::string> taken_;
  size_t next_ = 0;
};

}  // namespace lastreach
