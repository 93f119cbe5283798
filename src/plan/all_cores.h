#pragma once

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <thread>
#include <vector>

namespace lastreach {

// Calls work(i) once for each i below `count`, on as many threads as the machine has cores; begun in rising
// order. REQUIRES: calls do not disturb each other.
template <typename Work>
void OnAllCores(std::size_t count, const Work& work) {
  std::atomic<std::size_t> next{0};
  const auto take = [&] {
    for (std::size_t i = next++; i < count; i = next++) work(i);
  };
  std::vector<std::jthread> threads;
  const std::size_t cores = std::max(1U, std::thread::hardware_concurrency());
  for (std::size_t i = 1; i < std::min(cores, count); ++i) threads.emplace_back(take);
  take();
}

}  // namespace lastreach
