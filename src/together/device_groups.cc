#include "together/device_groups.h"

#include <algorithm>
#include <numeric>
#include <optional>

namespace lastreach {

DeviceGroups::DeviceGroups(size_t devices) : root_(devices) {
  std::iota(root_.begin(), root_.end(), size_t{0});
}

size_t DeviceGroups::RootOf(size_t device) {
  while (root_[device] != device) device = root_[device] = root_[root_[device]];
  return device;
}

void DeviceGroups::Join(size_t a, size_t b) {
  const size_t root_a = RootOf(a), root_b = RootOf(b);
  root_[std::max(root_a, root_b)] = std::min(root_a, root_b);
}

void DeviceGroups::JoinAll(const std::function<bool(size_t device)>& shares) {
  std::optional<size_t> first;
  for (size_t d = 0; d < root_.size(); ++d) {
    if (!shares(d)) continue;
    if (first) Join(*first, d);
    if (!first) first = d;
  }
}

std::vector<std::vector<size_t>> DeviceGroups::All() {
  std::vector<std::vector<size_t>> groups(root_.size());
  for (size_t d = 0; d < root_.size(); ++d) groups[RootOf(d)].push_back(d);
  std::erase_if(groups, [](const std::vector<size_t>& group) { return group.empty(); });
  return groups;
}

}  // namespace lastreach
