#pragma once

#include <chrono>
#include <optional>
#include <vector>

#include "together/pressure_limits.h"
#include "together/stagger.h"

namespace lastreach {

// All that the devices of one system share while their ways are chosen.
struct StaggerSystem {
  const std::vector<TogetherDevice>* devices = nullptr;
  const StaggerOptions* options = nullptr;
  PressureJudge* judge = nullptr;
  bool judged = false;         // whether pressure can bind at all, and is judged
  std::vector<size_t> states;  // of the network in which pressure can bind
  TimeTable table;
  std::vector<SharedLimit> limits;
  std::optional<PressureLimits> pressure;
  std::chrono::steady_clock::time_point started = std::chrono::steady_clock::now();

  bool IsOutOfTime() const {
    const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - started;
    return taken.count() > options->all_seconds;
  }
};

// When all ways run, a whole week where use differs by its days.
TimeTable TableOf(const std::vector<TogetherDevice>& devices, const PressureJudge* judge,
                  const StaggerOptions& options);

// By state of the network: devices that some way may open then.
std::vector<OpenSet> MayBeOpen(const TimeTable& table, const PressureMoments& moments);

// Cost of each way of those devices: water, and what a move costs.
std::vector<std::vector<double>> CostsOf(const StaggerSystem& system, const std::vector<size_t>& who);

// Each device of `who` wholly on its way. Size `devices`.
Shares SharesOf(size_t devices, const std::vector<size_t>& who, const std::vector<uint32_t>& way);
// The same where some have none.
Shares SharesOf(const std::vector<std::optional<uint32_t>>& way);

}  // namespace lastreach
