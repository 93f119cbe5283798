#include "together/closing_surge.h"

#include <algorithm>
#include <cstdio>
#include <map>
#include <set>

namespace lastreach {
namespace {

constexpr double kGravity_m_per_s2 = 9.80665;
constexpr double kBetter = 1 - 1e-9;

int Wrapped(int minute) { return (minute % kMinutesAWeek + kMinutesAWeek) % kMinutesAWeek; }

// Who shuts in which minute of the week.
std::map<int, std::vector<size_t>> ClosingMinutes(const std::vector<OpenTimes>& open,
                                                  const std::vector<int>& later_min) {
  std::map<int, std::vector<size_t>> closings;
  for (size_t d = 0; d < open.size(); ++d) {
    const OpenTimes times = ShiftedTimes(open[d], later_min[d], later_min[d]);
    for (const OpenStretch& stretch : times) {
      // A run over the end of the week goes on in its first minute.
      const bool goes_on = stretch.to_min == kMinutesAWeek && times.front().from_min == 0;
      if (!goes_on) closings[Wrapped(stretch.to_min)].push_back(d);
    }
  }
  return closings;
}

// Of mains that more than one of them feels.
struct MostStopped {
  LinkIndex link{};
  double m_per_s = 0;
};

MostStopped MostStoppedBy(const std::vector<size_t>& devices, const std::vector<DeviceSpeeds>& speeds) {
  std::map<LinkIndex, std::pair<int, double>> stopped;  // by how many, and how much
  MostStopped most;
  for (const size_t d : devices) {
    for (const SpeedInMain& main : speeds[d].mains) {
      auto& [count, m_per_s] = stopped[main.link];
      ++count;
      m_per_s += main.change_m_per_s;
    }
  }
  for (const auto& [link, by] : stopped) {
    if (by.first > 1 && by.second > most.m_per_s) most = {link, by.second};
  }
  return most;
}

// The most that is stopped in any minute in which this device shuts.
double WorstOf(size_t device, const std::vector<OpenTimes>& open, const std::vector<DeviceSpeeds>& speeds,
               const std::vector<int>& later_min) {
  double worst = 0;
  for (const auto& [minute, devices] : ClosingMinutes(open, later_min)) {
    if (std::find(devices.begin(), devices.end(), device) == devices.end()) continue;
    worst = std::max(worst, MostStoppedBy(devices, speeds).m_per_s);
  }
  return worst;
}

// Moves one device of a closing to a better minute; whether any could be.
bool MoveOneOf(const ClosingTogether& closing, const std::vector<OpenTimes>& open,
               const std::vector<DeviceSpeeds>& speeds,
               const std::function<bool(size_t device, int later_min)>& may_move,
               const ClosingOptions& options, std::vector<int>& later_min) {
  for (const size_t d : closing.devices) {
    if (later_min[d] != 0) continue;
    double least = closing.stopped_m_per_s * kBetter;
    int best = 0;
    for (int later = 1; later <= options.most_minutes; ++later) {
      if (!may_move(d, later)) continue;
      later_min[d] = later;
      const double worst = WorstOf(d, open, speeds, later_min);
      if (worst >= least) continue;
      least = worst;
      best = later;
    }
    later_min[d] = best;
    if (best != 0) return true;
  }
  return false;
}

}  // namespace

std::string ClosingTogether::Words(const Network& network, const std::vector<TogetherDevice>& all) const {
  std::string words;
  for (size_t i = 0; i < devices.size(); ++i) {
    words += (i == 0 ? "" : i + 1 == devices.size() ? " and " : ", ") + all[devices[i]].code;
  }
  char text[200];
  std::snprintf(
      text, sizeof text,
      " shut in the same minute, %d:%02d, and stop %.2f m/s in main %s: valves that shut at once could "
      "raise its pressure by %.0f m",
      minute / 60 % 24, minute % 60, stopped_m_per_s, network[link].id.c_str(), sudden_m);
  return words + text;
}

std::vector<ClosingTogether> ClosingsTogether(const std::vector<OpenTimes>& open,
                                              const std::vector<DeviceSpeeds>& speeds,
                                              const std::vector<int>& later_min,
                                              const ClosingOptions& options) {
  std::vector<ClosingTogether> found;
  std::set<std::pair<int, std::vector<size_t>>> seen;  // by minute of the day
  for (const auto& [minute, devices] : ClosingMinutes(open, later_min)) {
    if (devices.size() < 2 || !seen.emplace(minute % kMinutesADay, devices).second) continue;
    const MostStopped most = MostStoppedBy(devices, speeds);
    ClosingTogether closing{minute, {}, most.link, most.m_per_s, 0};
    closing.sudden_m = options.wave_m_per_s * most.m_per_s / kGravity_m_per_s2;
    if (closing.sudden_m <= options.worth_it_m) continue;
    for (const size_t d : devices) {
      const auto& mains = speeds[d].mains;
      const bool feels = std::any_of(mains.begin(), mains.end(),
                                     [&](const SpeedInMain& main) { return main.link == most.link; });
      if (feels) closing.devices.push_back(d);
    }
    found.push_back(std::move(closing));
  }
  std::stable_sort(found.begin(), found.end(), [](const ClosingTogether& a, const ClosingTogether& b) {
    return a.stopped_m_per_s > b.stopped_m_per_s;
  });
  return found;
}

std::vector<int> SpreadClosings(const std::vector<OpenTimes>& open, const std::vector<DeviceSpeeds>& speeds,
                                const std::function<bool(size_t device, int later_min)>& may_move,
                                const ClosingOptions& options) {
  std::vector<int> later_min(open.size(), 0);
  for (size_t round = 0; round < open.size(); ++round) {
    const std::vector<ClosingTogether> closings = ClosingsTogether(open, speeds, later_min, options);
    const bool moved = std::any_of(closings.begin(), closings.end(), [&](const ClosingTogether& closing) {
      return MoveOneOf(closing, open, speeds, may_move, options, later_min);
    });
    if (!moved) break;
  }
  return later_min;
}

}  // namespace lastreach
