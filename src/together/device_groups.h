#pragma once

#include <cstddef>
#include <functional>
#include <vector>

namespace lastreach {

// Devices that share something with each other, directly or through others.
class DeviceGroups {
 public:
  explicit DeviceGroups(size_t devices);
  size_t RootOf(size_t device);  // the lowest number of its group
  void Join(size_t a, size_t b);
  // All for which this is true.
  void JoinAll(const std::function<bool(size_t device)>& shares);
  // In order of their first device; each rising.
  std::vector<std::vector<size_t>> All();

 private:
  std::vector<size_t> root_;
};

}  // namespace lastreach
