#include "plan/tree_reaches.h"

#include <algorithm>
#include <string>
#include <unordered_map>

namespace lastreach {

std::vector<ReachTree> TreesOf(const std::vector<DeviceFacts>& devices) {
  std::vector<ReachTree> trees;
  std::unordered_map<std::string, size_t> tree_of_first_pipe;
  for (size_t i = 0; i < devices.size(); ++i) {
    if (devices[i].pipe_ids.empty()) {
      trees.push_back({{i}});
      continue;
    }
    const auto [at, is_new] = tree_of_first_pipe.try_emplace(devices[i].pipe_ids.front(), trees.size());
    if (is_new) trees.emplace_back();
    trees[at->second].devices.push_back(i);
  }
  return trees;
}

size_t SharedPipes(const DeviceFacts& a, const DeviceFacts& b) {
  const auto last = a.pipe_ids.begin() + std::ssize(a.pipe_ids);
  const auto differ = std::mismatch(a.pipe_ids.begin(), last, b.pipe_ids.begin(), b.pipe_ids.end()).first;
  return static_cast<size_t>(differ - a.pipe_ids.begin());
}

DeviceFacts WithNeighbours(const std::vector<DeviceFacts>& devices, const ReachTree& tree, size_t member,
                           std::span<const TimerSettings> settings) {
  DeviceFacts facts = devices[tree.devices[member]];
  for (size_t k = 0; k < tree.devices.size(); ++k) {
    const DeviceFacts& other = devices[tree.devices[k]];
    const size_t shared = SharedPipes(facts, other);
    if (k == member || shared == 0 || !other.point.flow) continue;
    facts.beside.push_back({shared - 1, other.form, settings[k],
                            other.point.flow->value.cubic_metres_per_second(),
                            other.point.flow->origin.kind});
  }
  return facts;
}

}  // namespace lastreach
